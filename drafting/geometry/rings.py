"""Points as the arrays and shapes of the kept geometry library."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain
from typing import cast

import numpy as np
import numpy.typing as npt
import shapely

from drafting.geometry import Point
from drafting.geometry.vector import made

Rows = npt.NDArray[np.float64]
"""Points, one a row."""


def as_array(points: Sequence[Point]) -> Rows:
    """One row a point. Number by number: handing over point by point takes five times as long."""
    return np.fromiter(chain.from_iterable(points), float, 2 * len(points)).reshape(-1, 2)


def as_points(rows: Rows) -> list[Point]:
    """One point a row."""
    return [made(Point, row) for row in rows.tolist()]


def as_polygon(points: Sequence[Point] | Rows) -> shapely.Polygon:
    """The polygon of a ring."""
    return cast("shapely.Polygon", shapely.polygons(_rows(points)))


def as_ring(points: Sequence[Point] | Rows) -> shapely.LinearRing:
    """The line of a ring."""
    return cast("shapely.LinearRing", shapely.linearrings(_rows(points)))


def _rows(points: Sequence[Point] | Rows) -> Rows:
    return points if isinstance(points, np.ndarray) else as_array(points)
