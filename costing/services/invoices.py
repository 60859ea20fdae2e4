"""Invoices and credit notes: numbered without gaps, never changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from costing.errors import BadAmount, CostingError
from costing.models import CreditNote, Invoice, NumberSeries, Quote, QuoteState
from costing.parties import Party
from costing.rules.money import ZERO
from costing.rules.tax import TaxedLine, TaxKey, Totals, net_of, totals
from costing.services.numbering import next_number


class NothingToInvoice(CostingError):
    """There is nothing left that an invoice could ask for."""


@dataclass(frozen=True, slots=True)
class PaperLine:
    """A line of an invoice or a credit note."""

    words: str
    net: Decimal
    tax: TaxKey

    def to_json(self) -> dict[str, str]:
        return {
            "words": self.words,
            "net": str(self.net),
            "category": self.tax.category,
            "rate": str(self.tax.rate),
        }

    @classmethod
    def from_json(cls, data: Mapping[str, str]) -> PaperLine:
        return cls(data["words"], Decimal(data["net"]), TaxKey(data["category"], Decimal(data["rate"])))


@transaction.atomic
def issue_deposit_invoice(
    *, quote: Quote, seller: Party, buyer: Party, tax_label: str, today: date, due_on: date, now: datetime
) -> Invoice:
    """Ask for the deposit that an accepted quote names.

    Raises: NothingToInvoice where the quote is not accepted, names no deposit, or was asked for already.
    """
    quote = Quote.objects.select_for_update().get(pk=quote.pk)
    if quote.state != QuoteState.ACCEPTED:
        raise NothingToInvoice("A deposit is asked for once the quote is accepted.")
    if quote.deposit <= 0:
        raise NothingToInvoice("This quote asks for no deposit.")
    asked = Invoice.objects.filter(order_id=quote.order_id, kind=Invoice.Kind.DEPOSIT)
    if asked.filter(credit_notes=None).exists():
        raise NothingToInvoice("The deposit was asked for already; credit that invoice first.")
    key = _main_tax(quote)
    net = net_of(quote.deposit, key.rate, quote.currency)
    made = totals([TaxedLine(net, key)], currency=quote.currency)
    made = totals([TaxedLine(net, key)], currency=quote.currency, rounding=quote.deposit - made.gross)
    lines = [PaperLine(f"Deposit on quote {quote.version}", net, key)]
    return _issue(
        quote=quote,
        kind=Invoice.Kind.DEPOSIT,
        lines=lines,
        made=made,
        seller=seller,
        buyer=buyer,
        tax_label=tax_label,
        today=today,
        due_on=due_on,
        now=now,
    )


@transaction.atomic
def issue_final_invoice(
    *, quote: Quote, seller: Party, buyer: Party, tax_label: str, today: date, due_on: date, now: datetime
) -> Invoice:
    """Ask for the agreed price less what deposit invoices (after credit notes) have asked for.

    Raises: NothingToInvoice where the quote is not accepted or the whole price was invoiced already.
    """
    quote = Quote.objects.select_for_update().get(pk=quote.pk)
    if quote.state != QuoteState.ACCEPTED:
        raise NothingToInvoice("The final invoice follows an accepted quote.")
    whole = [PaperLine.from_json(line) for line in quote.content["lines"]]
    before, asked = _invoiced_before(quote.order_id)
    if asked >= quote.payable:
        raise NothingToInvoice("The whole price was invoiced already.")
    lines = [*whole, *before]
    taxed = [TaxedLine(line.net, line.tax) for line in lines]
    made = totals(taxed, currency=quote.currency)
    made = totals(taxed, currency=quote.currency, rounding=quote.payable - asked - made.gross)
    return _issue(
        quote=quote,
        kind=Invoice.Kind.FINAL,
        lines=lines,
        made=made,
        seller=seller,
        buyer=buyer,
        tax_label=tax_label,
        today=today,
        due_on=due_on,
        now=now,
    )


def _invoiced_before(order_id: int) -> tuple[list[PaperLine], Decimal]:
    """Lines that take off what earlier invoices of the order asked for, and their payable sum."""
    lines: list[PaperLine] = []
    asked = ZERO
    rows = (
        Invoice.objects.filter(order_id=order_id).prefetch_related("credit_notes").order_by("year", "number")
    )
    for invoice in rows:
        credited = sum((note.payable for note in invoice.credit_notes.all()), ZERO)
        if credited >= invoice.payable:
            continue
        for group in invoice.content["groups"]:
            key = TaxKey(group["category"], Decimal(group["rate"]))
            net = Decimal(group["net"]) - _credited_net(invoice, key)
            words = f"Less {invoice.get_kind_display()} invoice {paper_number(invoice)}"
            lines.append(PaperLine(words, -net, key))
        asked += invoice.payable - credited
    return lines, asked


def _credited_net(invoice: Invoice, key: TaxKey) -> Decimal:
    return sum(
        (
            Decimal(group["net"])
            for note in invoice.credit_notes.all()
            for group in note.content["groups"]
            if TaxKey(group["category"], Decimal(group["rate"])) == key
        ),
        ZERO,
    )


def _main_tax(quote: Quote) -> TaxKey:
    """The group with the largest net: a deposit is asked for under one rate."""
    group = max(quote.content["groups"], key=lambda group: Decimal(group["net"]))
    return TaxKey(group["category"], Decimal(group["rate"]))


def paper_number(paper: Any) -> str:
    """``2026-0007``: the year and the number within it."""
    return f"{paper.year}-{paper.number:04d}"


def groups_json(made: Totals) -> list[dict[str, str]]:
    return [
        {
            "category": group.key.category,
            "rate": str(group.key.rate),
            "net": str(group.net),
            "tax": str(group.tax),
        }
        for group in made.groups
    ]


def _content(
    lines: Sequence[PaperLine], made: Totals, seller: Party, buyer: Party, tax_label: str, **more: Any
) -> dict[str, Any]:
    return {
        "seller": seller.to_json(),
        "buyer": buyer.to_json(),
        "tax_label": tax_label,
        "lines": [line.to_json() for line in lines],
        "groups": groups_json(made),
        **more,
    }


def _issue(
    *,
    quote: Quote,
    kind: str,
    lines: Sequence[PaperLine],
    made: Totals,
    seller: Party,
    buyer: Party,
    tax_label: str,
    today: date,
    due_on: date,
    now: datetime,
) -> Invoice:
    number = next_number(workshop=quote.workshop, kind=NumberSeries.Kind.INVOICE, year=today.year)
    more = {"order": quote.content["order"], "quote_version": quote.version}
    return Invoice.objects.create(
        workshop_id=quote.workshop_id,
        order_id=quote.order_id,
        kind=kind,
        year=today.year,
        number=number,
        currency=quote.currency,
        issued_on=today,
        due_on=due_on,
        content=_content(lines, made, seller, buyer, tax_label, **more),
        net=made.net,
        tax=made.tax,
        gross=made.gross,
        rounding=made.rounding,
        created_at=now,
    )


@transaction.atomic
def credit_invoice(*, invoice: Invoice, reason: str, today: date, now: datetime) -> CreditNote:
    """Take back what is left of an invoice, with a number of its own.

    Raises: BadAmount without a reason, NothingToInvoice where all of it was credited already.
    """
    invoice = Invoice.objects.select_for_update().get(pk=invoice.pk)
    if not reason.strip():
        raise BadAmount("Write why the invoice is credited; the paper says so.", field="reason")
    if invoice.credit_notes.exists():
        raise NothingToInvoice("This invoice was credited already.")
    number = next_number(workshop=invoice.workshop, kind=NumberSeries.Kind.CREDIT_NOTE, year=today.year)
    return CreditNote.objects.create(
        workshop_id=invoice.workshop_id,
        invoice=invoice,
        year=today.year,
        number=number,
        issued_on=today,
        reason=reason.strip()[:300],
        content={**invoice.content, "invoice": paper_number(invoice)},
        net=invoice.net,
        tax=invoice.tax,
        gross=invoice.gross,
        rounding=invoice.rounding,
        created_at=now,
    )
