"""Printed papers: quotes, invoices, receipts and credit notes as tagged PDF.

A paper is made only from what its row has stored, so that it says the same years later, and the same bytes
come out each time. Nothing is fetched: the drawings are part of the page.
"""

from __future__ import annotations

import base64
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from decimal import Decimal
from typing import Any

from django.template.loader import render_to_string

from costing.einvoices import CREDITED, FILE_NAME, is_electronic, xml_of
from costing.models import CreditNote, Invoice, Quote, QuoteState, Receipt
from costing.parties import Party
from costing.queries import garment_taxes, line_words, paper_number
from costing.rules.cloth_words import cloth_words
from costing.rules.money import ZERO, format_money
from costing.rules.options import Option, options_in

PAID = "All of it is paid already, with thanks"
VARIANT = "pdf/a-3a"
"""For keeping (ISO 19005-3): tagged, its fonts and the meaning of its colours inside; it may carry a file."""

ACCESSIBLE = b"""
<rdf:Description rdf:about="" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
<pdfuaid:part>1</pdfuaid:part>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/"
 xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification schema</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>Part of ISO 14289 that the file keeps</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
"""
"""That it is accessible (ISO 14289-1), and the description of that property which ISO 19005-3 asks for."""

NOTICES: Mapping[str, str] = {
    QuoteState.OPEN: "Not sent yet: for the workshop only.",
    QuoteState.SUPERSEDED: "Replaced by a newer version.",
    QuoteState.WITHDRAWN: "Withdrawn: this quote no longer holds.",
}


@dataclass(frozen=True, slots=True)
class Line:
    """A row of a paper; ``kind`` is empty, ``total`` or ``after`` (what follows the total)."""

    words: str
    amount: str
    kind: str = ""


@dataclass(frozen=True, slots=True)
class QuotedGarment:
    """A garment as the quote shows it; ``drawing`` is a data address or empty."""

    title: str
    wearer: str
    drawing: str
    choices: tuple[tuple[str, str], ...]
    amount: str
    provisional: bool
    tax: str = ""  # where the garments are taxed by several rates


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """Everything that a template prints, in words."""

    title: str
    heading: str
    seller: Party
    buyer: Party
    facts: tuple[tuple[str, str], ...]
    buyer_word: str = "For"
    lines: tuple[Line, ...] = ()
    sums: tuple[Line, ...] = ()
    amount_word: str = ""
    exemption: str = ""
    garments: tuple[QuotedGarment, ...] = ()
    changes: tuple[str, ...] = ()
    options: tuple[tuple[str, tuple[Line, ...]], ...] = ()
    terms: str = ""
    notice: str = ""
    answer: str = ""
    invitation: str = ""
    reason: str = ""
    ask: str = ""
    ask_how: str = ""
    pay_to: str = ""

    @property
    def seller_lines(self) -> tuple[str, ...]:
        seller = self.seller
        address = " · ".join(line.strip() for line in seller.address.splitlines() if line.strip())
        reach = " · ".join(part for part in (seller.phone, seller.email) if part)
        numbers = " · ".join(
            f"{word} {number}"
            for word, number in (("Tax number", seller.tax_number), ("VAT number", seller.vat_number))
            if number
        )
        return tuple(line for line in (address, reach, numbers) if line)


def render_quote_pdf(quote: Quote) -> bytes:
    """Return the quote as PDF: garments with their drawings, totals, terms, and the answer, if any."""
    return _pdf("quote", _quote_paper(quote), f"quote-{quote.order_id}-{quote.version}")


def render_invoice_pdf(invoice: Invoice) -> bytes:
    """Return the invoice as PDF, with its e-invoice inside where it has one."""
    identifier = f"invoice-{invoice.workshop_id}-{paper_number(invoice)}"
    return _pdf("invoice", _invoice_paper(invoice), identifier, _carried(invoice))


def render_credit_note_pdf(note: CreditNote) -> bytes:
    """Return the credit note as PDF, with its e-invoice inside where it has one."""
    identifier = f"credit-{note.workshop_id}-{paper_number(note)}"
    return _pdf("credit_note", _credit_note_paper(note), identifier, _carried(note))


