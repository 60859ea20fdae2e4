"""In which ways a cloth may be laid, and what each came to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

WAYS = {
    "open": "open, one layer",
    "folded": "folded lengthwise",
    "part folded": "part folded: one edge over",
    "crosswise": "folded crosswise",
}
"""The ways by their name in a lay plan (``drafting.layplan.Way``), in words for people."""

SHORTEST = ""
"""The wish of an owner who fixes no way."""

WISHES = ((SHORTEST, "whichever is shortest"), *WAYS.items())

NO_MATTER_MM = 1.0
"""Lays that differ by less are equally long: the way that is named first is taken."""


@dataclass(frozen=True, slots=True)
class Tried:
    """What one way came to: the lengths of its lay, mm; or ``refused``, in words, where it cannot be done."""

    way: str
    length_mm: float = 0.0
    buy_length_mm: float = 0.0
    refused: str = ""

    @property
    def words(self) -> str:
        return WAYS.get(self.way, self.way)

    def to_json(self) -> dict[str, Any]:
        return asdict(self)


def read_tried(rows: Iterable[Mapping[str, Any]]) -> tuple[Tried, ...]:
    return tuple(Tried(**row) for row in rows)


def shortest(tried: Iterable[Tried]) -> Tried | None:
    """Return the way that takes least cloth, the first of equals; None where none can be done."""
    best: Tried | None = None
    for row in tried:
        if not row.refused and (best is None or row.length_mm < best.length_mm - NO_MATTER_MM):
            best = row
    return best
