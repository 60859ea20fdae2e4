"""Which notion of the price list serves what a draft asks for."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Protocol, TypeVar


class Listed(Protocol):
    """A row of the price list. ``size_mm``: length of a zip, diameter of a button; None where it has none."""

    @property
    def kind(self) -> str: ...
    @property
    def size_mm(self) -> float | None: ...
    @property
    def price_each(self) -> Decimal: ...


Row = TypeVar("Row", bound=Listed)

SLACK_MM = 1.0
"""A zip may be so much shorter than its opening: less than it can be sewn to."""


def fitting_notion(listed: Iterable[Row], kind: str, size_mm: float | None) -> Row | None:
    """Return the smallest of a kind that is large enough, else the first without a size.

    Where no size is asked for, the cheapest of the kind. None where there is none.
    """
    rows = [row for row in listed if row.kind == kind]
    if size_mm is None:
        return min(rows, key=lambda row: row.price_each, default=None)
    sized = [row for row in rows if row.size_mm is not None and row.size_mm >= size_mm - SLACK_MM]
    if sized:
        return min(sized, key=lambda row: (row.size_mm or 0, row.price_each))
    return next((row for row in rows if row.size_mm is None), None)


def notion_words(kind: str, size_mm: float | None) -> str:
    """``("zip", 480)`` -> ``zip of 48.0 cm``."""
    return kind if size_mm is None else f"{kind} of {size_mm / 10:.1f} cm"
