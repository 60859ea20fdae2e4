"""Rings of points as the shapes of the kept geometry library."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from drafting.geometry import Point


def as_polygon(points: Sequence[Point]) -> shapely.Polygon:
    """The polygon of a ring. Through an array: handing over point by point takes five times as long."""
    return shapely.Polygon(np.array(points, dtype=float))
