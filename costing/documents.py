"""Printed papers: quotes, invoices, receipts and credit notes as tagged PDF.

The same bytes come out each time, in the language that the paper keeps.
"""

from __future__ import annotations

from contextlib import AbstractContextManager

from django.template.loader import render_to_string

from costing import speech
from costing.einvoices import is_electronic, xml_of
from costing.models import CreditNote, Invoice, Quote, Receipt
from costing.papers import Paper, credit_note_paper, invoice_paper, quote_paper, receipt_paper
from costing.printing import Carried, print_page
from costing.queries import paper_number


def render_quote_pdf(quote: Quote) -> bytes:
    """Return the quote as PDF: garments with their drawings, totals, terms, and the answer, if any."""
    with _its_language(quote):
        return _pdf("quote", quote_paper(quote), f"quote-{quote.order_id}-{quote.version}")


def render_invoice_pdf(invoice: Invoice) -> bytes:
    """Return the invoice as PDF, with its e-invoice inside where it has one."""
    identifier = f"invoice-{invoice.workshop_id}-{paper_number(invoice)}"
    with _its_language(invoice):
        return _pdf("invoice", invoice_paper(invoice), identifier, _carried(invoice))


def render_credit_note_pdf(note: CreditNote) -> bytes:
    """Return the credit note as PDF, with its e-invoice inside where it has one."""
    identifier = f"credit-{note.workshop_id}-{paper_number(note)}"
    with _its_language(note):
        return _pdf("credit_note", credit_note_paper(note), identifier, _carried(note))


def render_receipt_pdf(receipt: Receipt) -> bytes:
    """Return the receipt of a payment or a refund as PDF."""
    identifier = f"receipt-{receipt.workshop_id}-{paper_number(receipt)}"
    with _its_language(receipt):
        return _pdf("receipt", receipt_paper(receipt), identifier)


def _its_language(row: Quote | Invoice | CreditNote | Receipt) -> AbstractContextManager[None]:
    """Speak the language that a paper keeps, whatever the workshop speaks by now."""
    return speech.speaking(speech.language_of(row.content))


def _carried(row: Invoice | CreditNote) -> Carried | None:
    return Carried(xml_of(row), row.issued_on) if is_electronic(row) else None


def _pdf(template: str, paper: Paper, identifier: str, carried: Carried | None = None) -> bytes:
    html = render_to_string(f"documents/{template}.html", {"paper": paper, "language": speech.spoken()})
    return print_page(html, identifier, carried)
