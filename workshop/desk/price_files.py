"""The price list and the stock as files that can be taken in again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from typing import Any

from costing import queries as costing_queries
from costing.rules.price_tables import (
    CLOTH_COLUMNS,
    NOTION_COLUMNS,
    PRICES_ONLY_SHOWN,
    STOCK_COLUMNS,
    STOCK_ONLY_SHOWN,
    Column,
    exact,
)
from costing.rules.tables import Cell
from workshop.desk.exports import Export
from workshop.people.models import Workshop


def _names(columns: Sequence[Column]) -> tuple[str, ...]:
    return tuple(column.name for column in columns)


def _priced(rows: Iterable[Any], columns: Sequence[Column]) -> Iterator[Sequence[Cell]]:
    for row in rows:
        values = ((column, getattr(row, column.field)) for column in columns)
        cells = [None if value is None else column.write(value) for column, value in values]
        yield [*cells, row.priced_on.isoformat()]


def _cloths(workshop: Workshop, today: date) -> Iterator[Sequence[Cell]]:
    return _priced(costing_queries.cloths(workshop), CLOTH_COLUMNS)


def _notions(workshop: Workshop, today: date) -> Iterator[Sequence[Cell]]:
    return _priced(costing_queries.notions(workshop), NOTION_COLUMNS)


def _stock(workshop: Workshop, today: date) -> Iterator[Sequence[Cell]]:
    rows = list(costing_queries.cloths(workshop))
    stock = costing_queries.stock_of(row.pk for row in rows)
    for row in rows:
        held = stock[row.pk]
        yield row.name, exact(held.on_shelf), exact(held.reserved), exact(held.free)


PRICE_FILES = {
    "cloths": Export((*_names(CLOTH_COLUMNS), *PRICES_ONLY_SHOWN), _cloths),
    "notions": Export((*_names(NOTION_COLUMNS), *PRICES_ONLY_SHOWN), _notions),
    "stock": Export((*_names(STOCK_COLUMNS), *STOCK_ONLY_SHOWN), _stock),
}
"""By the name in their address, which is also the kind that they are taken in as."""
