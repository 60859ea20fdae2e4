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
    """What a length gives on the table once it is shrunk, straightened and folded; mm."""
    shrunk = stretch.length * (1 - cloth.shrinkage_length) - END_ALLOWANCE
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
    at = flaw.at * (1 - cloth.shrinkage_length)
    across = flaw.across * (1 - cloth.shrinkage_width)
    if cloth.crosswise and at > span.end - span.start:
        at = 2 * (span.end - span.start) - at
    y = abs(across - cloth.fold_at) if cloth.has_lengthwise_fold else across - cloth.selvedge
    x, half = span.start + at, flaw.size / 2
    return Box(max(x - half, span.start), y - half, min(x + half, span.end), y + half)
