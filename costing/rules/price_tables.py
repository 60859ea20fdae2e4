"""The columns of the price list and the stock as files: how each is written and read.

Lengths are millimetres, prices are of one metre or one piece, shares are percent, whatever the workshop's
unit is: a file that is taken in as it was given out changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from costing.errors import BadAmount
from costing.rules.care import CARE_FIELDS
from costing.rules.tables import Cell

YES, NO = "yes", "no"
LONGEST_NUMBER = 24
"""Characters: no price and no length has more, and a longer one would only be reckoned with for long."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a file, and the field that it fills.

    ``needed``: a new row must say it. ``empty``: what an empty cell means where it need not.
    """

    name: str
    field: str
    read: Callable[[str], Any]
    write: Callable[[Any], Cell]
    needed: bool = False
    empty: Any = ""


def _number(text: str) -> Decimal:
    """``1503.3`` or ``1503,3``; no marks for thousands. Raises: BadAmount."""
    try:
        number = Decimal(text.replace(",", ".")) if len(text) <= LONGEST_NUMBER else Decimal("NaN")
    except InvalidOperation:
        number = Decimal("NaN")
    if not number.is_finite() or number.adjusted() > LONGEST_NUMBER:
        raise BadAmount(f"{text[:30]!r} is no number; write it like 1250.5, without marks for thousands.")
    return number


def _length(text: str) -> float:
    return float(_number(text))


def _price(text: str) -> Decimal:
    price = _number(text)
    if price != round(price, 3):
        raise BadAmount("A price has three decimals at most.")
    return price


def _share(text: str) -> float:
    return float(_number(text) / 100)


def _switch(text: str) -> bool:
    if text.lower() not in {YES, NO}:
        raise BadAmount(f"{text[:30]!r} is neither {YES} nor {NO}.")
    return text.lower() == YES


def _days(text: str) -> int:
    days = _number(text)
    if days != days.to_integral_value():
        raise BadAmount("Days are whole.")
    return int(days)


def exact(value: float | Decimal) -> Decimal:
    """A number as it is kept, without noughts at its end."""
    return Decimal(str(value)).normalize() + 0


def _percent(share: float) -> Decimal:
    return (Decimal(str(share)) * 100).normalize() + 0


def _shown_switch(value: bool) -> str:
    return YES if value else NO


def _text(name: str, *, needed: bool = False) -> Column:
    return Column(name, name, str, str, needed)


def _mm(name: str, *, needed: bool = False, empty: float | None = 0.0) -> Column:
    return Column(name, name, _length, exact, needed, empty)


_DAYS_TO_COME = Column("days_to_come", "days_to_come", _days, exact, empty=None)
CLOTH_COLUMNS = (
    _text("name", needed=True),
    _text("use", needed=True),
    _text("composition"),
    _text("supplier"),
    _mm("width_mm", needed=True),
    _mm("selvedge_mm"),
    Column("one_way", "one_way", _switch, _shown_switch, empty=False),
    Column("shrinkage_length_percent", "shrinkage_length", _share, _percent, empty=0.0),
    Column("shrinkage_width_percent", "shrinkage_width", _share, _percent, empty=0.0),
    _mm("repeat_length_mm"),
    _mm("repeat_width_mm"),
    Column("price_per_metre", "price_per_metre", _price, exact, needed=True),
    _mm("sold_by_mm", empty=100.0),
    _DAYS_TO_COME,
    _text("right_side"),
    *(_text(field) for field in CARE_FIELDS),
)
NOTION_COLUMNS = (
    _text("name", needed=True),
    _text("kind", needed=True),
    _mm("size_mm", empty=None),
    _text("supplier"),
    Column("price_each", "price_each", _price, exact, needed=True),
    _DAYS_TO_COME,
)
PRICES_ONLY_SHOWN = ("priced_on",)
"""Written for the reader; a price is dated by the day on which it is changed."""
STOCK_COLUMNS = (_text("name", needed=True), _mm("on_shelf_mm", needed=True))
STOCK_ONLY_SHOWN = ("set_aside_mm", "free_mm")
"""Written for the reader; what is set aside follows from the orders and is not read."""


def values_of(cells: Mapping[str, str], columns: Sequence[Column]) -> dict[str, Any]:
    """Return the fields that a row says. A column that the file does not have says nothing.

    Raises: BadAmount, ``field`` naming the column.
    """
    return {column.field: _value(column, cells[column.name]) for column in columns if column.name in cells}


def _value(column: Column, cell: str) -> Any:
    if not cell:
        if column.needed:
            raise BadAmount("Fill this in.", field=column.name)
        return column.empty
    try:
        return column.read(cell)
    except BadAmount as fault:
        raise BadAmount(str(fault), field=column.name) from None
