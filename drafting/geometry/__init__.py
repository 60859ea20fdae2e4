"""Points, lines, curves and paths in the plane. Lengths are millimetres, angles radians, y is up.

A small vector core of our own: a pattern needs the exact length of a curve, a point at a given length
along it, and the same answer on every machine; nothing here depends on a compiled library.
"""

from __future__ import annotations

from drafting.geometry.arc import arc
from drafting.geometry.crossing import intersect
from drafting.geometry.path import Path
from drafting.geometry.polygon import polygon_area
from drafting.geometry.segment import Cubic, Line, Segment
from drafting.geometry.spline import curve_through
from drafting.geometry.vector import (
    NEAR,
    Point,
    angle_between,
    cross,
    distance,
    dot,
    lerp,
    line_meeting,
    mirrored,
    norm,
    perpendicular,
    rotated,
    unit,
)

__all__ = [
    "NEAR",
    "Cubic",
    "Line",
    "Path",
    "Point",
    "Segment",
    "angle_between",
    "arc",
    "cross",
    "curve_through",
    "distance",
    "dot",
    "intersect",
    "lerp",
    "line_meeting",
    "mirrored",
    "norm",
    "perpendicular",
    "polygon_area",
    "rotated",
    "unit",
]
