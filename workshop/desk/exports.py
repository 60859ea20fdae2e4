"""The statements of the money page as files for an accountant."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costing import queries as costing_queries
from costing.queries import paper_number
from costing.rules.money import as_shown
from costing.rules.tables import Cell, csv_file
from workshop.people.models import Workshop
from workshop.planning.queries import profit_by_style


@dataclass(frozen=True, slots=True)
class Export:
    """A statement as a table: its columns, and its rows on a day."""

    header: Sequence[str]
    rows: Callable[[Workshop, date], Iterator[Sequence[Cell]]]

    def file(self, workshop: Workshop, today: date) -> bytes:
        return csv_file(self.header, self.rows(workshop, today))


def _unpaid(workshop: Workshop, today: date) -> Iterator[Sequence[Cell]]:
    for row in costing_queries.open_invoices(workshop, today):
        invoice = row.invoice
        yield (
            paper_number(invoice),
            invoice.kind,
            invoice.order.number,
            invoice.order.client.name,
            invoice.issued_on,
            invoice.due_on,
            row.days_overdue,
            invoice.currency,
            as_shown(invoice.payable, invoice.currency),
            as_shown(row.due, invoice.currency),
        )


def _held(workshop: Workshop, today: date) -> Iterator[Sequence[Cell]]:
    code = workshop.currency
    for row in costing_queries.deposits_held(workshop):
        amounts = as_shown(row.asked, code), as_shown(row.amount, code)
        yield row.order.number, row.order.client.name, row.since_on, code, *amounts


def _sales(workshop: Workshop, today: date) -> Iterator[Sequence[Cell]]:
    code = workshop.currency
    for row in costing_queries.sales_by_month(workshop):
        amounts = (as_shown(amount, code) for amount in (row.net, row.tax, row.rounding, row.gross))
        key = (row.key.category, row.key.rate) if row.key else (None, None)
        yield f"{row.year:04d}-{row.month:02d}", *key, code, *amounts


def _profit(workshop: Workshop, today: date) -> Iterator[Sequence[Cell]]:
    code = workshop.currency
    for row in profit_by_style(workshop):
        amounts = (as_shown(amount, code) for amount in (row.price, row.reckoned, row.cost, row.profit))
        share = None if row.margin is None else (row.margin * 100).quantize(Decimal("0.1"))
        yield row.title, row.garments, row.timed, code, *amounts, share


EXPORTS = {
    "unpaid": Export(
        (
            "invoice", "kind", "order", "client", "issued_on", "due_on", "days_overdue", "currency", "amount",
            "still_to_pay",
        ),
        _unpaid,
    ),
    "deposits": Export(("order", "client", "held_since", "currency", "asked", "held"), _held),
    "sales": Export(
        ("month", "tax_category", "tax_rate", "currency", "net", "tax", "rounding", "gross"), _sales
    ),
    "profit": Export(
        (
            "style", "garments", "of_them_timed", "currency", "price_before_tax", "reckoned_cost", "cost",
            "profit", "margin_percent",
        ),
        _profit,
    ),
}  # fmt: skip
"""By the name in their address."""
