"""What a customer may choose between in a quote: cloth A or B, lined or not, each with what it adds.

The first alternative is the garment as it is quoted; each other one says what it adds to (or takes off) the
price with tax. Differences of several choices add up.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from costing.errors import CostingError
from costing.rules.money import ZERO


class BadPick(CostingError):
    """An answer that the quote does not offer; or none where one is asked for."""


@dataclass(frozen=True, slots=True)
class Alternative:
    """One of the ways. ``what``: how the garment is changed by it, empty for the garment as quoted.

    ``difference``: with tax, against the garment as quoted. ``minutes``: of work, likewise. ``provisional``:
    reckoned before it was laid.
    """

    words: str
    difference: Decimal = ZERO
    minutes: int = 0
    what: Mapping[str, Any] | None = None
    provisional: bool = False

    def to_json(self) -> dict[str, Any]:
        return {
            "words": self.words,
            "difference": str(self.difference),
            "minutes": self.minutes,
            "what": dict(self.what or {}),
            "provisional": self.provisional,
        }

    @classmethod
    def from_json(cls, row: Mapping[str, Any]) -> Alternative:
        return cls(**{**row, "difference": Decimal(row["difference"])})


@dataclass(frozen=True, slots=True)
class Option:
    """A choice that a quote offers for one garment; ``kind`` tells two choices of a garment apart."""

    garment_id: int
    kind: str
    title: str
    alternatives: tuple[Alternative, ...]

    def with_also(self, alternative: Alternative) -> Option:
        """With one way more; one in the same words takes the place of the former."""
        kept = tuple(row for row in self.alternatives if row.words != alternative.words)
        return replace(self, alternatives=(*kept, alternative))

    def to_json(self) -> dict[str, Any]:
        return {
            "garment_id": self.garment_id,
            "kind": self.kind,
            "title": self.title,
            "alternatives": [row.to_json() for row in self.alternatives],
        }

    @classmethod
    def from_json(cls, row: Mapping[str, Any]) -> Option:
        ways = tuple(Alternative.from_json(way) for way in row["alternatives"])
        return cls(row["garment_id"], row["kind"], row["title"], ways)


def options_in(content: Mapping[str, Any]) -> tuple[Option, ...]:
    """The choices of a quote's stored content; none in a quote from before there were any."""
    return tuple(Option.from_json(row) for row in content.get("options", ()))


def picked(options: Sequence[Option], picks: Mapping[int, int]) -> list[tuple[Option, Alternative]]:
    """Return what was picked of each option: option -> alternative, both by their place from 0.

    Raises: BadPick where a pick is missing or none of those offered; ``field`` is ``option-<place>``.
    """
    found = []
    for place, option in enumerate(options):
        pick = picks.get(place, -1)
        if not 0 <= pick < len(option.alternatives):
            raise BadPick(f"Please choose: {option.title}.", field=f"option-{place}")
        found.append((option, option.alternatives[pick]))
    return found
