"""A skirt panel without darts: shaped above the hip, straight or flared below it."""

from __future__ import annotations

from dataclasses import dataclass
from math import tan

from drafting.blocks.skirts.edge import HipEdge
from drafting.blocks.waist import level_curve
from drafting.geometry import Line, Path, Point


@dataclass(frozen=True, slots=True)
class SkirtPanel:
    """``waist`` and ``hem`` run outward, ``side`` downward."""

    waist: Path
    side: Path
    hem: Path
    hip_side: Point


@dataclass(frozen=True, slots=True)
class SkirtSizes:
    """mm; widths are of cloth, pleats open. ``flare`` is the side's angle below the hip, radians."""

    waist: float
    hip: float
    hip_level: float  # below the waist
    length: float
    start: float = 0.0  # x at which the panel begins
    flare: float = 0.0


def skirt_panel(sizes: SkirtSizes, level_until: float) -> SkirtPanel:
    """Return the panel; its waist is level up to ``level_until`` (the last pleat), then bends to the side.

    Raises: CannotDraft where waist and hip differ by more than a side can shape.
    """
    hip = Point(sizes.start + sizes.hip, -sizes.hip_level)
    edge = HipEdge(hip, sizes.length - sizes.hip_level, sizes.flare)
    x, corner = sizes.start + sizes.waist, Point(level_until, 0.0)
    for _ in range(30):
        lean = edge.lean(x)
        top = Point(x, (x - level_until) * tan(lean / 2))
        curve = level_curve(corner, 0.0, top, lean)
        miss = sizes.start + sizes.waist - level_until - curve.length
        if abs(miss) < 1e-10:
            break
        x += miss
    waist = Path((Line(Point(sizes.start, 0.0), corner), *curve.segments))
    return SkirtPanel(waist, edge.path(top), edge.hem(sizes.start), hip)
