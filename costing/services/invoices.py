"""Invoices and credit notes: numbered without gaps, never changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, NotRequired, TypedDict, Unpack

from django.db import transaction
from django.utils.translation import gettext as _

from costing.einvoices import refuse_broken
from costing.errors import BadAmount, CostingError
from costing.models import CreditNote, Invoice, NumberSeries, Quote, QuoteState
from costing.parties import Party
from costing.queries.papers import balance_of, credited, lowered, paper_number
from costing.rules.crediting import Credited, Left, all_left, part_left
from costing.rules.money import ZERO, rounded
from costing.rules.tax import TaxedLine, TaxKey, Totals, split_gross, totals, totals_to
from costing.services.numbering import next_number
from costing.speech import ENGLISH


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
        return cls(data["words"], Decimal(data["net"]), TaxKey.read(data))


class Issuing(TypedDict):
    """What an invoice is issued with; ``electronic`` where it carries an e-invoice.

    ``language``: of the paper; the caller speaks it, as lines are worded when they are made.
    """

    seller: Party
    buyer: Party
    tax_label: str
    today: date
    due_on: date
    now: datetime
    electronic: NotRequired[bool]
    language: NotRequired[str]


@transaction.atomic
def issue_deposit_invoice(*, quote: Quote, **issuing: Unpack[Issuing]) -> Invoice:
    """Ask for the deposit that an accepted quote names.

    Raises: NothingToInvoice where the quote is not accepted, names no deposit, or was asked for already;
    NotElectronic.
    """
    quote = Quote.objects.select_for_update().get(pk=quote.pk)
    if quote.state != QuoteState.ACCEPTED:
        raise NothingToInvoice("A deposit is asked for once the quote is accepted.")
    deposit = quote.deposit - lowered(quote)
    if deposit <= 0:
        raise NothingToInvoice("This quote asks for no deposit.")
    asked = Invoice.objects.filter(order_id=quote.order_id, kind=Invoice.Kind.DEPOSIT)
    if any(credited(invoice) < invoice.payable for invoice in asked.prefetch_related("credit_notes")):
        raise NothingToInvoice("The deposit was asked for already; credit that invoice first.")
    before, sum_asked = _invoiced_before(quote.order_id)
    deposit = min(deposit, _left_to_ask(quote, sum_asked))
    lines = _deposit_lines(quote, deposit, before)
    made = _adding_up_to(deposit, lines, quote.currency)
    return _issue(quote=quote, kind=Invoice.Kind.DEPOSIT, lines=lines, made=made, **issuing)


@transaction.atomic
def issue_final_invoice(*, quote: Quote, **issuing: Unpack[Issuing]) -> Invoice:
    """Ask for what is left of the agreed price after earlier invoices and credit notes.

    Raises: NothingToInvoice where the quote is not accepted or the whole price was invoiced already;
    NotElectronic.
    """
    quote = Quote.objects.select_for_update().get(pk=quote.pk)
    if quote.state != QuoteState.ACCEPTED:
        raise NothingToInvoice("The final invoice follows an accepted quote.")
    before, asked = _invoiced_before(quote.order_id)
    left = _left_to_ask(quote, asked)
    lines = [*_agreed_lines(quote), *before]
    made = _adding_up_to(left, lines, quote.currency)
    return _issue(quote=quote, kind=Invoice.Kind.FINAL, lines=lines, made=made, **issuing)


def _adding_up_to(payable: Decimal, lines: Sequence[PaperLine], currency: str) -> Totals:
    """The totals of lines, with the rounding that makes them what is asked for."""
    return totals_to(payable, [TaxedLine(line.net, line.tax) for line in lines], currency=currency)


def _deposit_lines(quote: Quote, deposit: Decimal, before: Sequence[PaperLine]) -> list[PaperLine]:
    """A line for each tax group of what is still to be asked for."""
    taxed = [TaxedLine(line.net, line.tax) for line in (*_agreed_lines(quote), *before)]
    split = split_gross(deposit, totals(taxed, currency=quote.currency).groups, quote.currency)
    words = _("Deposit on quote %(version)s") % {"version": quote.version}
    return [PaperLine(words, line.net, line.key) for line in split]


def _agreed_lines(quote: Quote) -> list[PaperLine]:
    """The garments as agreed, less what credit notes took off their price."""
    return [*(PaperLine.from_json(line) for line in quote.content["lines"]), *_taken_off(quote)]


def _left_to_ask(quote: Quote, asked: Decimal) -> Decimal:
    """What is left of the agreed price once ``asked`` was. Raises: NothingToInvoice."""
    left = quote.payable - lowered(quote) - asked
    if left <= 0:
        raise NothingToInvoice("The whole price was invoiced already.")
    return left


def _invoiced_before(order_id: int) -> tuple[list[PaperLine], Decimal]:
    """Lines that take off what earlier invoices of the order asked for, and their payable sum."""
    lines: list[PaperLine] = []
    asked = ZERO
    rows = (
        Invoice.objects.filter(order_id=order_id).prefetch_related("credit_notes").order_by("year", "number")
    )
    for invoice in rows:
        left = invoice.payable - credited(invoice)
        if left <= 0:
            continue
        is_deposit = invoice.kind == Invoice.Kind.DEPOSIT
        words = _("Less deposit invoice %(number)s") if is_deposit else _("Less final invoice %(number)s")
        words %= {"number": paper_number(invoice)}
        for key, net in _group_nets(invoice):
            lines.append(PaperLine(words, _credited_net(invoice, key) - net, key))
        asked += left
    return lines, asked


def _taken_off(quote: Quote) -> list[PaperLine]:
    """Lines for what credit notes took off the agreed price."""
    return [
        PaperLine(_("Less credit note %(number)s") % {"number": paper_number(note)}, -net, key)
        for note in quote.lowered_by.order_by("year", "number")
        for key, net in _group_nets(note)
    ]


def _group_nets(paper: Invoice | CreditNote) -> list[tuple[TaxKey, Decimal]]:
    return [(TaxKey.read(group), Decimal(group["net"])) for group in paper.content["groups"]]


def _credited_net(invoice: Invoice, key: TaxKey) -> Decimal:
    nets = (net for note in invoice.credit_notes.all() for of, net in _group_nets(note) if of == key)
    return sum(nets, ZERO)


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


def _issue(
    *,
    quote: Quote,
    kind: str,
    lines: Sequence[PaperLine],
    made: Totals,
    **issuing: Unpack[Issuing],
) -> Invoice:
    today = issuing["today"]
    number = next_number(workshop=quote.workshop, kind=NumberSeries.Kind.INVOICE, year=today.year)
    content = {
        "seller": issuing["seller"].to_json(),
        "buyer": issuing["buyer"].to_json(),
        "tax_label": issuing["tax_label"],
        "lines": [line.to_json() for line in lines],
        "groups": groups_json(made),
        "order": quote.content["order"],
        "quote_version": quote.version,
        "electronic": issuing.get("electronic", False),
        "language": issuing.get("language", ENGLISH),
        "paid_before": str(min(_on_account(quote.order), made.gross + made.rounding)),
    }
    invoice = Invoice.objects.create(
        workshop_id=quote.workshop_id,
        order_id=quote.order_id,
        kind=kind,
        year=today.year,
        number=number,
        currency=quote.currency,
        issued_on=today,
        due_on=issuing["due_on"],
        content=content,
        net=made.net,
        tax=made.tax,
        gross=made.gross,
        rounding=made.rounding,
        created_at=issuing["now"],
    )
    refuse_broken(invoice)
    return invoice


def _on_account(order: Any) -> Decimal:
    """What was paid of an order that no invoice has asked for yet."""
    balance = balance_of(order)
    return max(balance.paid - balance.invoiced, ZERO)


def lines_left(invoice: Invoice) -> list[Left]:
    """What earlier credit notes left of each line of an invoice, in their order."""
    lines = [PaperLine.from_json(line) for line in invoice.content["lines"]]
    nets = [line.net for line in lines]
    for note in invoice.credit_notes.all():
        for place, row in enumerate(note.content["lines"]):
            nets[row.get("of", place)] -= Decimal(row["net"])
    return [Left(net, line.tax) for net, line in zip(nets, lines, strict=True)]


@transaction.atomic
def credit_invoice(
    *,
    invoice: Invoice,
    reason: str,
    today: date,
    now: datetime,
    parts: Mapping[int, Decimal] | None = None,
    lowers_price: bool = False,
) -> CreditNote:
    """Take back what is left of an invoice, or parts of it, with a number of its own.

    Args:
        parts: amounts with tax by position of the invoice's line, from 0; None for all that is left.
        lowers_price: the customer pays so much less than agreed; else the amount is asked for again.

    Raises: BadAmount without a reason or for amounts that are none, MoreThanLeft, NothingToInvoice where all
    of it was credited already or there is no agreed price to lower.
    """
    invoice = Invoice.objects.select_for_update().get(pk=invoice.pk)
    if not reason.strip():
        raise BadAmount("Write why the invoice is credited; the paper says so.", field="reason")
    left = invoice.payable - credited(invoice)
    if left <= 0:
        raise NothingToInvoice("This invoice was credited already.")
    lines = lines_left(invoice)
    rows, made = (
        all_left(lines, left, invoice.currency)
        if parts is None
        else part_left(lines, left, parts, invoice.currency)
    )
    number = next_number(workshop=invoice.workshop, kind=NumberSeries.Kind.CREDIT_NOTE, year=today.year)
    note = CreditNote.objects.create(
        workshop_id=invoice.workshop_id,
        invoice=invoice,
        lowers=_agreed(invoice) if lowers_price else None,
        year=today.year,
        number=number,
        issued_on=today,
        reason=reason.strip()[:300],
        content=_credited_content(invoice, rows, made, left),
        net=made.net,
        tax=made.tax,
        gross=made.gross,
        rounding=made.rounding,
        created_at=now,
    )
    refuse_broken(note)
    return note


def _agreed(invoice: Invoice) -> Quote:
    """The accepted quote, its row locked: a final invoice that is issued meanwhile waits."""
    rows = Quote.objects.select_for_update().filter(order_id=invoice.order_id, state=QuoteState.ACCEPTED)
    quote = rows.first()
    if quote is None:
        raise NothingToInvoice("No quote of this order is accepted; there is no price to lower.")
    return quote


def _credited_content(
    invoice: Invoice, rows: Sequence[Credited], made: Totals, left: Decimal
) -> dict[str, Any]:
    """The invoice's own words with the lines that are taken back, each with its position (``of``)."""
    words = [line["words"] for line in invoice.content["lines"]]
    lines = [
        {**PaperLine(words[row.position], row.net, row.key).to_json(), "of": row.position} for row in rows
    ]
    return {
        **invoice.content,
        "invoice": paper_number(invoice),
        "lines": lines,
        "groups": groups_json(made),
        "left": str(rounded(left - made.payable, invoice.currency)),
    }