def render_receipt_pdf(receipt: Receipt) -> bytes:
    """Return the receipt of a payment or a refund as PDF."""
    return _pdf("receipt", _receipt_paper(receipt), f"receipt-{receipt.workshop_id}-{paper_number(receipt)}")


@dataclass(frozen=True, slots=True)
class Carried:
    """The e-invoice that a paper carries, and the day that it bears."""

    xml: bytes
    issued_on: date


def _carried(row: Invoice | CreditNote) -> Carried | None:
    return Carried(xml_of(row), row.issued_on) if is_electronic(row) else None


def _pdf(template: str, paper: Paper, identifier: str, carried: Carried | None = None) -> bytes:
    # Imported late: it loads a text-layout library that only the making of papers needs.
    from weasyprint import HTML  # noqa: PLC0415  # see above
    from weasyprint.urls import URLFetcher  # noqa: PLC0415  # see above

    html = render_to_string(f"documents/{template}.html", {"paper": paper})
    # A page holds its pictures itself; whatever a name or an address smuggles in is not fetched.
    inside = URLFetcher(allowed_protocols={"data"})
    made: bytes = HTML(string=html, url_fetcher=inside).write_pdf(
        pdf_identifier=identifier.encode(),
        pdf_variant=VARIANT,
        pdf_tags=True,
        attachments=[_attachment(carried)] if carried else None,
        finisher=_finish,
    )
    return made


def _attachment(carried: Carried) -> Any:
    from weasyprint import Attachment  # noqa: PLC0415  # late, as above

    at = datetime.combine(carried.issued_on, time(), tzinfo=UTC)  # no clock: the same bytes each time
    return Attachment(
        string=carried.xml.decode(),
        name=FILE_NAME,
        description="The same paper as an e-invoice (EN 16931, UBL 2.1)",
        created=at,
        modified=at,
        relationship="Alternative",
    )


def _finish(document: Any, pdf: Any) -> None:
    """Put right what the library leaves: it names one standard only, and an attachment twice."""
    metadata = pdf.objects[int(pdf.catalog["Metadata"].split()[0])]
    whole = b"".join(metadata.stream)
    metadata.stream = [whole.replace(b"</rdf:RDF>", ACCESSIBLE + b"</rdf:RDF>")]
    if "AF" in pdf.catalog:
        pdf.catalog["AF"][:] = dict.fromkeys(pdf.catalog["AF"])


def _quote_paper(quote: Quote) -> Paper:
    content = quote.content
    order = content["order"]
    currency = quote.currency
    valid = _day(quote.valid_until_on)
    occasion = f", {order['occasion']}" if order.get("occasion") else ""
    return Paper(
        title=f"Quote {order['number']}-{quote.version}",
        heading=f"Quote{occasion}",
        seller=Party.from_json(content["seller"]),
        buyer=Party.from_json(content["buyer"]),
        facts=(
            ("Order", str(order["number"])),
            ("Version", str(quote.version)),
            ("Date", _day(quote.workshop.day_of(quote.sent_at or quote.created_at))),
            ("Valid until", valid),
            ("Wanted for", _day(date.fromisoformat(order["due_on"]))),
            *((row["title"], row["words"]) for row in content.get("chosen", ())),
        ),
        garments=tuple(
            _garment(row, tax, currency)
            for row, tax in zip(content["garments"], garment_taxes(content), strict=True)
        ),
        amount_word=f"with {content['tax_label']}" if _taxed(content) else "",
        sums=(
            *_sums(quote, content, currency, "Price"),
            Line("Deposit before the cloth is cut", format_money(quote.deposit, currency), "after"),
            Line("On delivery", format_money(quote.payable - quote.deposit, currency), "after"),
        )
        if quote.deposit
        else tuple(_sums(quote, content, currency, "Price")),
        changes=tuple(content.get("changes", {}).get("lines", ())),
        options=tuple((option.title, _ways(option, currency)) for option in options_in(content)),
        exemption=_exemption(content),
        terms=content["terms"],
        notice=NOTICES.get(quote.state, ""),
        answer=_answer(quote),
        invitation=f"To accept, open the private link that came with this quote, by {valid}; or tell us."
        if quote.state == QuoteState.SENT
        else "",
    )


