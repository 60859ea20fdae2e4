"""What garments need of their cloths, from the lay plans that hold."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from workshop.orders.models import LayPlan
from workshop.orders.queries.garments import cut_for_draft, held_lays


@dataclass(frozen=True, slots=True)
class Need:
    """What must be set aside of one cloth for one garment, mm.

    Args:
        length_mm: of a part of a joint lay its share.
        joint_id: of the joint lay whose shares all come from one length.
        on_length: key of the length on the shelf that it was laid on; None where any will do.
    """

    garment_id: int
    cloth_id: int
    length_mm: float
    joint_id: int | None = None
    on_length: int | None = None


def needs_of(garment_ids: Collection[int]) -> list[Need]:
    """Return what garments need, in the order of their lays.

    A cloth that was cut for the draft that holds is not needed again.
    """
    cut = cut_for_draft(garment_ids)
    rows = held_lays(draft__garment__in=garment_ids).order_by("pk")
    needs = (
        Need(*row)
        for row in rows.values_list("draft__garment_id", "cloth_id", "need_mm", "joint_id", "on_length_id")
    )
    return [need for need in needs if need.cloth_id not in cut[need.garment_id]]


def needs_of_joint(joint_id: int) -> list[Need]:
    """Return the shares of a joint lay that are not cut yet."""
    parts = LayPlan.objects.filter(joint=joint_id, superseded_at=None)
    garments = list(parts.values_list("draft__garment_id", flat=True))
    return [need for need in needs_of(garments) if need.joint_id == joint_id]
