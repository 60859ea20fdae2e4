"""Laying pieces side by side on paper: neat, close, and the same every time.

Paper has no grain, so this is not a lay plan (``drafting.layplan``): pieces stand upright as they are drawn,
and one is turned by a quarter only where it is too wide for the paper.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import inf

from drafting.geometry import Path, Point
from drafting.output.drawing import cut_ring
from drafting.pattern import Edge, Mark, Piece


@dataclass(frozen=True, slots=True)
class Box:
    """Width and height of something that is laid on paper, mm."""

    width: float
    height: float


@dataclass(frozen=True, slots=True)
class Place:
    """Where a box lies: its left and top edge, mm from the paper's left and top; ``turned`` by a quarter."""

    x: float
    y: float
    turned: bool = False


@dataclass(frozen=True, slots=True)
class PaperPlan:
    """Places in the order of the boxes, and what they take up, mm."""

    places: tuple[Place, ...]
    width: float
    height: float


def arrange(boxes: Sequence[Box], width: float, gap: float) -> PaperPlan | None:
    """Return places for the boxes on paper of a width, ``gap`` mm apart; None where one is too wide for it.

    The highest box is laid first, each as high up as it can go and then as far left (a skyline rule).
    """
    turned = [box.width > width for box in boxes]
    sizes = [Box(b.height, b.width) if t else b for b, t in zip(boxes, turned, strict=True)]
    if any(size.width > width for size in sizes):
        return None
    skyline = [(0.0, width + gap, 0.0)]
    places: dict[int, Place] = {}
    for index in sorted(range(len(sizes)), key=lambda i: (-sizes[i].height, -sizes[i].width, i)):
        wide, high = sizes[index].width + gap, sizes[index].height + gap
        x, y = _highest_seat(skyline, wide, width + gap)
        places[index] = Place(x, y, turned[index])
        skyline = _covered(skyline, x, x + wide, y + high)
    ordered = tuple(places[i] for i in range(len(sizes)))
    return PaperPlan(
        ordered,
        max((p.x + s.width for p, s in zip(ordered, sizes, strict=True)), default=0.0),
        max((p.y + s.height for p, s in zip(ordered, sizes, strict=True)), default=0.0),
    )


def piece_box(piece: Piece) -> Box:
    """The size of a piece as it is cut."""
    left, bottom, right, top = ring_bounds(cut_ring(piece))
    return Box(right - left, top - bottom)


def ring_bounds(ring: Sequence[Point]) -> tuple[float, float, float, float]:
    """Left, bottom, right, top."""
    xs, ys = [p[0] for p in ring], [p[1] for p in ring]
    return min(xs), min(ys), max(xs), max(ys)


def laid(piece: Piece, place: Place) -> Piece:
    """Return the piece moved to its place: paper with its top at y = 0 and its foot at -height."""
    left, _, right, top = ring_bounds(cut_ring(piece))
    if place.turned:
        # A quarter to the left about the origin: (x, y) becomes (-y, x).
        dx, dy = place.x + top, -place.y - right
        return _moved(piece, lambda p: Point(dx - p[1], dy + p[0]))
    dx, dy = place.x - left, -place.y - top
    return _moved(piece, lambda p: Point(p[0] + dx, p[1] + dy))


def _moved(piece: Piece, move: Callable[[Point], Point]) -> Piece:
    def path(old: Path) -> Path:
        return old.mapped(move)

    return piece.with_(
        edges=tuple(Edge(e.name, e.kind, path(e.path), e.allowance, e.end_corner) for e in piece.edges),
        marks=tuple(Mark(m.name, m.kind, path(m.path), m.arrow) for m in piece.marks),
        grain=(move(piece.grain[0]), move(piece.grain[1])),
        cut_line=tuple(map(move, piece.cut_line)),
    )


Skyline = list[tuple[float, float, float]]


def _highest_seat(skyline: Skyline, wide: float, width: float) -> tuple[float, float]:
    """The seat nearest the top, then the left, for a box of a width; seats begin where a step begins."""
    best = (inf, inf)
    for start, _, _ in skyline:
        if start + wide > width + 1e-6:
            break
        floor = max(y for a, b, y in skyline if a < start + wide - 1e-6 and b > start + 1e-6)
        best = min(best, (floor, start))
    return best[1], best[0]


def _covered(skyline: Skyline, left: float, right: float, y: float) -> Skyline:
    """The skyline once ``left`` to ``right`` is filled down to ``y``."""
    parts: Skyline = []
    for a, b, old in skyline:
        if a < left:
            parts.append((a, min(b, left), old))
        if b > right:
            parts.append((max(a, right), b, old))
    parts.append((left, right, y))
    return sorted(part for part in parts if part[1] - part[0] > 1e-6)
