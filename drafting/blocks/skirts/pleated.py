"""A pleated quarter of a skirt with its pleats open, and the lines along which they are folded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from drafting.blocks.pleats import BOX, INVERTED, PleatPlan, plan_pleats
from drafting.blocks.skirts.panel import SkirtPanel, SkirtSizes, skirt_panel
from drafting.geometry import Line, Path, Point
from drafting.pattern import Mark, MarkKind

_SIDE_SHARE, _SIDE_MOST, _SIDE_LEAST = 0.3, 15.0, -12.0  # of what hip and waist differ, at the side, mm
_ARROW = 0.25  # of the hip level: where the arrow from fold to placement lies


@dataclass(frozen=True, slots=True)
class PleatWish:
    """What is asked of a quarter's pleats; lengths in mm."""

    kind: str
    count: int
    depth: float
    least: float
    overlap: float
    share: float = 1.0  # of the quarter's width that is pleated


def plan_quarter(wish: PleatWish, waist: float, hip: float, at_side: float | None = None) -> PleatPlan:
    """Return pleats that take a quarter in from hip to waist, the side seam a little of it.

    ``at_side``: what the side takes in, mm, where it is sewn to a side that is shaped otherwise.

    Raises: BadChoice, field "pleats" (see ``plan_pleats``).
    """
    if at_side is None:
        at_side = min(max(_SIDE_SHARE * (hip - waist), _SIDE_LEAST), _SIDE_MOST)
    widths, depths = (waist, hip - at_side), (wish.depth, wish.least)
    plan = plan_pleats(wish.kind, wish.count, widths, depths, wish.overlap, share=wish.share)
    return PleatPlan(plan.kind, plan.count, waist, hip, plan.waist_depth, plan.hip_depth, plan.share)


def pleated_panel(plan: PleatPlan, hip_level: float, length: float) -> SkirtPanel:
    """Return the quarter, pleats open; its waist is level as far as the last pleat."""
    stops = plan.stops(plan.waist, plan.waist_depth)
    return skirt_panel(SkirtSizes(plan.waist_cloth, plan.hip_cloth, hip_level, length), stops[-1][1])


def shown_at_hip(plan: PleatPlan) -> Iterator[tuple[float, float]]:
    """The stretches of x that show at the hip level, between the pleats."""
    at = 0.0
    for start, end in plan.stops(plan.hip, plan.hip_depth):
        if start - at > 1e-6:
            yield at, start
        at = end
    yield at, plan.hip_cloth


def pleat_marks(plan: PleatPlan, hip_level: float, length: float) -> Iterator[Mark]:
    """For each pleat its folds, where they go, and the way they go."""
    at_waist = plan.stops(plan.waist, plan.waist_depth)
    at_hip = plan.stops(plan.hip, plan.hip_depth)

    def upright(share: float, k: int) -> Path:
        (a, b), (c, d) = at_waist[k], at_hip[k]
        x, y = a + (b - a) * share, c + (d - c) * share
        knee = Point(y, -hip_level)
        return Path((Line(Point(x, 0.0), knee), Line(knee, Point(y, -length))))

    for k in range(len(at_waist)):
        for number, (fold, place) in enumerate(_folds(plan.kind, k), start=1):
            name = f"pleat {k + 1}" if plan.kind != BOX else f"pleat {k // 2 + 1}"
            part = f" {number}" if plan.kind == INVERTED else ""
            line, goal = upright(fold, k), upright(place, k)
            s = _ARROW * hip_level
            arrow = Path.line(line.point_at(s), goal.point_at(s))
            yield Mark(f"{name}{part} fold", MarkKind.PLEAT_FOLD, line)
            yield Mark(f"{name}{part} placement", MarkKind.PLEAT_PLACEMENT, goal)
            yield Mark(f"{name}{part} direction", MarkKind.PLEAT_PLACEMENT, arrow, arrow=True)


def _folds(kind: str, k: int) -> tuple[tuple[float, float], ...]:
    """Shares of a hidden stretch: (where the outer fold lies, where it is brought to)."""
    if kind == INVERTED:
        return ((0.0, 0.5), (1.0, 0.5))
    if kind == BOX:
        return ((1.0, 0.0),) if k % 2 == 0 else ((0.0, 1.0),)
    return ((0.0, 1.0),)
