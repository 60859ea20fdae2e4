"""Estimates, quotes, invoices, payments, and what an order still owes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import Q, QuerySet

from costing import speech
from costing.models import CreditNote, Estimate, Invoice, Payment, Quote, QuoteState
from costing.rules.money import ZERO


def current_estimate(garment_id: int) -> Estimate | None:
    return Estimate.objects.filter(garment_id=garment_id, superseded_at=None).first()


def quotes_of(order: Any) -> QuerySet[Quote]:
    """The versions of an order's quote, the newest first."""
    return Quote.objects.filter(order=order).order_by("-version")


def quote_of(workshop: Any, pk: int) -> Quote | None:
    return Quote.objects.filter(workshop=workshop, pk=pk).select_related("order__client").first()


def quote_out(order: Any) -> Quote | None:
    """The version that the customer sees: sent or accepted, else the last one answered with no."""
    rows = Quote.objects.filter(order=order)
    out = rows.filter(state__in=[QuoteState.SENT, QuoteState.ACCEPTED]).first()
    return out or rows.filter(state=QuoteState.DECLINED).order_by("-version").first()


def agreed_quotes(order_ids: Iterable[int]) -> dict[int, Quote]:
    """The version of each order that was agreed last, without its content.

    It holds until another is agreed: a change that is out, declined or ran out leaves it. None once the order
    is cancelled.
    """
    agreed = Q(state=QuoteState.ACCEPTED) | Q(state=QuoteState.SUPERSEDED, answered_at__isnull=False)
    rows = Quote.objects.filter(agreed, order_id__in=list(order_ids), order__cancelled_at=None)
    found = rows.only("order_id", "version", "gross", "rounding", "deposit").order_by("version")
    return {quote.order_id: quote for quote in found}


def invoices_of(order: Any) -> QuerySet[Invoice]:
    return Invoice.objects.filter(order=order).order_by("year", "number")


def invoice_of(workshop: Any, pk: int) -> Invoice | None:
    return Invoice.objects.filter(workshop=workshop, pk=pk).select_related("order__client").first()


def credit_notes_of(order: Any) -> QuerySet[CreditNote]:
    """The order's credit notes with what was given back for each."""
    rows = CreditNote.objects.filter(invoice__order=order).select_related("invoice")
    return rows.prefetch_related("refunds").order_by("year", "number")


def paper_number(paper: Any) -> str:
    """``2026-0007``: the year and the number within it."""
    return f"{paper.year}-{paper.number:04d}"


def line_words(content: Mapping[str, Any]) -> list[str]:
    """The words of a paper's lines; each names its tax where the paper has several groups."""
    if len(content["groups"]) < 2:
        return [line["words"] for line in content["lines"]]
    return [f"{line['words']}, {_tax(content, line)}" for line in content["lines"]]


def garment_taxes(content: Mapping[str, Any]) -> list[str]:
    """The tax of each garment of a quote, as ``VAT 6 %``; empty where all are taxed alike."""
    if len(content["groups"]) < 2:
        return [""] * len(content["garments"])
    return [_tax(content, line) for line in content["lines"]]


def _tax(content: Mapping[str, Any], line: Mapping[str, str]) -> str:
    return tax_words(content["tax_label"], Decimal(line["rate"]).normalize())


def tax_words(label: str, rate: Decimal) -> str:
    """``VAT 5.5 %``, with the decimal mark of the language that is spoken."""
    return f"{label} {speech.number(rate)} %"


def credited(invoice: Invoice) -> Decimal:
    """What credit notes took back of an invoice."""
    return sum((note.payable for note in invoice.credit_notes.all()), ZERO)


def lowered(quote: Quote) -> Decimal:
    """What credit notes took off the price that a quote agreed."""
    return sum((note.payable for note in quote.lowered_by.all()), ZERO)


def given_back(note: CreditNote) -> Decimal:
    """What was paid out for a credit note."""
    return sum((payment.amount for payment in note.refunds.all()), ZERO)


def payments_of(order: Any) -> QuerySet[Payment]:
    return Payment.objects.filter(order=order).select_related("receipt").order_by("received_on", "pk")


@dataclass(frozen=True, slots=True)
class Balance:
    """The money of an order.

    Args:
        price: of the quote agreed last, less what credit notes took off it; zero before, and once cancelled.
        deposit: agreed in it; what was taken off the price counts as deposit.
        invoiced: asked for by invoices, less credit notes.
        paid: payments less refunds.
        taken_off: what credit notes took off the agreed price.
    """

    price: Decimal = ZERO
    deposit: Decimal = ZERO
    invoiced: Decimal = ZERO
    paid: Decimal = ZERO
    taken_off: Decimal = ZERO

    @property
    def agreed(self) -> Decimal:
        """The price as it was agreed, before anything was taken off it."""
        return self.price + self.taken_off

    @property
    def due(self) -> Decimal:
        """Still to pay of the agreed price, or of what was invoiced where that is more.

        Negative: so much is the customer's again.
        """
        return max(self.price, self.invoiced) - self.paid

    @property
    def to_give_back(self) -> Decimal:
        return max(-self.due, ZERO)

    @property
    def settled(self) -> bool:
        return self.due <= 0

    @property
    def deposit_in(self) -> bool:
        return self.paid >= self.deposit


def balances(order_ids: Iterable[int]) -> dict[int, Balance]:
    """Return the balance of each order, in four queries however many there are."""
    ids = list(order_ids)
    invoiced: dict[int, Decimal] = dict.fromkeys(ids, ZERO)
    taken_off: dict[int, Decimal] = {}  # by quote
    paid: dict[int, Decimal] = dict.fromkeys(ids, ZERO)
    for invoice in Invoice.objects.filter(order_id__in=ids).defer("content"):
        invoiced[invoice.order_id] += invoice.payable
    notes = CreditNote.objects.filter(invoice__order_id__in=ids).defer("content", "invoice__content")
    for note in notes.select_related("invoice"):
        invoiced[note.invoice.order_id] -= note.payable
        if note.lowers_id is not None:
            taken_off[note.lowers_id] = taken_off.get(note.lowers_id, ZERO) + note.payable
    for payment in Payment.objects.filter(order_id__in=ids):
        paid[payment.order_id] += -payment.amount if payment.refund else payment.amount
    agreed = agreed_quotes(ids)
    return {pk: _balance(agreed.get(pk), taken_off, invoiced=invoiced[pk], paid=paid[pk]) for pk in ids}


def _balance(
    quote: Quote | None, taken_off: dict[int, Decimal], *, invoiced: Decimal, paid: Decimal
) -> Balance:
    if quote is None:
        return Balance(invoiced=invoiced, paid=paid)
    off = taken_off.get(quote.pk, ZERO)
    return Balance(
        price=quote.payable - off,
        deposit=max(quote.deposit - off, ZERO),
        invoiced=invoiced,
        paid=paid,
        taken_off=off,
    )


def balance_of(order: Any) -> Balance:
    return balances([order.pk])[order.pk]
