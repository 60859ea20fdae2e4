"""Bodies out of size tables: they stand in until the wearer is measured.

Women: the bust intervals of EN 13402-3 (quoted by the help page of the R package Anthropometry), their
waists and hips by the middles of its letter sizes (second hand; partly from memory of EN 13402-3). Children:
by height in steps of 6 cm, girths from memory of European children's size tables; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType
from typing import Final

from drafting.body.fit import NO_FIT_NOTES
from drafting.body.person import Body
from drafting.errors import BadMeasurement

WOMENS_BUST_EDGES_CM: Final = (74, 78, 82, 86, 90, 94, 98, 102, 107, 113, 119, 125, 131)
_WOMENS_STATURES_CM: Final = (160, 168, 176)
# Middles of the letter sizes XS to XXL, cm: bust, waist, hip.
_WOMENS_LETTERS: Final = (
    (78.0, 62.0, 86.0),
    (86.0, 70.0, 94.0),
    (94.0, 78.0, 102.0),
    (102.5, 86.5, 110.5),
    (113.0, 97.0, 120.0),
    (125.0, 109.0, 130.0),
)
# Height, chest, waist, hip, cm, and the age at which it is usual, years.
_CHILDREN: Final = (
    (62, 43.0, 43.0, 44.0, 0.3),
    (68, 45.0, 45.0, 46.0, 0.5),
    (74, 47.0, 46.5, 48.0, 0.8),
    (80, 49.0, 48.0, 50.0, 1.0),
    (86, 51.0, 50.0, 52.0, 1.5),
    (92, 53.0, 51.5, 55.0, 2.0),
    (98, 55.0, 52.5, 57.0, 3.0),
    (104, 57.0, 53.5, 59.0, 4.0),
    (110, 59.0, 54.5, 62.0, 5.0),
    (116, 61.0, 56.0, 64.5, 6.0),
    (122, 63.0, 57.5, 67.0, 7.0),
    (128, 66.0, 59.0, 70.0, 8.0),
    (134, 69.0, 61.0, 73.0, 9.0),
    (140, 72.0, 63.0, 77.0, 10.0),
    (146, 76.0, 65.0, 81.0, 11.0),
    (152, 80.0, 67.0, 85.0, 12.0),
)


@dataclass(frozen=True, slots=True)
class Size:
    """A row of a size table. Girths and stature in mm; ``age_years`` for a child."""

    name: str
    title: str
    stature: float
    bust: float
    waist: float
    hip: float
    age_years: float | None = None

    def body(self, fit: Mapping[str, float] = NO_FIT_NOTES) -> Body:
        """The body of this size, everything but its four measurements estimated.

        Raises: BadMeasurement for a fit note that cannot be.
        """
        measurements = {
            "stature": self.stature,
            "bust_girth": self.bust,
            "waist_girth": self.waist,
            "hip_girth": self.hip,
        }
        return Body.of(measurements, age_years=self.age_years, fit=fit)


def _between(bust: float, column: int) -> float:
    """A column of the letter sizes at a bust girth, cm: straight between rows, run on beyond the ends."""
    rows: Sequence[tuple[float, float, float]] = _WOMENS_LETTERS
    low, high = next(((a, b) for a, b in pairwise(rows) if bust <= b[0]), (rows[-2], rows[-1]))
    share = (bust - low[0]) / (high[0] - low[0])
    return low[column] + share * (high[column] - low[column])


def _womens() -> list[Size]:
    sizes = []
    for edges in pairwise(WOMENS_BUST_EDGES_CM):
        bust = sum(edges) / 2
        for stature in _WOMENS_STATURES_CM:
            sizes.append(
                Size(
                    f"woman-{bust:g}-{stature}",
                    f"woman, bust {bust:g} cm, {stature} cm tall",
                    stature * 10.0,
                    bust * 10,
                    _between(bust, 1) * 10,
                    _between(bust, 2) * 10,
                )
            )
    return sizes


def _childrens() -> list[Size]:
    return [
        Size(f"child-{tall}", f"child, {tall} cm tall", tall * 10.0, chest * 10, waist * 10, hip * 10, age)
        for tall, chest, waist, hip, age in _CHILDREN
    ]


SIZES: Final[Mapping[str, Size]] = MappingProxyType({size.name: size for size in (*_childrens(), *_womens())})
"""Every size by its name, from the smallest child to the stoutest woman."""


def size_of(name: str) -> Size:
    """Return the size. Raises: BadMeasurement, field "size", where there is none of that name."""
    if name not in SIZES:
        raise BadMeasurement(f"there is no size {name[:40]!r} in the table", field="size")
    return SIZES[name]
