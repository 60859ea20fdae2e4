"""Arcs of circles, as the cubics that a path is made of."""

from __future__ import annotations

from math import ceil, pi, tan

from drafting.geometry.path import Path
from drafting.geometry.segment import Cubic
from drafting.geometry.vector import NEAR, Point, distance, perpendicular, rotated

_WIDEST = pi / 4  # of one cubic: it then strays less than 5e-6 of the radius from the circle


def arc(centre: Point, start: Point, angle: float) -> Path:
    """Return the arc from ``start`` about ``centre``, ``angle`` radians, counter-clockwise where positive.

    Raises: ValueError where the arc has no length.

    Source: the usual cubic of an arc, handles 4/3 tan(angle / 4) radii long.
    """
    if distance(centre, start) * abs(angle) <= NEAR:
        raise ValueError("an arc needs a radius and an angle")
    count = ceil(abs(angle) / _WIDEST - 1e-9)
    step = angle / count
    reach = 4 / 3 * tan(step / 4)
    cubics, at = [], start
    for k in range(count):
        end = rotated(start, step * (k + 1), centre)
        out, back = perpendicular(at - centre) * reach, perpendicular(end - centre) * -reach
        cubics.append(Cubic(at, at + out, end + back, end))
        at = end
    return Path(tuple(cubics))
