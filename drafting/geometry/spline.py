"""A smooth curve through given points, as a bent ruler would lie."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from drafting.geometry.path import Path
from drafting.geometry.segment import Cubic
from drafting.geometry.vector import NEAR, Point, distance, unit


def curve_through(
    points: Sequence[Point], start_tangent: Point | None = None, end_tangent: Point | None = None
) -> Path:
    """Return the cubic spline through ``points``, one cubic from each point to the next.

    Direction and curvature run on through every inner point. A tangent is a direction of travel, of any
    length; where none is given the curve ends there without bending (a natural spline).

    Raises: ValueError for fewer than two points, or neighbours that are the same point.

    Source: interpolating cubic spline over the chord length; plane analysis.
    """
    if len(points) < 2:
        raise ValueError("a curve needs at least two points")
    steps = [distance(a, b) for a, b in pairwise(points)]
    if min(steps) <= NEAR:
        raise ValueError("a curve cannot pass the same point twice in a row")
    slopes = _slopes(points, steps, start_tangent, end_tangent)
    return Path(
        tuple(
            Cubic(
                points[i],
                points[i] + slopes[i] * (h / 3),
                points[i + 1] - slopes[i + 1] * (h / 3),
                points[i + 1],
            )
            for i, h in enumerate(steps)
        )
    )


def _slopes(
    points: Sequence[Point], steps: Sequence[float], start: Point | None, end: Point | None
) -> list[Point]:
    """The derivative at each point: a tridiagonal system, solved by elimination."""
    chords = [(b - a) * (1 / h) for (a, b), h in zip(pairwise(points), steps, strict=True)]
    last = len(points) - 1
    below, middle, above, right = [0.0], [1.0], [0.0], [Point(0.0, 0.0)]
    if start is None:
        middle[0], above[0], right[0] = 2.0, 1.0, chords[0] * 3
    else:
        right[0] = unit(start)
    for i in range(1, last):
        h, k = steps[i - 1], steps[i]
        below.append(k)
        middle.append(2 * (h + k))
        above.append(h)
        right.append((chords[i - 1] * k + chords[i] * h) * 3)
    below.append(1.0 if end is None else 0.0)
    middle.append(2.0 if end is None else 1.0)
    above.append(0.0)
    right.append(chords[-1] * 3 if end is None else unit(end))
    for i in range(1, last + 1):
        share = below[i] / middle[i - 1]
        middle[i] -= share * above[i - 1]
        right[i] = right[i] - right[i - 1] * share
    slopes = [right[last] * (1 / middle[last])]
    for i in range(last - 1, -1, -1):
        slopes.append((right[i] - slopes[-1] * above[i]) * (1 / middle[i]))
    return slopes[::-1]
