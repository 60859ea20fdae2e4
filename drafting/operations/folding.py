"""A fold taken out across a piece: a wedge from the centre to nothing at the side."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import asin, tan

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Cubic, Line, Path, Point, Segment, lerp, rotated, unit
from drafting.making import Width
from drafting.operations.change import Change, Move
from drafting.pattern import Dart

_LEVEL = 1e-6  # mm: a point so near the fold's level lies on it
_BEND = 60.0  # mm to either side of the fold in which the centre bends (common practice, no source)
_BEND_SHARE = 0.4  # of a line that is shorter


@dataclass(frozen=True, slots=True)
class _Fold:
    """What lies below the pivot's level is turned about it by ``turn``, radians."""

    pivot: Point
    turn: float

    @property
    def corner(self) -> Point:
        """Where the centre meets itself turned: half-way up the wedge."""
        return Point(0.0, self.pivot.y - self.pivot.x * tan(self.turn / 2))

    def turned(self, point: Point) -> Point:
        return rotated(point, self.turn, self.pivot)

    def below(self, point: Point) -> Point:
        """The point, turned where it lies below the level."""
        return self.turned(point) if point.y < self.pivot.y - _LEVEL else point


def folded_out(sketch: Sketch, pivot: Point, by: float) -> Change:
    """Fold a wedge ``by`` mm deep at the centre, x = 0, out of a piece at the level of ``pivot``.

    What lies below the level is turned about the pivot, unchanged in itself, until the wedge is closed: so
    edges at the side, hem and widths below keep their lengths. The centre bends there, evenly. A dart through
    the level is drawn anew between its two points, as wide as it was.

    Raises: ValueError where another line than the centre and darts passes the level.

    Source: the fold by which a fitter takes out what lies across a hollow back (common practice, no source);
    plane geometry.
    """
    fold = _Fold(pivot, -2 * asin(by / (2 * pivot.x)))
    mouths = _mouths(sketch.darts, fold)

    def move(point: Point) -> Point:
        return mouths.get(point) or fold.below(point)

    changed = replace(
        sketch,
        strokes=[_turned(stroke, fold) for stroke in sketch.strokes],
        darts=[_dart(dart, move) for dart in sketch.darts],
        marks=[replace(mark, path=mark.path.mapped(move)) for mark in sketch.marks],
    )
    return Change(sketch.name, (changed,), widths=lambda width: (_width(width, move),))


def _width(width: Width, move: Move) -> Width:
    return replace(width, start=move(width.start), end=move(width.end))


def _dart(dart: Dart, move: Move) -> Dart:
    return replace(dart, start=move(dart.start), apex=move(dart.apex), end=move(dart.end))


def _mouths(darts: list[Dart], fold: _Fold) -> dict[Point, Point]:
    """Where the mouths of darts pointed at both ends come to lie: square to the line between their points."""
    found, level = {}, fold.pivot.y
    tops = {(dart.start, dart.end): dart.apex for dart in darts if dart.apex.y > level}
    for dart in darts:
        mouth = dart.start, dart.end
        if dart.apex.y >= level or mouth not in tops:
            continue
        top, foot = tops[mouth], fold.below(dart.apex)
        middle = lerp(top, foot, (top.y - level) / (top.y - foot.y))
        along = unit(foot - top)
        half = Point(along.y, -along.x) * ((dart.end.x - dart.start.x) / 2)
        found[dart.start], found[dart.end] = middle + half, middle - half
    return found


def _turned(stroke: Stroke, fold: _Fold) -> Stroke:
    parts = tuple(part for segment in stroke.path.segments for part in _segments(segment, fold))
    return replace(stroke, path=Path(parts))


def _segments(segment: Segment, fold: _Fold) -> tuple[Segment, ...]:
    start, end = segment.start, segment.end
    if min(start.y, end.y) >= fold.pivot.y - _LEVEL:
        return (segment,)
    if max(start.y, end.y) <= fold.pivot.y + _LEVEL:
        return (segment.moved(fold.turned),)
    if not isinstance(segment, Line) or abs(start.x) > _LEVEL or abs(end.x) > _LEVEL:
        raise ValueError("a line other than the centre passes the fold")
    if start.y < end.y:
        return tuple(part.reversed() for part in _segments(segment.reversed(), fold)[::-1])
    return _bent(start, fold.corner, fold.turned(end))


def _bent(top: Point, corner: Point, foot: Point) -> tuple[Segment, ...]:
    """Down to near the corner, round it, and on."""
    reach = min(_BEND, *(_BEND_SHARE * abs(point.y - corner.y) for point in (top, foot)))
    above, under = corner + unit(top - corner) * reach, corner + unit(foot - corner) * reach
    third = 2 / 3  # of the way to the corner: a parabola
    round_it = Cubic(above, lerp(above, corner, third), lerp(under, corner, third), under)
    return Line(top, above), round_it, Line(under, foot)
