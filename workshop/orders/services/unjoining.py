"""Dissolving a joint lay: each of its garments is laid by itself again."""

from __future__ import annotations

from datetime import datetime

from workshop.orders.models import Garment, JointLay, LayPlan
from workshop.orders.queries.garments import cut_for_draft
from workshop.orders.services.estimating import estimate_anew
from workshop.orders.services.shelf import release_for
from workshop.orders.services.stocking import reserve_for


def dissolve_joint_lays(*, garment_id: int, reason: str, now: datetime) -> list[JointLay]:
    """Dissolve the joint lays that a garment has a part in. Inside the caller's transaction.

    What was cut from one stays its part; the other garments have their own lays again, their estimates are
    reckoned anew and their cloth is set aside anew.
    """
    parts = LayPlan.objects.filter(
        draft__garment=garment_id, superseded_at=None, joint__dissolved_at=None, joint__isnull=False
    )
    ids = parts.values_list("joint_id", flat=True)
    held = list(JointLay.objects.select_for_update().filter(pk__in=list(ids)).order_by("pk"))
    for joint in held:
        dissolve(joint, reason=reason, now=now, changed_id=garment_id)
    return held


def dissolve(joint: JointLay, *, reason: str, now: datetime, changed_id: int | None = None) -> None:
    """Dissolve one joint lay, whose row the caller has locked; see ``dissolve_joint_lays``.

    ``changed_id``: a garment that is not settled here, because its caller does.
    """
    joint.dissolved_at, joint.dissolved_reason = now, reason[:300]
    joint.save(update_fields=["dissolved_at", "dissolved_reason"])
    parts = list(joint.parts.filter(superseded_at=None).select_related("draft").order_by("pk"))
    cut = cut_for_draft([part.draft.garment_id for part in parts])
    whole = [part for part in parts if joint.cloth_id not in cut[part.draft.garment_id]]
    LayPlan.objects.filter(pk__in=[part.pk for part in whole]).update(superseded_at=now)
    singles = [part.single_id for part in whole if part.single_id and part.draft.superseded_at is None]
    LayPlan.objects.filter(pk__in=singles).update(superseded_at=None)
    others = [part.draft.garment_id for part in whole if part.draft.garment_id != changed_id]
    _settle(others, joint.cloth_id, now)


def erase_joint_lays(*, garment_ids: list[int], now: datetime) -> None:
    """Delete the joint lays that garments have, or had, a part in: they hold the outlines of their pieces.

    The other garments keep their lengths, with the picture of their own lay.
    """
    joints = JointLay.objects.filter(parts__draft__garment__in=garment_ids).values("pk")
    for joint in JointLay.objects.select_for_update().filter(pk__in=joints).order_by("pk"):
        if joint.dissolved_at is None:
            dissolve(joint, reason="the data of a wearer were erased", now=now)
        for part in joint.parts.exclude(draft__garment__in=garment_ids).select_related("single"):
            part.joint = part.joint_number = None
            part.output = part.single.output if part.single else {}
            part.save(update_fields=["joint", "joint_number", "output"])
        joint.delete()


def _settle(garment_ids: list[int], cloth_id: int, now: datetime) -> None:
    """Estimates and cloth of garments that have their own lay again."""
    release_for(garment_ids, now, cloth_id=cloth_id)
    garments = list(Garment.objects.filter(pk__in=garment_ids).select_related("workshop").order_by("pk"))
    estimate_anew(garments, now)
    reserve_for(garments=garments, now=now)
