"""From items on a cloth to parts on a strip, and from a layout back to a plan."""

from __future__ import annotations

from collections.abc import Sequence

from drafting.errors import BadCloth
from drafting.house import HOUSE_RULES
from drafting.layplan.cloth import Cloth, buy_length
from drafting.layplan.items import GREATEST_COUNT, SAME_SHAPE, Layer, LayItem
from drafting.layplan.outline import extent, moved, simplified, sound_outline
from drafting.layplan.plan import LayPlan, Placed, lies_mirrored, poses_of, utilisation
from drafting.layplan.strip import Layout, Part, Pose, StripProblem

#: A piece may be wider than the cloth by this much, mm: the last bits of a float.
FITS = 1e-7

#: What parts wide rectangles into strips when they are drafted.
PANEL = HOUSE_RULES["panel_widest"]


def strip_problem(items: Sequence[LayItem], cloth: Cloth, rotations: tuple[float, ...]) -> StripProblem:
    """The problem to solve for a lay. Outlines are simplified outwards: a sound layout is a sound lay.

    Raises:
        BadCloth: nothing or too much to lay, an item twice, a bad outline, or an item too wide for the cloth.
    """
    if not items:
        raise BadCloth(f"Of {cloth.name} nothing is cut, so there is nothing to lay.", field="items")
    if len(items) > GREATEST_COUNT:
        raise BadCloth(f"items: more than {GREATEST_COUNT} pieces to lay at once.", field="items")
    if not rotations:
        raise BadCloth("rotations: give at least one turn, such as 0.", field="rotations")
    known: dict[tuple[object, ...], Part] = {}
    parts: list[Part] = []
    seen: set[tuple[str, int]] = set()
    for item in items:
        if (item.name, item.copy) in seen:
            raise BadCloth(f"{item.name}: copy {item.copy} is listed twice.", field=item.name)
        seen.add((item.name, item.copy))
        key = (item.polygon, item.layer is Layer.FOLD)
        if key not in known:
            known[key] = _part(item, cloth, rotations)
        parts.append(known[key])
    return StripProblem(cloth.usable_width, cloth.gap, tuple(parts), cloth.repeat_length, cloth.repeat_width)


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
    return LayPlan(
        cloth=cloth,
        usable_width=cloth.usable_width,
        length=length,
        buy_length=buy_length(length, cloth, increment_mm),
        utilisation=utilisation(tuple(placed), cloth, length),
        seconds=0.0,
        placed=tuple(placed),
    )


def _part(item: LayItem, cloth: Cloth, rotations: tuple[float, ...]) -> Part:
    sound_outline(item.polygon, item.name)
    poses = poses_of(item, rotations)
    fitting = [pose for pose in poses if extent(pose.outline)[1] <= cloth.usable_width + FITS]
    if not fitting:
        raise _too_wide(item, cloth, poses)
    return Part(
        tuple(Pose(pose.rotation, simplified(pose.outline)) for pose in fitting), item.layer is Layer.FOLD
    )


def _too_wide(item: LayItem, cloth: Cloth, poses: tuple[Pose, ...]) -> BadCloth:
    """The refusal of an item too wide for the cloth, with what would do."""
    width = min(extent(pose.outline)[1] for pose in poses)
    length = extent(item.polygon)[0]
    usable = cloth.usable_width
    layers = cloth.layers
    needed = (width + cloth.selvedge * 2 / layers) * layers / (1 - cloth.shrinkage_width)
    ways = [f"a cloth {needed:.0f} mm wide or wider"]
    if cloth.folded:
        open_width = cloth.width * (1 - cloth.shrinkage_width) - 2 * cloth.selvedge
        whole = width * 2 if item.layer is Layer.FOLD else width
        if whole <= open_width:
            ways.append("laying the cloth open")
    if item.layer is not Layer.FOLD and length <= usable:
        ways.append("turning the piece across the grain, where cloth and style allow it")
    if _is_strip(item) and usable > PANEL.low:
        ways.append(
            f"narrower strips: set the house rule “{PANEL.title}” below {usable:.0f} mm by two seam "
            "allowances, and draft anew"
        )
    return BadCloth(
        f"The piece {item.name} is {width:.0f} mm across and the cloth gives {usable:.0f} mm of width: "
        f"{round(width - usable, 1):g} mm too wide. What would do: {'; or '.join(ways)}.",
        field="width",
    )


def _is_strip(item: LayItem) -> bool:
    """A rectangle, such as a gathered tier: it can be made of several, sewn end to end."""
    if item.layer is Layer.FOLD:
        return False
    length, width = extent(item.polygon)
    return item.area >= (1 - SAME_SHAPE) * length * width


def _cutting_order(placed: Placed) -> tuple[float, float, str, int]:
    return (min(x for x, _ in placed.outline), min(y for _, y in placed.outline), placed.piece, placed.copy)
