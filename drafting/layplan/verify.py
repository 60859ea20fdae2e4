"""Is a lay plan true? Checked on every plan before it is handed out, by shapely and plain comparison."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import Polygon

from drafting.layplan.cloth import Cloth
from drafting.layplan.items import Layer, LayItem
from drafting.layplan.outline import Outline, moved
from drafting.layplan.plan import LayPlan, Placed, lies_mirrored, poses_of
from drafting.layplan.problem import band_of
from drafting.layplan.table import blocked
from drafting.layplan.ties import MATCH_LIMIT, apart, pins_by_name

#: Two pieces overlap where they share more than this, mm2.
OVERLAP_LIMIT = 1e-6

#: A piece lies beyond an edge, or off the fold, by more than this, mm.
EDGE_LIMIT = 1e-6

#: The gap may be short by this much, mm: far below what shears can follow.
GAP_LIMIT = 0.01

#: A corner of an outline is where its item has it, within this, mm.
SHAPE_LIMIT = 1e-6


def verify(
    plan: LayPlan, items: Sequence[LayItem], rotations: tuple[float, ...] | None = None
) -> tuple[str, ...]:
    """What is wrong with a plan for these items; empty when all is well.

    Checks that each item lies there once, unchanged but for an allowed turn; inside the cloth; on the fold
    where it must; on the layer it needs; clear of flaws and ends; without overlap; with the gap kept; matched
    wherever the plan does not say that it cannot be; and that the length given is that of the lay.

    Args:
        plan: the plan.
        items: what was to be laid.
        rotations: the turns allowed, degrees; those of the cloth where not given.
    """
    allowed = plan.cloth.rotations if rotations is None else rotations
    return (
        *_wrong_count(plan, items),
        *_wrong_shapes(plan, items, allowed),
        *_outside(plan),
        *_off_layer(plan, items),
        *_on_blocked(plan),
        *_too_near(plan),
        *_mismatched(plan, items),
    )


def _wrong_count(plan: LayPlan, items: Sequence[LayItem]) -> Iterator[str]:
    wanted = Counter((item.name, item.copy) for item in items)
    found = Counter((placed.piece, placed.copy) for placed in plan.placed)
    for name, copy in sorted(wanted.keys() | found.keys()):
        if wanted[name, copy] != found[name, copy]:
            yield f"{name} {copy} lies there {found[name, copy]} times, not {wanted[name, copy]}"


def _wrong_shapes(plan: LayPlan, items: Sequence[LayItem], allowed: tuple[float, ...]) -> Iterator[str]:
    known = {(item.name, item.copy): item for item in items}
    for placed in plan.placed:
        item = known.get((placed.piece, placed.copy))
        if item is None:
            continue
        pose = next((p for p in poses_of(item, allowed) if p.rotation == placed.rotation), None)
        if pose is None:
            yield f"{_name(placed)} is turned by {placed.rotation:g} degrees, which the cloth does not allow"
        elif not _same(pose.outline, placed.outline):
            yield f"{_name(placed)} does not have the outline of its pattern piece"
        if placed.layer is not item.layer:
            yield f"{_name(placed)} lies {placed.layer}, not {item.layer}"
        if placed.mirrored != lies_mirrored(item, placed.rotation):
            yield f"{_name(placed)} lies with the wrong side up"


def _outside(plan: LayPlan) -> Iterator[str]:
    right = 0.0
    for placed in plan.placed:
        min_x, min_y, max_x, max_y = Polygon(placed.outline).bounds
        right = max(right, max_x)
        if min_x < -EDGE_LIMIT or min_y < -EDGE_LIMIT or max_y > plan.usable_width + EDGE_LIMIT:
            yield f"{_name(placed)} lies beyond the edge of the cloth"
        if placed.layer is Layer.FOLD and min_y > EDGE_LIMIT:
            yield f"{_name(placed)} lies {min_y:.3f} mm off the fold"
    if abs(right - plan.length) > EDGE_LIMIT:
        yield f"the lay is {right:.3f} mm long, not {plan.length:.3f}"
    if abs(plan.usable_width - plan.cloth.usable_width) > EDGE_LIMIT:
        yield f"the cloth gives {plan.cloth.usable_width:.3f} mm of width, not {plan.usable_width:.3f}"


def _off_layer(plan: LayPlan, items: Sequence[LayItem]) -> Iterator[str]:
    known = {(item.name, item.copy): item for item in items}
    for placed in plan.placed:
        item = known.get((placed.piece, placed.copy))
        if item is None:
            continue
        low, high = band_of(item, plan.cloth)
        _, min_y, _, max_y = Polygon(placed.outline).bounds
        if min_y < low - EDGE_LIMIT or max_y > high + EDGE_LIMIT:
            yield f"{_name(placed)} lies beyond its layer of the cloth"


def _on_blocked(plan: LayPlan) -> Iterator[str]:
    for box in blocked(plan.cloth):
        shape = shapely.box(*box)
        for placed in plan.placed:
            if Polygon(placed.outline).intersection(shape).area > OVERLAP_LIMIT:
                yield f"{_name(placed)} lies on a flaw or over the end of a length"


def _mismatched(plan: LayPlan, items: Sequence[LayItem]) -> Iterator[str]:
    """Pins of one name whose phases of the repeat differ, and matches that are not spoken of."""
    corners = {
        (placed.piece, placed.copy): tuple(min(point[axis] for point in placed.outline) for axis in (0, 1))
        for placed in plan.placed
    }
    for axis, step in enumerate((plan.cloth.repeat_length, plan.cloth.repeat_width)):
        for name, pins in pins_by_name(items, across=axis == 1) if step else ():
            if name in plan.unmatched:
                continue
            if name not in plan.matched:
                yield f"nothing is said of the match {name}"
            laid = [
                corners[key][axis] + pin[axis]
                for index, pin in pins
                if (key := (items[index].name, items[index].copy)) in corners
            ]
            worst = max((apart(laid[0], other, step) for other in laid[1:]), default=0.0)
            if worst > MATCH_LIMIT:
                yield f"{name}: does not match, {worst:.2f} mm of the repeat apart"


def _too_near(plan: LayPlan) -> Iterator[str]:
    outlines = [Polygon(placed.outline) for placed in plan.placed]
    for first, second in _neighbours(outlines, plan.cloth):
        one, other = plan.placed[first], plan.placed[second]
        overlap = outlines[first].intersection(outlines[second]).area
        if overlap > OVERLAP_LIMIT:
            yield f"{_name(one)} and {_name(other)} overlap by {overlap:.2g} mm2"
        elif plan.cloth.gap > 0:
            distance = outlines[first].distance(outlines[second])
            if distance < plan.cloth.gap - GAP_LIMIT:
                yield f"{_name(one)} and {_name(other)} are only {distance:.3f} mm apart"


def _neighbours(outlines: list[Polygon], cloth: Cloth) -> Iterator[tuple[int, int]]:
    """Pairs that overlap or may be nearer than the gap."""
    if outlines:
        tree = STRtree(outlines)
        pairs = tree.query(outlines, predicate="dwithin", distance=max(cloth.gap, EDGE_LIMIT))
        for first, second in pairs.T.tolist():
            if first < second:
                yield first, second


def _same(shape: Outline, laid: Outline) -> bool:
    """Whether the laid outline is the shape, moved."""
    if len(shape) != len(laid):
        return False
    dx, dy = (min(point[axis] for point in laid) for axis in (0, 1))
    return bool(np.abs(np.array(moved(shape, dx, dy)) - np.array(laid)).max() <= SHAPE_LIMIT)


def _name(placed: Placed) -> str:
    return f"{placed.piece} {placed.copy}"
