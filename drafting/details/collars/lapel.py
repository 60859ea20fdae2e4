"""What else is made of the lines of a collar with lapels: a shawl without a notch, and a collar set on.

Source: common practice, no source.
"""

from __future__ import annotations

from drafting.details.collar import NotchedCollar
from drafting.details.collars.leaf import Leaf
from drafting.geometry import (
    NEAR,
    Cubic,
    Line,
    Path,
    Point,
    angle_between,
    distance,
    dot,
    intersect,
    lerp,
    mirrored,
    perpendicular,
    rotated,
    unit,
)

_BELLY = 0.06  # of the lapel's edge: how far a shawl's bows outward
_ROUNDED = 0.45  # of the shorter arm: how much of the gorge's corner is rounded
_FAR = 1000.0  # mm
_ORIGIN = Point(0.0, 0.0)


def shawl(collar: NotchedCollar) -> tuple[Path, Path]:
    """One even line from the outer end of the centre back round to the break, in two parts.

    They meet at the height of the lapel's point, as wide there as the lapel: above it is collar, below lapel.
    """
    up = unit(collar.roll_neck - collar.break_point)
    outer, widest, foot = collar.edge.start, collar.lapel_point, collar.break_point
    reach, lower = distance(outer, widest) / 3, distance(widest, foot)
    bow = perpendicular(up) * (_BELLY * lower)
    above = Cubic(outer, outer + collar.edge.start_tangent * reach, widest + up * reach, widest)
    below = Cubic(widest, widest - up * (0.3 * lower), lerp(widest, foot, 0.7) + bow, foot)
    return Path((above,)), Path((below,))


def folded_shawl(collar: NotchedCollar) -> tuple[Point, ...]:
    """The lapel of a shawl as it lies on the front once turned over the roll line."""
    lapel = shawl(collar)[1]
    return tuple(mirrored(point, collar.break_point, collar.roll_neck) for point in lapel.flatten(0.5))


def gorge(collar: NotchedCollar) -> Path:
    """Where a set-on collar meets the front: from the neck point down along the roll, then out to the notch.

    It leaves the neck point in the direction of the roll line, so that the collar's neck edge runs on into
    it; its corner is rounded.
    """
    up = unit(collar.roll_neck - collar.break_point)
    neck, notch = collar.neck.start, collar.notch.end
    corner = neck - up * dot(neck - notch, up)
    across = unit(notch - corner)
    radius = _ROUNDED * min(distance(neck, corner), distance(corner, notch))
    above, beside = corner + up * radius, corner + across * radius
    bend = Cubic(above, lerp(above, corner, 0.6), lerp(beside, corner, 0.6), beside)
    return Path((Line(neck, above), bend, Line(beside, notch)))


def set_on(collar: NotchedCollar) -> Leaf:
    """Half the collar above the gorge, turned so that its centre back stands upright at x = 0."""
    neck = collar.neck.reversed().joined(gorge(collar))
    lines = (neck, collar.edge, collar.back, collar.notch.reversed())
    return Leaf(*(_upright(collar, line) for line in lines))


def roll_on(collar: NotchedCollar, stand: float, *, below: float = 0.0) -> Path:
    """Where a set-on collar turns over, in its own frame: from ``stand`` mm up the centre back to the gorge.

    Its front part carries on the lapel's roll line. With ``below``: the line that many mm nearer the neck.
    """
    up = unit(collar.roll_neck - collar.break_point)
    passing = collar.roll_neck - perpendicular(up) * below
    met = intersect(gorge(collar), Line(passing - up * _FAR, passing + up))
    foot = met[0] if met else passing
    start = collar.back.point_at(min(stand, 0.9 * collar.back.length) - below)
    reach = distance(start, passing) / 3
    over = Cubic(start, start - collar.neck.end_tangent * reach, passing + up * reach, passing)
    front = (Line(passing, foot),) if distance(passing, foot) > NEAR else ()
    return _upright(collar, Path((over, *front)))


def _upright(collar: NotchedCollar, path: Path) -> Path:
    """A line of the collar on its front, in the frame in which its centre back stands at x = 0."""
    turn = angle_between(-collar.neck.end_tangent, Point(1.0, 0.0))
    origin = collar.neck.end
    return path.mapped(lambda p: rotated(p - origin, turn, _ORIGIN))
