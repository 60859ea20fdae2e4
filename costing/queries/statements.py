"""Statements of a workshop's money: what is unpaid, whose money it holds, what it sold."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
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


@dataclass(frozen=True, slots=True, order=True)
class MonthSales:
    """Sales of a month under one tax rate: invoices less credit notes."""

    year: int
    month: int
    key: TaxKey
    net: Decimal
    tax: Decimal

    @property
    def gross(self) -> Decimal:
        return self.net + self.tax


def sales_by_month(workshop: Any) -> list[MonthSales]:
    """Return net and tax by month of issue and tax rate, the newest month first, in two queries."""
    sums: dict[tuple[int, int, TaxKey], tuple[Decimal, Decimal]] = {}
    for issued_on, key, net, tax in _issued_groups(workshop):
        at = (issued_on.year, issued_on.month, key)
        before = sums.get(at, (ZERO, ZERO))
        sums[at] = (before[0] + net, before[1] + tax)
    rows = [MonthSales(*at, *amounts) for at, amounts in sums.items()]
    return sorted(rows, key=lambda row: (-row.year, -row.month, row.key))


def _issued_groups(workshop: Any) -> Iterator[tuple[date, TaxKey, Decimal, Decimal]]:
    """Day, tax group, net and tax of all that was issued; a credit note counts against it."""
    for sign, issued in (
        (1, Invoice.objects.filter(workshop=workshop)),
        (-1, CreditNote.objects.filter(workshop=workshop)),
    ):
        for issued_on, groups in issued.values_list("issued_on", "content__groups"):
            for group in groups:
                net, tax = sign * Decimal(group["net"]), sign * Decimal(group["tax"])
                yield issued_on, TaxKey.read(group), net, tax
