"""Estimates, quotes, invoices, payments, and what an order still owes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet

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


def invoices_of(order: Any) -> QuerySet[Invoice]:
    return Invoice.objects.filter(order=order).order_by("year", "number")


def invoice_of(workshop: Any, pk: int) -> Invoice | None:
    return Invoice.objects.filter(workshop=workshop, pk=pk).select_related("order__client").first()


def payments_of(order: Any) -> QuerySet[Payment]:
    return Payment.objects.filter(order=order).select_related("receipt").order_by("received_on", "pk")


@dataclass(frozen=True, slots=True)
class Balance:
    """The money of an order.

    Args:
        price: of the accepted quote; zero before.
        deposit: agreed in it.
        invoiced: asked for by invoices, less credit notes.
        paid: payments less refunds.
    """

    price: Decimal = ZERO
    deposit: Decimal = ZERO
    invoiced: Decimal = ZERO
    paid: Decimal = ZERO

    @property
    def due(self) -> Decimal:
        """Still to pay of the agreed price, or of what was invoiced where that is more."""
        return max(self.price, self.invoiced) - self.paid

    @property
    def settled(self) -> bool:
        return self.due <= 0

    @property
    def deposit_in(self) -> bool:
        return self.paid >= self.deposit


def balances(order_ids: Iterable[int]) -> dict[int, Balance]:
    """Return the balance of each order, in four queries however many there are."""
    ids = list(order_ids)
    price = {
        quote.order_id: quote
        for quote in Quote.objects.filter(order_id__in=ids, state=QuoteState.ACCEPTED).only(
            "order_id", "gross", "rounding", "deposit"
        )
    }
    invoiced: dict[int, Decimal] = dict.fromkeys(ids, ZERO)
    paid: dict[int, Decimal] = dict.fromkeys(ids, ZERO)
    for invoice in Invoice.objects.filter(order_id__in=ids):
        invoiced[invoice.order_id] += invoice.payable
    for note in CreditNote.objects.filter(invoice__order_id__in=ids).select_related("invoice"):
        invoiced[note.invoice.order_id] -= note.payable
    for payment in Payment.objects.filter(order_id__in=ids):
        paid[payment.order_id] += -payment.amount if payment.refund else payment.amount
    return {
        pk: Balance(
            price=price[pk].payable if pk in price else ZERO,
            deposit=price[pk].deposit if pk in price else ZERO,
            invoiced=invoiced[pk],
            paid=paid[pk],
        )
        for pk in ids
    }


def balance_of(order: Any) -> Balance:
    return balances([order.pk])[order.pk]
