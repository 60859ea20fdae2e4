"""What an operation has made of a sketch, and how all that was said of it follows."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import shapely

from drafting.blocks.sketch import Sketch
from drafting.geometry import NEAR, Line, Path, Point, distance, intersect, lerp, unit
from drafting.geometry.lazy import lazy
from drafting.geometry.rings import as_array, as_polygon
from drafting.making import Making, Run, Width

_ON_EDGE = 0.1  # mm: a width no further outside a region lies in it
_SAG = 40.0  # mm: how far beyond the outline a width from end to end of a hollow edge may pass
_LEAST = 0.5  # mm: a shorter remnant of a width is none

Move = Callable[[Point], Point]
Widths = Callable[[Width], Sequence[Width]]


def stay(point: Point) -> Point:
    """Leave a point where it is."""
    return point


@dataclass(frozen=True)
class Region:
    """A part of a sketch by its ring as it lay before, the piece it belongs to now, and how it was moved.

    ``cut`` is the part of the ring that parts it from the rest, from outline to outline.
    """

    piece: str
    ring: tuple[Point, ...]
    cut: tuple[Point, ...]
    move: Move = stay

    def distance(self, *points: Point) -> float:
        """How far the worst of the points lies outside, mm."""
        return float(shapely.distance(self.polygon, shapely.points(as_array(points))).max())

    def stretch(self, start: Point, end: Point) -> tuple[Point, Point] | None:
        """What of a straight line lies in the region, from or to the cut, moved with it; None for nothing."""
        here, there = (self.distance(point) <= _ON_EDGE for point in (start, end))
        met = self._met(start, end)
        if here == there or met is None:
            return None
        ends = (start, met) if here else (met, end)
        return (self.move(ends[0]), self.move(ends[1])) if distance(*ends) >= _LEAST else None

    def _met(self, start: Point, end: Point) -> Point | None:
        """Where a line meets the cut; it meets a cut that it passes close below or above at that end."""
        line = Line(start, end)
        if found := intersect(Path.polyline(_distinct(self.cut)), line):
            return found[0]
        for mouth, inside in ((self.cut[0], self.cut[1]), (self.cut[-1], self.cut[-2])):
            if distance(mouth, inside) > NEAR and intersect(
                Path.line(mouth, mouth + unit(mouth - inside) * _SAG), line
            ):
                return mouth
        return None

    @lazy
    def polygon(self) -> shapely.Geometry:
        """The region as a shape; a ring that touches itself at a dart not yet open is mended."""
        return shapely.make_valid(as_polygon(self.ring))


def _distinct(points: Sequence[Point]) -> list[Point]:
    """The points without those that repeat the one before."""
    return [points[0], *(b for a, b in pairwise(points) if distance(a, b) > NEAR)]


def region_of(regions: Sequence[Region], *points: Point) -> Region:
    """The region that holds the points, or the nearest to holding them."""
    return min(regions, key=lambda region: region.distance(*points))


def _unchanged(width: Width) -> Sequence[Width]:
    return (width,)


@dataclass(frozen=True, slots=True)
class Change:
    """The sketches that stand for the piece ``piece``; for what else stands what, see ``Making.replaced``.

    ``joint`` names two edges that an operation made neighbours in one line.
    """

    piece: str
    sketches: tuple[Sketch, ...]
    edges: Mapping[str, Run] = field(default_factory=dict)
    widths: Widths = _unchanged
    joint: tuple[str, str] | None = None

    @property
    def sketch(self) -> Sketch:
        """The one sketch that stands for the piece. Raises: ValueError where there are more."""
        (only,) = self.sketches
        return only

    def apply(self, making: Making) -> None:
        """Carry the change into a garment."""
        making.replaced(self.piece, self.sketches, self.edges, self.widths)


def carried(regions: Sequence[Region]) -> Widths:
    """How widths follow regions: whole with the one they lie in, else in parts, what was opened left out."""

    def follow(width: Width) -> list[Width]:
        ends = (width.start, width.end)
        # A straight width from end to end of a hollow edge lies outside between them: its ends decide.
        around = [region for region in regions if region.distance(*ends) <= _ON_EDGE]
        if around:
            whole = region_of(around, lerp(*ends, 0.5))
            return [Width(whole.piece, whole.move(ends[0]), whole.move(ends[1]), width.times)]
        parts = ((region.piece, region.stretch(*ends)) for region in regions)
        return [Width(piece, *part, width.times) for piece, part in parts if part is not None]

    return follow
