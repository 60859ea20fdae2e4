"""What is asked about prices, stock and papers; every query starts from one workshop or one order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet, Sum

from costing.models import (
    Cloth,
    CreditNote,
    Estimate,
    Invoice,
    Notion,
    Payment,
    Quote,
    QuoteState,
    Rates,
    StockMove,
)
from costing.rules.money import ZERO


def cloths(workshop: Any, use: str | None = None) -> QuerySet[Cloth]:
    """The cloths that are sold, by name."""
    rows = Cloth.objects.filter(workshop=workshop, archived_at=None)
    return (rows if use is None else rows.filter(use=use)).order_by("use", "name", "pk")


def notions(workshop: Any) -> QuerySet[Notion]:
    return Notion.objects.filter(workshop=workshop, archived_at=None).order_by("kind", "name", "pk")


def cloth_of(workshop: Any, pk: int) -> Cloth | None:
    return Cloth.objects.filter(workshop=workshop, pk=pk).first()


def notion_of(workshop: Any, pk: int) -> Notion | None:
    return Notion.objects.filter(workshop=workshop, pk=pk).first()


def rates_of(workshop: Any) -> Rates | None:
    """What an hour costs there; None until the owner has said so."""
    return Rates.objects.filter(workshop=workshop).first()


@dataclass(frozen=True, slots=True)
class Stock:
    """Length of a cloth, mm: on the shelf, of that set aside for garments, and what is free."""

    on_shelf: float = 0.0
    reserved: float = 0.0

    @property
    def free(self) -> float:
        return self.on_shelf - self.reserved


def stock_of(cloth_ids: Iterable[int], *, garment_id: int | None = None) -> dict[int, Stock]:
    """Return the stock of each cloth, in one query; with a garment, only what is reserved for that one."""
    ids = list(cloth_ids)
    rows = (
        StockMove.objects.filter(cloth_id__in=ids)
        .order_by()
        .values("cloth_id", "kind", "garment_id")
        .annotate(amount=Sum("amount"))
    )
    found = {pk: [0.0, 0.0] for pk in ids}
    for row in rows:
        held = found[row["cloth_id"]]
        held[0] += SHELF_SIGN.get(row["kind"], 0) * row["amount"]
        if garment_id is None or row["garment_id"] == garment_id:
            held[1] += RESERVED_SIGN.get(row["kind"], 0) * row["amount"]
    return {pk: Stock(round(shelf, 3), round(reserved, 3)) for pk, (shelf, reserved) in found.items()}


Kind = StockMove.Kind
SHELF_SIGN: Mapping[str, int] = {Kind.BOUGHT: 1, Kind.RETURNED: 1, Kind.CUT: -1, Kind.WASTED: -1}
RESERVED_SIGN: Mapping[str, int] = {Kind.RESERVED: 1, Kind.RELEASED: -1}
"""Cutting releases first, so a cut never counts twice."""


def reserved_for(garment_id: int) -> dict[int, float]:
    """Return what is set aside for a garment, mm by cloth."""
    rows = StockMove.objects.filter(garment_id=garment_id, cloth__isnull=False, kind__in=RESERVED_SIGN)
    sums: dict[int, float] = {}
    for cloth_id, kind, amount in rows.values_list("cloth_id", "kind", "amount"):
        sums[cloth_id] = sums.get(cloth_id, 0.0) + RESERVED_SIGN[kind] * amount
    return {cloth_id: round(amount, 3) for cloth_id, amount in sums.items() if amount > 0.5}


def moves_of(cloth: Cloth) -> QuerySet[StockMove]:
    return StockMove.objects.filter(cloth=cloth).order_by("-at", "-pk")


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


@dataclass(frozen=True, slots=True)
class OpenInvoice:
    """An invoice of an order that is not paid up."""

    invoice: Invoice
    due: Decimal
    overdue: bool


def open_invoices(workshop: Any, today: date) -> list[OpenInvoice]:
    """Return the last invoice that holds of each order that still owes money on what was invoiced."""
    rows = (
        Invoice.objects.filter(workshop=workshop, credit_notes=None)
        .select_related("order__client")
        .order_by("-issued_on", "-pk")
    )
    last: dict[int, Invoice] = {}
    for invoice in rows:
        last.setdefault(invoice.order_id, invoice)
    found = balances(last)
    return [
        OpenInvoice(invoice, found[pk].invoiced - found[pk].paid, invoice.due_on < today)
        for pk, invoice in last.items()
        if found[pk].invoiced > found[pk].paid
    ]


@dataclass(frozen=True, slots=True)
class Month:
    """Sales of a month: invoices less credit notes."""

    year: int
    month: int
    net: Decimal
    tax: Decimal
    gross: Decimal


def sales_by_month(workshop: Any) -> list[Month]:
    """Return net, tax and gross by month of issue, the newest first."""
    sums: dict[tuple[int, int], list[Decimal]] = {}
    for sign, rows in (
        (1, Invoice.objects.filter(workshop=workshop)),
        (-1, CreditNote.objects.filter(workshop=workshop)),
    ):
        for row in rows.only("issued_on", "net", "tax", "gross"):
            held = sums.setdefault((row.issued_on.year, row.issued_on.month), [ZERO, ZERO, ZERO])
            for index, amount in enumerate((row.net, row.tax, row.gross)):
                held[index] += sign * amount
    return [Month(*key, *sums[key]) for key in sorted(sums, reverse=True)]