def _garment(row: Mapping[str, Any], tax: str, currency: str) -> QuotedGarment:
    choices = tuple((str(word), str(value)) for word, value in row["choices"])
    return QuotedGarment(
        title=row["title"],
        wearer=row["wearer"],
        drawing=_inside(row["drawing"]) if row.get("drawing") else "",
        choices=(*cloth_words(row), *choices),
        amount=format_money(Decimal(row["amount"]), currency),
        provisional=bool(row.get("provisional")),
        tax=tax,
    )


def _ways(option: Option, currency: str) -> tuple[Line, ...]:
    """The alternatives of a choice with what each adds to the price with tax."""
    first, *others = option.alternatives
    return (
        Line(first.words, "as above"),
        *(Line(way.words, _signed(way.difference, currency)) for way in others),
    )


def _signed(amount: Decimal, currency: str) -> str:
    words = format_money(amount, currency)
    return words if amount < 0 else words.replace("\u00a0", "\u00a0+")


def _inside(svg: str) -> str:
    """A drawing as an address that holds it, so that its own styles stay its own."""
    return "data:image/svg+xml;base64," + base64.b64encode(svg.encode()).decode("ascii")


def _answer(quote: Quote) -> str:
    if quote.answered_at is None or quote.state not in {QuoteState.ACCEPTED, QuoteState.DECLINED}:
        return ""
    answered_at = quote.answered_at.astimezone(quote.workshop.zone)
    when = f"{_day(answered_at.date())}, {answered_at:%H:%M %Z}"
    if quote.state == QuoteState.ACCEPTED:
        return f"Accepted by {quote.answered_by} on {when}."
    why = f" Reason: {quote.decline_reason}" if quote.decline_reason else ""
    return f"Declined on {when}.{why}"


def _invoice_paper(invoice: Invoice) -> Paper:
    content = invoice.content
    number = paper_number(invoice)
    currency = invoice.currency
    kind = "Deposit invoice" if invoice.kind == Invoice.Kind.DEPOSIT else "Final invoice"
    left = invoice.payable - invoice.paid_before
    return Paper(
        title=f"Invoice {number}",
        heading=f"{kind} {number}",
        seller=Party.from_json(content["seller"]),
        buyer=Party.from_json(content["buyer"]),
        facts=(
            ("Invoice", number),
            ("Date", _day(invoice.issued_on)),
            ("Pay by", _day(invoice.due_on)),
            ("Order", str(content["order"]["number"])),
            ("Quote", f"version {content['quote_version']}"),
        ),
        lines=_lines(content, currency),
        amount_word=_amount_word(content),
        sums=tuple(_invoice_sums(invoice, content, currency)),
        exemption=_exemption(content),
        ask=f"Please pay {format_money(left, currency)} by {_day(invoice.due_on)}" if left else PAID,
        ask_how=f"Name invoice {number} with your payment." if left else "",
        pay_to=content["seller"].get("pay_to", "") if left else "",
    )


def _credit_note_paper(note: CreditNote) -> Paper:
    content = note.content
    number = paper_number(note)
    currency = note.invoice.currency
    invoice_day = _day(note.invoice.issued_on)
    left = Decimal(content.get("left", "0"))
    taken = "Part of invoice" if left or Decimal(note.payable) != note.invoice.payable else "Invoice"
    return Paper(
        title=f"Credit note {number}",
        heading=f"Credit note {number}",
        seller=Party.from_json(content["seller"]),
        buyer=Party.from_json(content["buyer"]),
        facts=(
            ("Credit note", number),
            ("Date", _day(note.issued_on)),
            ("For invoice", content["invoice"]),
            ("Invoice of", invoice_day),
            ("Order", str(content["order"]["number"])),
        ),
        lines=_lines(content, currency),
        amount_word=_amount_word(content),
        sums=tuple(_sums(note, content, currency, "Credited")),
        reason=f"{taken} {content['invoice']} of {invoice_day} is taken back. Reason: {note.reason}",
        exemption=_exemption(content),
        ask=f"Credited: {format_money(note.payable, currency)}",
        ask_how=" ".join((CREDITED, *_after_credit(note, left, currency))),
    )


