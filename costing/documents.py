def render_quote_pdf(row): return b"%PDF-1.4"
render_invoice_pdf = render_receipt_pdf = render_credit_note_pdf = render_quote_pdf
