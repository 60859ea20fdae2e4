"""From items on a cloth to parts on a strip, and from a layout back to a plan."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, inf

from drafting.errors import BadCloth
from drafting.house import HOUSE_RULES
from drafting.layplan.cloth import Cloth, buy_length
from drafting.layplan.items import GREATEST_COUNT, SAME_SHAPE, Layer, LayItem
from drafting.layplan.outline import extent, moved, simplified, sound_outline
from drafting.layplan.plan import LayPlan, Placed, lies_mirrored, poses_of, used_of, utilisation
from drafting.layplan.refusals import Remedy, TooWide
from drafting.layplan.strip import Layout, Part, Pose, Position, StripProblem
from drafting.layplan.table import blocked, spans
from drafting.layplan.ties import ties_of

#: A piece may be wider than the cloth by this much, mm: the last bits of a float.
FITS = 1e-7

#: What parts wide rectangles into strips when they are drafted.
PANEL = HOUSE_RULES["panel_widest"]


def strip_problem(items: Sequence[LayItem], cloth: Cloth, rotations: tuple[float, ...]) -> StripProblem:
    """The problem to solve for a lay. Outlines are simplified outwards: a sound layout is a sound lay.

    Raises:
        BadCloth: nothing or too much to lay, an item twice, a bad outline.
        TooWide: items too wide for the cloth; it tells of the one that needs the widest.
    """
    _check_items(items, cloth, rotations)
    ties = ties_of(items, cloth)
    parts = [
        replace(part, tie_x=tie_x, tie_y=tie_y)
        for part, tie_x, tie_y in zip(_parts(items, cloth, rotations), ties.x, ties.y, strict=True)
    ]
    step_x = cloth.repeat_length if any(ties.x) else 0.0
    step_y = cloth.repeat_width if any(ties.y) else 0.0
    return StripProblem(cloth.usable_width, cloth.gap, tuple(parts), step_x, step_y, blocked(cloth))


def _check_items(items: Sequence[LayItem], cloth: Cloth, rotations: tuple[float, ...]) -> None:
    if not items:
        raise BadCloth(f"Of {cloth.name} nothing is cut, so there is nothing to lay.", field="items")
    if len(items) > GREATEST_COUNT:
        raise BadCloth(f"items: more than {GREATEST_COUNT} pieces to lay at once.", field="items")
    if not rotations:
        raise BadCloth("rotations: give at least one turn, such as 0.", field="rotations")
    seen: set[tuple[str, int]] = set()
    for item in items:
        if (item.name, item.copy) in seen:
            raise BadCloth(f"{item.name}: copy {item.copy} is listed twice.", field=item.name)
        seen.add((item.name, item.copy))


def _parts(items: Sequence[LayItem], cloth: Cloth, rotations: tuple[float, ...]) -> list[Part]:
    """The part of each item; items alike share one. Raises: TooWide, of those the worst."""
    known: dict[tuple[object, ...], Part] = {}
    parts: list[Part] = []
    faults: list[TooWide] = []
    for item in items:
        key = (item.polygon, item.layer, bool(item.pins))
        try:
            parts.append(known.get(key) or known.setdefault(key, _part(item, cloth, rotations)))
        except TooWide as fault:
            faults.append(fault)
    if faults:
        raise max(faults, key=lambda fault: fault.cloth_needed)
    return parts


def plan_of(
    layout: Layout,
    problem: StripProblem,
    items: Sequence[LayItem],
    cloth: Cloth,
    *,
    rotations: tuple[float, ...],
    increment_mm: float,
) -> LayPlan:
    """The plan of a layout, its pieces in cutting order; true outlines again, the lay begun at x = 0."""
    placed: list[Placed] = []
    for item, part, position in zip(items, problem.parts, layout.positions, strict=True):
        rotation = part.poses[position.pose].rotation
        pose = next(pose for pose in poses_of(item, rotations) if pose.rotation == rotation)
        outline = moved(pose.outline, position.x, position.y)
        placed.append(
            Placed(item.name, item.copy, lies_mirrored(item, rotation), rotation, item.layer, outline)
        )
    placed.sort(key=_cutting_order)
    length = max(x for place in placed for x, _ in place.outline)
    ties = ties_of(items, cloth)
    from_roll = max(length - spans(cloth)[-1].start, 0.0) if cloth.roll else 0.0
    taken = sum(used.length for used in used_of(placed, cloth)) / cloth.lengths_a_lay
    return LayPlan(
        cloth=cloth,
        usable_width=cloth.usable_width,
        length=length,
        buy_length=buy_length(from_roll * cloth.lengths_a_lay, cloth, increment_mm),
        utilisation=utilisation(tuple(placed), cloth, taken),
        seconds=0.0,
        placed=tuple(placed),
        matched=ties.matched,
        unmatched=ties.unmatched,
    )


def layout_of(plan: LayPlan, problem: StripProblem, items: Sequence[LayItem]) -> Layout | None:
    """The layout of a plan made before; None where it is not one of these items in these poses."""
    placed = {(row.piece, row.copy): row for row in plan.placed}
    positions: list[Position] = []
    for item, part in zip(items, problem.parts, strict=True):
        row = placed.get((item.name, item.copy))
        turns = [pose.rotation for pose in part.poses]
        if row is None or row.rotation not in turns:
            return None
        x, y = (min(point[axis] for point in row.outline) for axis in (0, 1))
        positions.append(Position(turns.index(row.rotation), x, y))
    return Layout(tuple(positions))


def band_of(item: LayItem, cloth: Cloth) -> tuple[float, float]:
    """The band across the cloth in which an item must lie: that of its layers where it is part folded; mm."""
    if not cloth.fold_depth:
        return 0.0, cloth.usable_width
    if item.layer is Layer.SINGLE:
        return cloth.single_from, cloth.usable_width
    return 0.0, cloth.fold_depth


def _part(item: LayItem, cloth: Cloth, rotations: tuple[float, ...]) -> Part:
    sound_outline(item.polygon, item.name)
    poses = poses_of(item, rotations)
    low, high = band_of(item, cloth)
    fitting = [pose for pose in poses if extent(pose.outline)[1] <= high - low + FITS]
    if not fitting:
        raise _too_wide(item, cloth, poses)
    if item.pins:
        # Turned end to end, a piece would meet its neighbours with the repeat running the other way.
        fitting = fitting[:1]
    laid = tuple(Pose(pose.rotation, simplified(pose.outline)) for pose in fitting)
    return Part(laid, item.layer is Layer.FOLD, low, high if high < cloth.usable_width else inf)


def _too_wide(item: LayItem, cloth: Cloth, poses: tuple[Pose, ...]) -> TooWide:
    """The refusal of an item too wide for the cloth, with what would do."""
    width = min(extent(pose.outline)[1] for pose in poses)
    low, high = band_of(item, cloth)
    needed = cloth.width + _more_width(width - (high - low), cloth) / (1 - cloth.shrinkage_width)
    # Rounded up, for a cloth of a width rounded down would not do.
    remedies = [Remedy("a cloth {} wide or wider", float(ceil(needed - FITS)))]
    whole = width * 2 if item.layer is Layer.FOLD else width
    if cloth.folded and whole <= cloth.spread_width:
        remedies.append(Remedy("laying the cloth open"))
    if item.layer is not Layer.FOLD and extent(item.polygon)[0] <= high - low:
        remedies.append(Remedy("turning the piece across the grain, where cloth and style allow it"))
    if _is_strip(item) and high - low > PANEL.low:
        words = f"narrower strips: set the house rule “{PANEL.title}” below {{}} by two seam allowances, and "
        remedies.append(Remedy(words + "draft anew", high - low))
    return TooWide(item.name, across=width, usable=high - low, cloth_needed=needed, remedies=tuple(remedies))


def _more_width(over: float, cloth: Cloth) -> float:
    """How much wider the cloth must be for what is ``over`` too wide as it lies, mm."""
    return 2 * over if cloth.has_lengthwise_fold and not cloth.fold_depth else over


def _is_strip(item: LayItem) -> bool:
    """A rectangle, such as a gathered tier: it can be made of several, sewn end to end."""
    if item.layer is Layer.FOLD:
        return False
    length, width = extent(item.polygon)
    return item.area >= (1 - SAME_SHAPE) * length * width


def _cutting_order(placed: Placed) -> tuple[float, float, str, int]:
    return (min(x for x, _ in placed.outline), min(y for _, y in placed.outline), placed.piece, placed.copy)
