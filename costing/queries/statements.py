"""Statements of a workshop's money: what is unpaid, whose money it holds, what it sold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Prefetch

from costing.models import CreditNote, Invoice, Payment
from costing.queries.papers import credited
from costing.rules.money import ZERO
from costing.rules.statements import days_late, left_to_pay
from costing.rules.tax import TaxKey

_NOTES = Prefetch("credit_notes", CreditNote.objects.defer("content"))


@dataclass(frozen=True, slots=True)
class OpenInvoice:
    """An invoice that is not paid up: what is left of it, and how many days it is late."""

    invoice: Invoice
    due: Decimal
    days_overdue: int

    @property
    def overdue(self) -> bool:
        return self.days_overdue > 0


def open_invoices(workshop: Any, today: date) -> list[OpenInvoice]:
    """Return the invoices that are not paid up, the one due first before the others, in three queries.

    What was paid on an order settles its oldest invoice first; what was credited of it is not asked for.
    """
    rows = (
        Invoice.objects.filter(workshop=workshop)
        .defer("content")
        .prefetch_related(_NOTES)
        .select_related("order__client")
        .order_by("year", "number")
    )
    papers: dict[int, list[Invoice]] = {}
    for invoice in rows:
        papers.setdefault(invoice.order_id, []).append(invoice)
    paid = _paid(workshop)
    found = [
        OpenInvoice(invoice, due, days_late(invoice.due_on, today))
        for order_id, invoices in papers.items()
        for invoice, due in zip(
            invoices,
            left_to_pay([row.payable - credited(row) for row in invoices], paid.get(order_id, ZERO)),
            strict=True,
        )
        if due > 0
    ]
    return sorted(found, key=lambda row: (row.invoice.due_on, row.invoice.pk))


def _paid(workshop: Any) -> dict[int, Decimal]:
    """Payments less refunds of each order."""
    paid: dict[int, Decimal] = {}
    rows = Payment.objects.filter(workshop=workshop).values_list("order_id", "refund", "amount")
    for order_id, refund, amount in rows:
        paid[order_id] = paid.get(order_id, ZERO) + (-amount if refund else amount)
    return paid


@dataclass(frozen=True, slots=True)
class Held:
    """Money of an order that no final invoice has taken in: it is still the customer's.

    Args:
        order: whose money it is; ``order.client`` is loaded.
        since_on: day of the first payment.
        asked: by deposit invoices, less credit notes.
        amount: payments less refunds.
    """

    order: Any
    since_on: date
    asked: Decimal
    amount: Decimal


def deposits_held(workshop: Any) -> list[Held]:
    """Return the money held for orders without a final invoice, the oldest first, in three queries."""
    asked: dict[int, Decimal] = {}
    settled = set()
    invoices = Invoice.objects.filter(workshop=workshop).only("order_id", "kind", "gross", "rounding")
    for invoice in invoices.prefetch_related(_NOTES):
        left = invoice.payable - credited(invoice)
        asked[invoice.order_id] = asked.get(invoice.order_id, ZERO) + left
        if invoice.kind == Invoice.Kind.FINAL and left > 0:
            settled.add(invoice.order_id)
    held: dict[int, Held] = {}
    payments = (
        Payment.objects.filter(workshop=workshop)
        .exclude(order_id__in=settled)
        .select_related("order__client")
        .order_by("received_on", "pk")
    )
    for payment in payments:
        before = held.get(payment.order_id)
        held[payment.order_id] = Held(
            payment.order,
            before.since_on if before else payment.received_on,
            asked.get(payment.order_id, ZERO),
            (before.amount if before else ZERO) + (-payment.amount if payment.refund else payment.amount),
        )
    return [row for row in held.values() if row.amount > 0]


@dataclass(frozen=True, slots=True)
class MonthSales:
    """Sales of a month under one tax rate: invoices less credit notes.

    Without a ``key`` it is the month's ``rounding`` to agreed prices, which is of no rate: with it the rows
    of a month sum to what its papers come to.
    """

    year: int
    month: int
    key: TaxKey | None
    net: Decimal
    tax: Decimal
    rounding: Decimal = ZERO

    @property
    def gross(self) -> Decimal:
        return self.net + self.tax + self.rounding

    def joined(self, other: MonthSales) -> MonthSales:
        """The two together, of one month and key."""
        return replace(
            self,
            net=self.net + other.net,
            tax=self.tax + other.tax,
            rounding=self.rounding + other.rounding,
        )


def sales_by_month(workshop: Any) -> list[MonthSales]:
    """Return net and tax by month of issue and tax rate, the newest month first, in two queries."""
    sums: dict[tuple[int, int, TaxKey | None], MonthSales] = {}
    for row in _issued_groups(workshop):
        at = (row.year, row.month, row.key)
        sums[at] = row.joined(sums[at]) if at in sums else row
    rows = [row for row in sums.values() if row.key or row.rounding]
    return sorted(rows, key=lambda row: (-row.year, -row.month, row.key or _LAST))


_LAST = TaxKey("~", ZERO)
"""Sorts behind every category."""


def _issued_groups(workshop: Any) -> Iterator[MonthSales]:
    """Each tax group of all that was issued, and its rounding; a credit note counts against it."""
    for sign, issued in (
        (1, Invoice.objects.filter(workshop=workshop)),
        (-1, CreditNote.objects.filter(workshop=workshop)),
    ):
        for on, groups, rounding in issued.values_list("issued_on", "content__groups", "rounding"):
            for group in groups:
                net, tax = sign * Decimal(group["net"]), sign * Decimal(group["tax"])
                yield MonthSales(on.year, on.month, TaxKey.read(group), net, tax)
            yield MonthSales(on.year, on.month, None, ZERO, ZERO, sign * rounding)