def _after_credit(note: CreditNote, left: Decimal, currency: str) -> Iterator[str]:
    """What becomes of the rest of the invoice, and of the amount itself."""
    if left:
        yield f"Of the invoice {format_money(left, currency)} is left."
    if note.lowers_id is None:
        yield "Another invoice asks for what is due instead."


def _exemption(content: Mapping[str, Any]) -> str:
    """Why no tax is charged, where some line has none and the workshop says so."""
    exemption: str = content["seller"].get("exemption", "")
    return "" if len(_taxed(content)) == len(content["groups"]) else exemption


def _receipt_paper(receipt: Receipt) -> Paper:
    content = receipt.content
    number = paper_number(receipt)
    currency = content["currency"]
    amount = format_money(Decimal(content["amount"]), currency)
    due = Decimal(content["still_due"])
    refund = content["refund"]
    return Paper(
        title=f"Receipt {number}",
        heading=f"Receipt {number}" + (" for money given back" if refund else ""),
        seller=Party.from_json(content["seller"]),
        buyer=Party.from_json(content["buyer"]),
        buyer_word="Paid to" if refund else "Received from",
        facts=(
            ("Receipt", number),
            ("Date", _day(receipt.issued_on)),
            ("For", content["order"]),
            *((("Credit note", content["credit_note"]),) if content.get("credit_note") else ()),
        ),
        ask=f"{'Given back' if refund else 'Received with thanks'}: {amount}",
        ask_how=f"By {content['method']}, on {_day(date.fromisoformat(content['received_on']))}.",
        reason=f"Still to pay on this order: {format_money(due, currency)}."
        if due > 0
        else "Nothing is left to pay on this order.",
    )


def _lines(content: Mapping[str, Any], currency: str) -> tuple[Line, ...]:
    return tuple(
        Line(words, format_money(Decimal(line["net"]), currency))
        for words, line in zip(line_words(content), content["lines"], strict=True)
    )


def _taxed(content: Mapping[str, Any]) -> Sequence[Mapping[str, str]]:
    return [group for group in content["groups"] if Decimal(group["rate"])]


def _amount_word(content: Mapping[str, Any]) -> str:
    return f"Without {content['tax_label']}" if _taxed(content) else "Amount"


def _sums(
    row: Quote | Invoice | CreditNote, content: Mapping[str, Any], currency: str, total_word: str
) -> Iterator[Line]:
    """Net, tax by group, rounding and the total; without any tax the total alone."""
    groups = _taxed(content)
    if groups:
        yield Line(f"Sum without {content['tax_label']}", format_money(row.net, currency))
    for group in groups:
        words = f"{content['tax_label']} {Decimal(group['rate']):f} % on {_bare(group['net'], currency)}"
        yield Line(words, format_money(Decimal(group["tax"]), currency))
    if row.rounding != ZERO:
        yield Line("Rounding", format_money(row.rounding, currency))
    yield Line(total_word, format_money(row.payable, currency), "total")


def _invoice_sums(invoice: Invoice, content: Mapping[str, Any], currency: str) -> Iterator[Line]:
    """The sums of an invoice; what was paid before it is taken off at the end."""
    if not invoice.paid_before:
        yield from _sums(invoice, content, currency, "To pay")
        return
    yield from _sums(invoice, content, currency, "Total")
    yield Line("Paid already", format_money(-invoice.paid_before, currency))
    yield Line("To pay", format_money(invoice.payable - invoice.paid_before, currency), "total")


def _bare(amount: str, currency: str) -> str:
    return format_money(Decimal(amount), currency, with_code=False)


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
