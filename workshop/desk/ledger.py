"""What an order's page tells of its money: invoices, credit notes and payments, each with its paper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from costing.models import CreditNote, Invoice, Payment
from costing.queries import credit_notes_of, credited, invoices_of, paper_number, payments_of
from costing.rules.money import ZERO
from workshop.orders.models import Order, OrderDocument

Kind = OrderDocument.Kind


@dataclass(frozen=True, slots=True)
class Entry:
    """A row of the ledger, with its number and its file, where that is written already.

    ``left``: of an invoice, what credit notes left of it.
    """

    row: Invoice | CreditNote | Payment
    number: str
    paper: OrderDocument | None
    left: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Ledger:
    invoices: tuple[Entry, ...]
    credit_notes: tuple[Entry, ...]
    payments: tuple[Entry, ...]


def ledger_of(order: Order, papers: Iterable[OrderDocument]) -> Ledger:
    """``papers``: the order's files."""
    files = {(paper.kind, paper.source_id): paper for paper in papers}
    invoices = invoices_of(order).prefetch_related("credit_notes")
    payments = payments_of(order).select_related("credit_note")
    return Ledger(
        tuple(
            Entry(row, paper_number(row), files.get((Kind.INVOICE, row.pk)), row.payable - credited(row))
            for row in invoices
        ),
        tuple(
            Entry(row, paper_number(row), files.get((Kind.CREDIT_NOTE, row.pk)))
            for row in credit_notes_of(order)
        ),
        tuple(_payment(row, files) for row in payments),
    )


def _payment(row: Payment, files: dict[tuple[str, int], OrderDocument]) -> Entry:
    receipt = getattr(row, "receipt", None)
    if receipt is None:
        return Entry(row, "", None)
    return Entry(row, paper_number(receipt), files.get((Kind.RECEIPT, receipt.pk)))
