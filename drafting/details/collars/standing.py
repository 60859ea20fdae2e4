"""Collars from a rectangle: standing, turned over, and the stand and fall of a shirt collar.

All are bands whose neck edge is an even curve: bent upward at the front (``rise`` above nothing), the outer
edge is shorter and hugs the neck; bent downward, it is longer and falls.
"""

from __future__ import annotations

from math import cos, pi, sin

from drafting.details.collars.leaf import Leaf
from drafting.geometry import Cubic, Path, Point, unit

RISE_SHARE = 0.4
"""Rise of the front end over the height of a standing collar: 1 in on 2 1/2.

Source: Text-Book on Domestic Art: neck base 13, collar 2 1/2 high, drawn in a rectangle of half the neck by
the height + 1 in, the end raised by 1 in.
"""
_FLAT = 1e-6


def bend(length: float, rise: float) -> float:
    """The angle, radians, through which an arc of this length turns to end ``rise`` above its start.

    Source: plane geometry, rise = length (1 - cos a) / a; found by halving.
    """
    if abs(rise) < _FLAT:
        return 0.0
    low, high = 0.0, pi
    for _ in range(60):
        middle = (low + high) / 2
        if length * (1 - cos(middle)) / middle < abs(rise):
            low = middle
        else:
            high = middle
    return low if rise > 0 else -low


def arc(start: Point, length: float, angle: float, *, by: float = 0.0) -> Path:
    """An arc that leaves ``start`` to the right and turns left by ``angle``; or one ``by`` mm left of it.

    The first is ``length`` long to a thousandth of a millimetre; the others are concentric with it.
    """
    if abs(angle) < _FLAT:
        shift = Point(0.0, by)
        return Path.line(start + shift, start + Point(length, 0.0) + shift)
    radius = length / angle
    handle = 4 / 3 * sin(angle / 4) / cos(angle / 4)
    end = Point(sin(angle), 1 - cos(angle))
    leaving, arriving = Point(1.0, 0.0), Point(cos(angle), sin(angle))
    shape = Cubic(Point(0.0, 0.0), leaving * handle, end - arriving * handle, end)
    exact = length / (shape.length * radius) if angle > 0 else length / (shape.length * -radius)
    centre = start + Point(0.0, radius * exact)
    scale = radius * exact - by
    return Path((shape.mapped(lambda p: centre + Point(p.x, p.y - 1.0) * scale),))


def band(length: float, height: float, rise: float) -> Leaf:
    """A collar of even height whose front end is square to its neck edge.

    Args:
        length: of the neck edge, from the centre back to the front end, mm.
        height: mm.
        rise: of the front end of the neck edge, mm; below nothing it falls.
    """
    angle = bend(length, rise)
    neck = arc(Point(0.0, 0.0), length, angle)
    edge = arc(Point(0.0, 0.0), length, angle, by=height)
    return Leaf(neck, edge, Path.line(neck.start, edge.start), Path.line(neck.end, edge.end))


def pointed(leaf: Leaf, *, longer: float, outward: float) -> Leaf:
    """The leaf with a point at the front: its end line ``longer`` and leaning ``outward``, mm.

    The outer edge leaves the centre back squarely and runs to the point.
    """
    along, across = leaf.neck.end_tangent, unit(leaf.end.end - leaf.end.start)
    point = leaf.end.end + across * longer + along * outward
    reach = leaf.edge.length / 3
    start = leaf.edge.start
    edge = Path.cubic(start, start + leaf.edge.start_tangent * reach, point - along * reach, point)
    return Leaf(leaf.neck, edge, leaf.back, Path.line(leaf.end.start, point))


def shirt_stand(half_neck: float, extension: float, height: float, rise: float) -> tuple[Leaf, Path]:
    """The stand of a shirt collar, rounded over the button extension; and its top edge to the centre front.

    Args:
        half_neck: from the centre back to the centre front, mm.
        extension: of the button stand, mm.
        height: at the centre back, mm.
        rise: of the front end, mm.

    The leaf's ``edge`` is the top as far as the centre front, its ``end`` the rounded front.
    """
    whole = band(half_neck + extension, height, rise)
    top = whole.edge.split_at(whole.edge.length * half_neck / (half_neck + extension))[0]
    foot = whole.neck.end
    corner = top.end + top.end_tangent * (0.75 * extension)
    up = unit(whole.end.end - whole.end.start)
    end = Path.cubic(foot, foot + up * (0.55 * height), corner, top.end)
    return Leaf(whole.neck, top, whole.back, end), top
