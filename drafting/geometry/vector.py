"""Points, and the few vector operations that drafting needs."""

from __future__ import annotations

from math import atan2, cos, hypot, sin
from typing import NamedTuple

NEAR = 1e-6
"""Points closer than this, mm, are the same point."""

# A draft makes a hundred thousand points: this skips the named tuple's own constructor, half the time of one.
# It takes the class and both numbers as one value.
made = tuple.__new__


class Point(NamedTuple):
    """A point or a vector, mm."""

    x: float
    y: float

    def __add__(self, other: Point) -> Point:  # type: ignore[override]  # a vector sum, not tuple joining
        return made(Point, (self[0] + other[0], self[1] + other[1]))

    def __sub__(self, other: Point) -> Point:
        return made(Point, (self[0] - other[0], self[1] - other[1]))

    def __mul__(self, factor: float) -> Point:  # type: ignore[override]  # scaling, not tuple repetition
        return made(Point, (self[0] * factor, self[1] * factor))

    def __rmul__(self, factor: float) -> Point:  # type: ignore[override]  # scaling, not tuple repetition
        return Point(self.x * factor, self.y * factor)

    def __neg__(self) -> Point:
        return made(Point, (-self[0], -self[1]))


def dot(a: Point, b: Point) -> float:
    """Scalar product, mm2."""
    return a[0] * b[0] + a[1] * b[1]


def cross(a: Point, b: Point) -> float:
    """Signed area of the parallelogram of two vectors, mm2; positive where ``b`` lies left of ``a``."""
    return a[0] * b[1] - a[1] * b[0]


def norm(vector: Point) -> float:
    """Length of a vector, mm."""
    return hypot(vector[0], vector[1])


def distance(a: Point, b: Point) -> float:
    """Distance of two points, mm."""
    return hypot(a[0] - b[0], a[1] - b[1])


def unit(vector: Point) -> Point:
    """The vector scaled to length 1. Raises: ValueError for a vector shorter than 1e-12."""
    length = hypot(vector[0], vector[1])
    if length < 1e-12:
        raise ValueError("a vector without length has no direction")
    return made(Point, (vector[0] / length, vector[1] / length))


def perpendicular(vector: Point) -> Point:
    """The vector turned a quarter to the left."""
    return made(Point, (-vector[1], vector[0]))


def lerp(a: Point, b: Point, t: float) -> Point:
    """The point at the share ``t`` of the way from ``a`` to ``b``."""
    return made(Point, (a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t))


def rotated(p: Point, angle: float, about: Point) -> Point:
    """``p`` turned by ``angle`` radians, counter-clockwise, about a point."""
    c, s = cos(angle), sin(angle)
    dx, dy = p[0] - about[0], p[1] - about[1]
    return made(Point, (about[0] + c * dx - s * dy, about[1] + s * dx + c * dy))


def mirrored(p: Point, a: Point, b: Point) -> Point:
    """``p`` mirrored over the line through ``a`` and ``b``. Raises: ValueError where these are one point."""
    along = unit(b - a)
    foot = a + along * dot(p - a, along)
    return foot * 2.0 - p


def angle_between(a: Point, b: Point) -> float:
    """Signed turn from ``a`` to ``b``, radians in (-pi, pi]; positive to the left."""
    return atan2(cross(a, b), dot(a, b))


def line_meeting(a: Point, along_a: Point, b: Point, along_b: Point) -> Point:
    """Where two unlimited lines, each given by a point and a direction, meet.

    Raises: ValueError where they are parallel (within 1e-12 of unit directions).
    """
    u, v = unit(along_a), unit(along_b)
    turn = cross(u, v)
    if abs(turn) < 1e-12:
        raise ValueError("parallel lines do not meet")
    return a + u * (cross(b - a, v) / turn)
