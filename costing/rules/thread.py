"""Thread: how much a seam takes by its class of stitch (ISO 4915), and how many reels that is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import ceil
from types import MappingProxyType

from costing.errors import BadAmount

THREAD_PER_SEAM: Mapping[str, float] = MappingProxyType(
    {
        "101": 4.0,
        "103": 5.0,
        "200": 3.0,
        "301": 2.5,
        "304": 7.0,
        "401": 5.5,
        "406": 18.0,
        "503": 12.0,
        "504": 14.0,
        "512": 18.0,
        "516": 20.0,
        "602": 25.0,
        "605": 28.0,
    }
)
"""Length of thread per length of seam at about 7 stitches per cm.

Source: a thread maker's printed table, from memory (301 and 401 also read in worked cases); sources
contradict each other on the 500s. 200, sewing by hand with a needle's length cut off: common practice, no
source.
"""

WASTE = 0.15
"""Ends, changes of reel, unpicking. Source: 10 to 15 % in published worked cases."""


@dataclass(frozen=True, slots=True)
class Stitched:
    """A row of stitches: its class (ISO 4915) and length, mm."""

    stitch_class: str
    length_mm: float


def thread_mm(stitched: Iterable[Stitched], *, waste: float = WASTE) -> float:
    """Return the thread that rows of stitches take, mm, all needles, loopers and bobbins together.

    Raises: BadAmount for a class without a known ratio, or a waste that is not from 0 to 1.
    """
    if not 0 <= waste <= 1:
        raise BadAmount("The waste of thread is a share from 0 to 100 %.", field="thread_waste")
    return sum(row.length_mm * thread_ratio(row.stitch_class) for row in stitched) * (1 + waste)


def thread_ratio(stitch_class: str) -> float:
    """Return thread length per seam length of a class of stitch. Raises: BadAmount."""
    try:
        return THREAD_PER_SEAM[stitch_class]
    except KeyError:
        known = ", ".join(THREAD_PER_SEAM)
        raise BadAmount(
            f"No thread ratio is known for stitch class {stitch_class!r}; known are {known}."
        ) from None


def reels(length_mm: float, *, reel_metres: float) -> int:
    """Return whole reels for a length of thread; none for none.

    Raises: BadAmount where a reel holds nothing.
    """
    if not reel_metres > 0:
        raise BadAmount("A reel must hold some thread: enter its metres.", field="reel_metres")
    # A thousandth of a mm is rounding, not a reason to open another reel.
    return ceil(round(length_mm / 1000 / reel_metres, 9))


def thread_per_inch(stitch_class: str, *, thickness_in: float, stitches_per_inch: float) -> float:
    """Return inches of thread per inch of seam from the geometry of the stitch.

    Args:
        stitch_class: 101, 301 or 401.
        thickness_in: thickness of all plies together, inches.
        stitches_per_inch: density.

    Source: published formulae 101: 3 + 2TS, 301: 2 + 2TS, 401: 4 + 2TS, with worked cases.
    """
    lengthwise = {"101": 3.0, "301": 2.0, "401": 4.0}
    if stitch_class not in lengthwise:
        raise BadAmount(f"The formula is known for stitches 101, 301 and 401, not {stitch_class!r}.")
    return lengthwise[stitch_class] + 2 * thickness_in * stitches_per_inch
