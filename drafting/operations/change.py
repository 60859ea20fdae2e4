"""What an operation has made of a sketch, and how all that was said of it follows."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import shapely

from drafting.blocks.sketch import Sketch
from drafting.geometry import Point, lerp
from drafting.making import Making, Run, Width

_ON_EDGE = 0.01  # mm: a width no further outside a region lies in it
_LEAST = 0.5  # mm: a shorter remnant of a width is none

Move = Callable[[Point], Point]
Widths = Callable[[Width], Sequence[Width]]


def stay(point: Point) -> Point:
    """Leave a point where it is."""
    return point


@dataclass(frozen=True, slots=True)
class Region:
    """A part of a sketch by its ring as it lay before, the piece it belongs to now, and how it was moved."""

    piece: str
    ring: tuple[Point, ...]
    move: Move = stay

    def distance(self, *points: Point) -> float:
        """How far the worst of the points lies outside, mm."""
        return float(max(shapely.distance(self.polygon, shapely.points(list(points)))))

    @property
    def polygon(self) -> shapely.Geometry:
        """The region as a shape; a ring that touches itself at a dart not yet open is mended."""
        return shapely.make_valid(shapely.Polygon(self.ring))


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
        for region in regions:
            if region.distance(*ends, lerp(*ends, 0.5)) <= _ON_EDGE:
                return [Width(region.piece, region.move(ends[0]), region.move(ends[1]), width.times)]
        return [part for region in regions for part in _inside(region, width)]

    return follow


def _inside(region: Region, width: Width) -> list[Width]:
    """The stretches of a width that lie in a region, moved with it."""
    line = shapely.LineString([width.start, width.end])
    stretches = shapely.get_parts(shapely.intersection(line, region.polygon))
    found = []
    for stretch in stretches:
        if stretch.length >= _LEAST:
            start, *_, end = (region.move(Point(x, y)) for x, y in stretch.coords)
            found.append(Width(region.piece, start, end, width.times))
    return found
