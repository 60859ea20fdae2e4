"""The ways in which one cloth can lie on the table, to be laid each and compared."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from enum import StrEnum

from drafting.errors import BadCloth
from drafting.layplan.cloth import Cloth
from drafting.layplan.items import Layer
from drafting.layplan.outline import extent
from drafting.layplan.pins import items_together
from drafting.layplan.problem import strip_problem
from drafting.pattern import Draft


class Way(StrEnum):
    """How a cloth lies."""

    OPEN = "open"  # one layer, right side up
    FOLDED = "folded"  # lengthwise, selvedge to selvedge
    PART_FOLDED = "part folded"  # one edge folded over, as deep as the pieces on the fold need
    CROSSWISE = "crosswise"  # end to end


def ways_of(drafts: Sequence[Draft], cloth_role: str, cloth: Cloth) -> dict[Way, Cloth]:
    """The cloth as it lies in each way in which all pieces go on it, the open way first.

    One-way cloth is not folded crosswise; a cloth without pieces on the fold is not part folded.

    Args:
        drafts: the garments cut from it together.
        cloth_role: of what they are cut: ``shell``, ``lining``.
        cloth: the cloth; how it is folded does not matter.
    """
    spread = replace(cloth, folded=False, fold_depth=0.0, crosswise=False)
    folded = replace(spread, folded=True)
    ways = {Way.OPEN: spread, Way.FOLDED: folded}
    depth = _deepest_half(drafts, cloth_role, folded)
    if 0 < depth < folded.usable_width:
        ways[Way.PART_FOLDED] = replace(folded, fold_depth=depth)
    if not cloth.one_way:
        ways[Way.CROSSWISE] = replace(folded, crosswise=True)
    return {way: laid for way, laid in ways.items() if _goes_on(drafts, cloth_role, laid)}


def _deepest_half(drafts: Sequence[Draft], cloth_role: str, folded: Cloth) -> float:
    """How far the pieces on the fold reach from it, mm; 0 where there are none."""
    items = items_together(drafts, cloth_role, folded)
    return max((extent(item.polygon)[1] for item in items if item.layer is Layer.FOLD), default=0.0)


def _goes_on(drafts: Sequence[Draft], cloth_role: str, laid: Cloth) -> bool:
    try:
        strip_problem(items_together(drafts, cloth_role, laid), laid, laid.rotations)
    except BadCloth:
        return False
    return True
