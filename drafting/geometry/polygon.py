"""Areas of rings of points."""

from __future__ import annotations

from collections.abc import Sequence

from drafting.geometry.vector import Point


def polygon_area(points: Sequence[Point]) -> float:
    """Signed area of a ring, mm2: positive where it runs counter-clockwise.

    The first point may be repeated at the end or not. Fewer than three points have no area: 0.

    Source: plane geometry, the shoelace formula; taken about the first point, so that a ring far from the
    origin loses no digits.
    """
    if len(points) < 3:
        return 0.0
    x0, y0 = points[0]
    double = 0.0
    for (ax, ay), (bx, by) in zip(points, (*points[1:], points[0]), strict=True):
        double += (ax - x0) * (by - y0) - (bx - x0) * (ay - y0)
    return double / 2
