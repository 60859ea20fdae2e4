"""Taking in the price list or a count of the stock from a file: all rows or none."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db import transaction

from costing.errors import BadAmount, CostingError
from costing.models import Cloth, Notion
from costing.queries import stock_of
from costing.rules.lengths import SLACK_MM
from costing.rules.price_tables import (
    CLOTH_COLUMNS,
    NOTION_COLUMNS,
    PRICES_ONLY_SHOWN,
    STOCK_COLUMNS,
    STOCK_ONLY_SHOWN,
    Column,
    values_of,
)
from costing.rules.table_reading import BadTable, Row, read_table
from costing.services.pricelist import add_cloth, add_notion, edit_cloth, edit_notion
from costing.services.stock import return_cloth, waste_cloth

COUNTED = "stock counted"
"""The note of a move that a count made."""


@dataclass(frozen=True, slots=True)
class RowRead:
    """What taking a row in does, in words; ``fault`` is empty where it can be taken in."""

    line: int
    name: str
    does: str = ""
    fault: str = ""


@dataclass(frozen=True, slots=True)
class _Taking:
    """Who takes in what and when."""

    workshop: Any
    today: date
    now: datetime


@dataclass(frozen=True, slots=True)
class _Kind:
    """A kind of table: its columns, and what takes in one row and says what that did."""

    columns: Sequence[Column]
    take: Callable[[_Taking, dict[str, Any]], str]
    only_shown: Sequence[str] = ()


def try_import(*, kind: str, workshop: Any, text: str, now: datetime) -> list[RowRead]:
    """Say what each row would do, or what is wrong with it, and store nothing.

    Raises: BadTable where the file cannot be read as a whole.
    """
    with transaction.atomic():
        rows = _import(kind, workshop, text, now)
        transaction.set_rollback(True)
    return rows


@transaction.atomic
def import_table(*, kind: str, workshop: Any, text: str, now: datetime) -> list[RowRead]:
    """Take in every row. Raises: BadTable where the file, or any of its rows, cannot be taken in."""
    rows = _import(kind, workshop, text, now)
    faulty = [row for row in rows if row.fault]
    if faulty:
        raise BadTable(f"Line {faulty[0].line} cannot be taken in: {faulty[0].fault} Nothing was stored.")
    return rows


def _import(kind: str, workshop: Any, text: str, now: datetime) -> list[RowRead]:
    if kind not in _KINDS:
        raise BadTable(f"Choose one of: {', '.join(_KINDS)}.", field="kind")
    how = _KINDS[kind]
    known = [column.name for column in how.columns]
    rows = read_table(text, [*known, *how.only_shown], ["name"])
    taking = _Taking(workshop, workshop.day_of(now), now)
    seen: set[str] = set()
    return [_read_row(taking, how, row, seen) for row in rows]


def _read_row(taking: _Taking, how: _Kind, row: Row, seen: set[str]) -> RowRead:
    name = row.cells["name"]
    try:
        if name in seen:
            raise BadAmount("The file has this name twice.", field="name")
        seen.add(name)
        with transaction.atomic():
            return RowRead(row.line, name, how.take(taking, values_of(row.cells, how.columns)))
    except CostingError as fault:
        where = _column(how, getattr(fault, "field", ""))
        return RowRead(row.line, name, fault=f"{where}: {fault}" if where else str(fault))


def _column(how: _Kind, field: str) -> str:
    """The column of a field at fault, by the field's name or its own."""
    names = {column.field: column.name for column in how.columns}
    return names.get(field, field)


def _take_cloth(taking: _Taking, values: dict[str, Any]) -> str:
    held = Cloth.objects.filter(workshop=taking.workshop, name=values["name"], archived_at=None).first()
    if held is None:
        _refuse_lacking(values, CLOTH_COLUMNS)
        add_cloth(workshop=taking.workshop, today=taking.today, **values)
        return "new"
    changed = _changed(held, values)
    if changed:
        edit_cloth(cloth=held, expected_version=held.version, today=taking.today, **changed)
    return _words(changed, CLOTH_COLUMNS)


def _take_notion(taking: _Taking, values: dict[str, Any]) -> str:
    held = Notion.objects.filter(workshop=taking.workshop, name=values["name"], archived_at=None).first()
    if held is None:
        _refuse_lacking(values, NOTION_COLUMNS)
        add_notion(workshop=taking.workshop, today=taking.today, **values)
        return "new"
    changed = _changed(held, values)
    if changed:
        edit_notion(notion=held, expected_version=held.version, today=taking.today, **changed)
    return _words(changed, NOTION_COLUMNS)


def _take_count(taking: _Taking, values: dict[str, Any]) -> str:
    """The difference to what is noted comes back to the shelf, or is gone from it."""
    _refuse_lacking(values, STOCK_COLUMNS)
    cloth = Cloth.objects.filter(workshop=taking.workshop, name=values["name"], archived_at=None).first()
    if cloth is None:
        raise BadAmount("The price list has no cloth of this name; add it first.", field="name")
    cloth = Cloth.objects.select_for_update().get(pk=cloth.pk)
    counted: float = values["on_shelf_mm"]
    if counted < 0:
        raise BadAmount("A length on the shelf is zero or more.", field="on_shelf_mm")
    more = counted - stock_of([cloth.pk])[cloth.pk].on_shelf
    if abs(more) <= SLACK_MM:
        return "as it is"
    move = return_cloth if more > 0 else waste_cloth
    move(cloth=cloth, length_mm=abs(more), now=taking.now, note=COUNTED)
    return f"{abs(more) / 1000:.2f} m {'more' if more > 0 else 'less'}"


def _refuse_lacking(values: Mapping[str, Any], columns: Sequence[Column]) -> None:
    """Raises: BadAmount where a row that is new lacks a column that it needs."""
    for column in columns:
        if column.needed and column.field not in values:
            raise BadAmount("A new row needs this column.", field=column.name)


def _changed(held: Cloth | Notion, values: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in values.items() if getattr(held, name) != value}


def _words(changed: Mapping[str, Any], columns: Sequence[Column]) -> str:
    names = [column.name for column in columns if column.field in changed]
    return f"changes {', '.join(names)}" if names else "as it is"


_KINDS = {
    "cloths": _Kind(CLOTH_COLUMNS, _take_cloth, PRICES_ONLY_SHOWN),
    "notions": _Kind(NOTION_COLUMNS, _take_notion, PRICES_ONLY_SHOWN),
    "stock": _Kind(STOCK_COLUMNS, _take_count, STOCK_ONLY_SHOWN),
}
