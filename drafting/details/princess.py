"""The course of a princess line over a panel: from shoulder or armhole over the bust down to the lower edge.

All points are in the panel's frame. The line is drawn on the panel's inner part; the outer part's edge is the
same line after its darts were closed, with so much to ease over the bust as the line passes beside the dart's
point.
"""

from __future__ import annotations

from dataclasses import dataclass

from drafting.geometry import Cubic, Path, Point, curve_through, distance, dot, perpendicular, rotated, unit
from drafting.operations.truing_lines import recurved

_DOWN = Point(0.0, -1.0)
_BLEND, _BLEND_SHARE = 60.0, 0.3
"""How far above and below the bust its curve reaches, mm, and at most of each half (common practice)."""


@dataclass(frozen=True, slots=True)
class Turn:
    """What the bust darts take up, by which the upper outer part is turned about their point."""

    about: Point
    angle: float  # radians, as the outer part turns


@dataclass(frozen=True, slots=True)
class Lower:
    """An edge below the bust: the points that it passes, the last its end, and its direction there."""

    points: tuple[Point, ...]
    arrival: Point


def ease_over(turn: Turn, over: Point) -> float:
    """How much longer the outer edge is over the bust, mm."""
    return distance(over, rotated(over, turn.angle, turn.about))


def leaving(edge: Path, at: float, towards: Point) -> Point:
    """The direction in which the line leaves an edge: between square to it and straight to where it goes."""
    start, square = edge.point_at(at), perpendicular(edge.tangent_at(at))
    aim = unit(towards - start)
    return unit(aim + (square if dot(square, aim) > 0 else -square))


def eased_edges(
    upper: tuple[Point, Point], axis: float, lower: tuple[Lower, Lower], turn: Turn, most: float
) -> tuple[Path, Path]:
    """Return inner and outer edge so that the outer is eased by no more than ``most``, mm.

    The line passes the bust at ``axis``, level with the darts' point, if it may; else nearer to that point,
    as far as the ease allows: it grows in proportion to the distance.
    """
    about = turn.about
    far = edges(upper, Point(axis, about.y), lower, turn)
    if _ease(far) <= most:
        return far
    near = edges(upper, about, lower, turn)
    share = min(max((most - _ease(near)) / (_ease(far) - _ease(near)), 0.0), 1.0)
    return edges(upper, Point(about.x + (axis - about.x) * share, about.y), lower, turn)


def _ease(drawn: tuple[Path, Path]) -> float:
    return drawn[1].length - drawn[0].length


def edges(
    upper: tuple[Point, Point], over: Point, lower: tuple[Lower, Lower], turn: Turn | None
) -> tuple[Path, Path]:
    """Return the line as the inner and as the outer part have it, from above downward.

    Args:
        upper: where the line begins, and the direction in which it leaves.
        over: where it passes the bust, falling upright there on the inner part.
        lower: of the inner and the outer part, what follows below.
        turn: of the bust darts; without one both parts are alike down to ``over``.

    The outer edge is longer than the inner by the ease over the bust; less where the line passes so far
    beside the waist dart's axis that its lower half cannot be drawn as long as the inner one.
    """
    above = curve_through((upper[0], over), upper[1], _DOWN)
    inner, outer = (curve_through((over, *edge.points), _DOWN, edge.arrival) for edge in lower)
    outer = recurved(outer, inner.length)
    if turn is None:
        return above.joined(inner), above.joined(outer)
    return above.joined(inner), _blended(above.rotated(turn.angle, turn.about), over, outer, turn)


def begun_beside(line: Path, by: Point) -> Path:
    """The line begun ``by`` beside its start, in the same direction; below its first curve as it was.

    Raises: ValueError for a line that does not begin with a curve.
    """
    first = line.segments[0]
    if not isinstance(first, Cubic):
        raise ValueError("a princess line begins with a curve")
    moved = Cubic(first.p0 + by, first.p1 + by, first.p2, first.p3)
    return Path((moved, *line.segments[1:]))


def _blended(above: Path, over: Point, below: Path, turn: Turn) -> Path:
    """The outer edge, the bend that the turn makes at the bust drawn out into a curve.

    Each half of that curve is trued to what it stands for; the ease lies in the upper one.
    """
    reach = min(_BLEND, _BLEND_SHARE * above.length, _BLEND_SHARE * below.length)
    head, rest = above.split_at(above.length - reach)
    first, tail = below.split_at(reach)
    passing = rotated(_DOWN, turn.angle / 2, Point(0.0, 0.0))
    bend = (
        curve_through((head.end, over), head.end_tangent, passing),
        curve_through((over, tail.start), passing, tail.start_tangent),
    )
    lengths = (rest.length + ease_over(turn, over), first.length)
    entering, leaving_it = (recurved(*part) for part in zip(bend, lengths, strict=True))
    return head.joined(entering).joined(leaving_it).joined(tail)
