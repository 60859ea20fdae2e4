"""Necklines: the line from the shoulder to the centre, and how it is cut into a front or a back.

Frame: that of the blocks; a neckline runs from its point on the shoulder to the centre line, x = 0. Sizes of
the shapes, where nothing is chosen, are shares of the wearer's own shoulder and neck: common practice, no
source.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import pi, radians

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Line, Path, Point, Segment, angle_between, distance, perpendicular, rotated

ROUND, SCOOP, VEE, SQUARE, BOAT, KEYHOLE = "round", "scoop", "v", "square", "boat", "keyhole"

_STRAP_SHARE, _STRAP_LEAST = 0.25, 15.0  # of the shoulder seam that must be left, mm at least
_SAME = 1e-6  # mm
_SMOOTH_FROM, _SMOOTH_TO = radians(66.0), radians(112.0)  # angles at the shoulder that a back can carry on


@dataclass(frozen=True, slots=True)
class Shape:
    """A neckline's own sizes, where nothing is chosen.

    ``wider`` is a share of the shoulder seam; ``lower`` and ``back_lower`` are shares of the depth of the
    front neck at the neck's base; below nothing, the front is raised.
    """

    wider: float
    lower: float
    back_lower: float


SHAPES = {
    ROUND: Shape(0.0, 0.0, 0.0),
    SCOOP: Shape(0.3, 1.0, 0.3),
    VEE: Shape(0.12, 1.4, 0.0),
    SQUARE: Shape(0.32, 0.7, 0.2),
    BOAT: Shape(0.58, -0.15, 0.0),
    KEYHOLE: Shape(0.0, 0.0, 0.0),
}


@dataclass(frozen=True, slots=True)
class Half:
    """The neck's base of a front or a back: what a neckline is cut from."""

    neck: Path  # from the neck point to the centre
    shoulder: Path  # from the neck point outward
    lowest: float  # the height that no neckline may pass, mm above the waist

    @property
    def depth(self) -> float:
        """From the level of the neck point down to the centre, mm."""
        return self.neck.start.y - self.neck.end.y


@dataclass(frozen=True, slots=True)
class NeckSize:
    """How a neckline leaves the neck's base: outward on the shoulder, downward at both centres, mm."""

    wider: float
    lower: float
    back_lower: float


def widest(front: Half) -> float:
    """How far a neckline may run out on the shoulder, so that a strap is left that stays on it, mm."""
    length = front.shoulder.length
    return max(length - max(_STRAP_SHARE * length, _STRAP_LEAST), 0.0)


def lowest(half: Half) -> float:
    """How far a neckline may be lowered at the centre, mm."""
    return max(half.neck.end.y - half.lowest, 0.0)


def house_size(shape: str, front: Half, back: Half) -> NeckSize:
    """The sizes of a shape where nothing is chosen, within what the wearer allows."""
    own = SHAPES[shape]
    return NeckSize(
        min(own.wider * front.shoulder.length, widest(front)),
        min(own.lower * front.depth, lowest(front)),
        min(own.back_lower * front.depth, lowest(back)),
    )


def opened(size: NeckSize, front: Half, back: Half, share: float) -> NeckSize:
    """A neckline ``share`` of the way (0 to 1) towards the widest and lowest that one still calls decent."""
    return NeckSize(
        size.wider + share * max(0.95 * widest(front) - size.wider, 0.0),
        size.lower + share * max(0.8 * lowest(front) - size.lower, 0.0),
        size.back_lower + share * max(0.7 * lowest(back) - size.back_lower, 0.0),
    )


def neck_point(half: Half, wider: float) -> Point:
    """Where the neckline meets the shoulder seam."""
    return half.shoulder.point_at(wider) if wider > _SAME else half.shoulder.start


def front_neck(shape: str, half: Half, size: NeckSize) -> Path:
    """The front neckline, from the shoulder to the centre; square to the centre, a V excepted."""
    start = neck_point(half, size.wider)
    end = Point(0.0, min(half.neck.end.y - size.lower, start.y - 0.15 * start.x))
    square_to_shoulder = -perpendicular(half.shoulder.start_tangent)
    depth = start.y - end.y
    if shape == VEE:
        return Path.line(start, end)
    if shape == SQUARE:
        return Path.polyline([start, Point(0.94 * start.x, end.y), end])
    if shape == BOAT:
        return Path.cubic(
            start, start + square_to_shoulder * (0.55 * depth), Point(0.72 * start.x, end.y), end
        )
    reach = 0.62 if shape == SCOOP else 0.5
    return Path.cubic(start, start + square_to_shoulder * (reach * depth), Point(0.55 * start.x, end.y), end)


def shoulder_angle(half: Half, neck: Path) -> float:
    """The angle between the shoulder seam, outward, and the neckline that leaves it, radians."""
    return abs(angle_between(half.shoulder.start_tangent, neck.start_tangent))


def runs_on(angle: float) -> bool:
    """Whether a back can carry on, without a corner, a front neckline that leaves the shoulder so."""
    return _SMOOTH_FROM <= angle <= _SMOOTH_TO


def back_neck(half: Half, size: NeckSize, front_angle: float) -> Path:
    """The back neckline: it carries on the front's across the shoulder and is square to the centre.

    It never lies higher, below its own point on the shoulder, than the neck's base does below the neck point.
    """
    start = neck_point(half, size.wider)
    least = half.depth + 0.08 * size.wider
    end = Point(0.0, min(half.neck.end.y - size.back_lower, start.y - least))
    angle = pi - front_angle if runs_on(front_angle) else pi / 2
    leaving = rotated(half.shoulder.start_tangent, -angle, Point(0.0, 0.0))
    drop = start.y - end.y
    reach = min(0.8 * drop / max(-leaving.y, 0.2), 0.45 * start.x / max(-leaving.x, 0.2))
    return Path.cubic(start, start + leaving * reach, Point(0.5 * start.x, end.y), end)


def cut_neck(sketch: Sketch, neck: Path, names: tuple[str, str] = ("neck", "shoulder")) -> None:
    """Put another neckline into a front or a back, in place: its shoulder and its centre follow.

    ``names`` are the edges of the neckline and of the shoulder (its first edge, where it has several).
    """
    old, shoulder = sketch.stroke(names[0]), sketch.stroke(names[1])
    wider = distance(shoulder.path.start, neck.start)
    if wider > _SAME:
        sketch.put(shoulder.name, replace(shoulder, path=shoulder.path.split_at(wider)[1]))
    sketch.put(old.name, replace(old, path=neck))
    for stroke in list(sketch.strokes):
        moved = _followed(stroke, old.path.end, neck.end.y)
        if moved is not None and stroke.name not in names:
            sketch.put(stroke.name, moved)


def _followed(stroke: Stroke, top: Point, height: float) -> Stroke | None:
    """A stroke of the centre with what lay, straight, at the old neckline's level moved to the new one's."""
    if not any(_at_top(end, top) for end in (stroke.path.start, stroke.path.end)):
        return None
    segments = list(stroke.path.segments)
    for k in (0, -1):
        start, end = (Point(p.x, height) if _at_top(p, top) else p for p in _ends(segments[k]))
        segments[k] = Line(start, end) if _ends(segments[k]) != (start, end) else segments[k]
    return replace(stroke, path=Path(tuple(segments)))


def _ends(segment: Segment) -> tuple[Point, Point]:
    return segment.start, segment.end


def _at_top(point: Point, top: Point) -> bool:
    return abs(point.y - top.y) < _SAME and point.x <= top.x + _SAME
