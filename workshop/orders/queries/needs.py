"""What garments need of their cloths, from the lay plans that hold."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from costing.queries import held_lengths
from workshop.orders.models import LayPlan
from workshop.orders.queries.garments import cut_for_draft, held_lays
from workshop.orders.rules.takes import read_takes, serving


@dataclass(frozen=True, slots=True)
class Need:
    """What must be set aside of one length of a cloth for one garment, mm.

    Args:
        length_mm: of a part of a joint lay its share.
        cut_mm: what the lay takes of it.
        laid_at: flaws that were noted later are not known to the lay.
        joint_id: of the joint lay whose shares all come from one length.
        on_length: key of the length on the shelf that it was laid on; None where any will do.
    """

    garment_id: int
    cloth_id: int
    length_mm: float
    cut_mm: float
    laid_at: datetime
    joint_id: int | None = None
    on_length: int | None = None


def needs_of(garment_ids: Collection[int]) -> list[Need]:
    """Return what garments need, in the order of their lays; of a lay on several lengths one need for each.

    A cloth that was cut for the draft that holds is not needed again.
    """
    cut = cut_for_draft(garment_ids)
    rows = held_lays(draft__garment__in=garment_ids).select_related("draft").defer("inputs", "output")
    rows = rows.defer("draft__inputs", "draft__output").order_by("pk")
    return [need for lay in rows if lay.cloth_id not in cut[lay.draft.garment_id] for need in _needs(lay)]


def _needs(lay: LayPlan) -> Iterator[Need]:
    garment_id, at = lay.draft.garment_id, lay.created_at
    if not lay.takes:
        yield Need(garment_id, lay.cloth_id, lay.need_mm, lay.cut_mm, at, lay.joint_id)
    for take in read_takes(lay.takes):
        yield Need(garment_id, lay.cloth_id, take.need_mm, take.cut_mm, at, on_length=take.length)


def needs_of_joint(joint_id: int) -> list[Need]:
    """Return the shares of a joint lay that are not cut yet."""
    parts = LayPlan.objects.filter(joint=joint_id, superseded_at=None)
    garments = list(parts.values_list("draft__garment_id", flat=True))
    return [need for need in needs_of(garments) if need.joint_id == joint_id]


def served_needs(needs: Collection[Need]) -> list[tuple[Need, int | None]]:
    """Return each need with the length that is set aside for it; None where none is.

    The needs are all that their garments have.
    """
    held = held_lengths({need.garment_id for need in needs})
    found: list[tuple[Need, int | None]] = []
    rows = sorted(needs, key=_of)
    for key, group in groupby(rows, key=_of):
        own = list(group)
        wants = [(need.on_length, need.length_mm) for need in own]
        found += zip(own, serving(wants, held.get(key, {})), strict=True)
    return found


def lacking_of(garment_ids: Collection[int], cloth_id: int | None = None) -> list[Need]:
    """Return what garments need and nothing is set aside for; of one cloth only where it is named."""
    needs = [need for need in needs_of(garment_ids) if cloth_id in {None, need.cloth_id}]
    return [need for need, served_by in served_needs(needs) if served_by is None]


def _of(need: Need) -> tuple[int, int]:
    return need.garment_id, need.cloth_id
