"""The cloth on the table: where each length of it lies along x, and where nothing may be laid.

Lengths from the shelf lie one behind the other, a wall between them; cloth from the roll comes last.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from drafting.layplan.cloth import END_ALLOWANCE, Cloth
from drafting.layplan.lengths import Flaw, Stretch
from drafting.layplan.strip import Box

#: Thickness of the wall between two lengths, mm: no piece is cut across it.
WALL = 10.0

#: How far a wall stands out beyond the edges of the strip, mm.
BEYOND = 10.0


@dataclass(frozen=True, slots=True)
class Span:
    """Where a length lies: from ``start`` to ``end`` along the table, mm. The roll's ``end`` is infinite."""

    name: str
    start: float
    end: float
    stretch: Stretch | None = None


def spans(cloth: Cloth) -> tuple[Span, ...]:
    """The lengths in order, the roll last where there is one. A length too short to use has no extent."""
    found: list[Span] = []
    start = 0.0
    for number, stretch in enumerate(cloth.stretches, start=1):
        end = start + usable_length(stretch, cloth)
        found.append(Span(stretch.name or f"length {number}", start, end, stretch))
        start = end + WALL
    if cloth.roll:
        found.append(Span("roll", start, float("inf")))
    return tuple(found)


def usable_length(stretch: Stretch, cloth: Cloth) -> float:
    """What a length gives on the table once it is shrunk, straightened and folded; mm.

    Of a cloth with a repeat each length is begun at the same place of it, so that pieces on two lengths
    match: that takes up to one repeat.
    """
    shrunk = stretch.length * (1 - cloth.shrinkage_length) - END_ALLOWANCE - cloth.repeat_length
    return max(shrunk, 0.0) / cloth.lengths_a_lay


def end_of_lengths(cloth: Cloth) -> float:
    """Where the last length from the shelf ends on the table, mm; 0 where there is none."""
    return max((span.end for span in spans(cloth) if span.stretch), default=0.0)


def blocked(cloth: Cloth) -> tuple[Box, ...]:
    """Where nothing may lie: walls behind the lengths, and flaws."""
    return tuple(_blocked(cloth))


def _blocked(cloth: Cloth) -> Iterator[Box]:
    for span in spans(cloth):
        if span.stretch is None:
            continue
        yield Box(span.end, -BEYOND, span.end + WALL, cloth.usable_width + BEYOND)
        for flaw in span.stretch.flaws:
            box = _flaw_box(flaw, span, cloth)
            if box.x0 < span.end and box.y0 < cloth.usable_width and box.y1 > 0:
                yield box


def _flaw_box(flaw: Flaw, span: Span, cloth: Cloth) -> Box:
    """Where a flaw may lie: the length may be begun up to a repeat further in than it was measured."""
    at, half = flaw.at * (1 - cloth.shrinkage_length), flaw.size / 2
    low, high = _folded(at - half - cloth.repeat_length, at + half, span.end - span.start, cloth)
    across = flaw.across * (1 - cloth.shrinkage_width)
    y = abs(across - cloth.fold_at) if cloth.has_lengthwise_fold else across - cloth.selvedge
    return Box(max(span.start + low, span.start), y - half, min(span.start + high, span.end), y + half)


def _folded(low: float, high: float, fold: float, cloth: Cloth) -> tuple[float, float]:
    """Where what lies from ``low`` to ``high`` comes to lie on cloth folded end to end at ``fold``."""
    if not cloth.crosswise or high <= fold:
        return low, high
    return min(low, 2 * fold - high), fold if low < fold else 2 * fold - low
