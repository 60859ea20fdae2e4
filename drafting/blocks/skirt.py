"""A skirt panel: straight from the hip down, shaped above it, its waist square to the side.

Frame: x from the centre outward, y from the waist at the centre upward (the skirt hangs below 0).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan, tan

from drafting.blocks.waist import level_curve
from drafting.geometry import Cubic, Line, Path, Point


@dataclass(frozen=True, slots=True)
class SkirtPanel:
    """``waist`` and ``hem`` run outward, ``side`` downward."""

    waist: Path
    side: Path
    hem: Path
    hip_side: Point


@dataclass(frozen=True, slots=True)
class SkirtSizes:
    """mm; widths are of cloth, pleats open."""

    waist: float
    hip: float
    hip_level: float  # below the waist
    length: float
    start: float = 0.0  # x at which the panel begins


def skirt_panel(sizes: SkirtSizes, level_until: float) -> SkirtPanel:
    """Return the panel; its waist is level up to ``level_until`` (the last pleat), then bends to the side."""
    x, hip = sizes.start + sizes.waist, Point(sizes.start + sizes.hip, -sizes.hip_level)
    corner = Point(level_until, 0.0)
    for _ in range(30):
        lean = atan(1.5 * (hip.x - x) / sizes.hip_level)
        top = Point(x, (x - level_until) * tan(lean / 2))
        curve = level_curve(corner, 0.0, top, lean)
        miss = sizes.start + sizes.waist - level_until - curve.length
        if abs(miss) < 1e-10:
            break
        x += miss
    waist = Path((Line(Point(sizes.start, 0.0), corner), *curve.segments))
    depth = top.y - hip.y
    side = Cubic(top, top + Point(tan(lean), -1.0) * (0.33 * depth), hip + Point(0.0, 0.45 * depth), hip)
    foot = Point(hip.x, -sizes.length)
    return SkirtPanel(
        waist,
        Path((side, Line(hip, foot))),
        Path.line(Point(sizes.start, -sizes.length), foot),
        hip,
    )
