"""Garments that are, or may be, laid together on one cloth."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby

from django.db.models import QuerySet

from costing.models import Cloth
from workshop.jobs.models import Job
from workshop.jobs.queries import latest_of_each
from workshop.orders.models import Draft, JointLay, LayPlan, Order, Stage
from workshop.orders.queries.garments import cut_for_draft, held_lays
from workshop.orders.queries.lays import money_for
from workshop.people.models import Workshop

JOINT_JOB = "joint_lay"
JOINABLE_AT = (Stage.MEASURE, Stage.DRAFT, Stage.CUT)
"""Stages of a garment whose cloth need not be cut yet."""


@dataclass(frozen=True, slots=True)
class Together:
    """A cloth on which two garments or more are laid, each by itself or together already.

    ``lays``: those that hold, the garments due first; of a garment in a joint lay its part.
    """

    cloth: Cloth
    lays: tuple[LayPlan, ...]


@dataclass(frozen=True, slots=True)
class Saving:
    """What a joint lay saves beside the garments' own lays: mm to buy, and money at today's price."""

    length_mm: float
    money: Decimal


def saving_of(joint: JointLay) -> Saving:
    saved = joint.single_mm - joint.buy_length_mm
    return Saving(saved, money_for(joint.cloth, saved))


def joint_lay_of(workshop: Workshop, pk: int) -> JointLay | None:
    rows = JointLay.objects.select_related("workshop", "cloth")
    return rows.filter(workshop=workshop, pk=pk).first()


def parts_of(joint: JointLay) -> QuerySet[LayPlan]:
    """The parts of a joint lay by their garments' numbers; of a dissolved one those that it had."""
    rows = joint.parts.select_related("draft__garment__order", "draft__garment__wearer", "single", "cloth")
    return rows.order_by("joint_number")


def single_lays(cloth: Cloth) -> list[LayPlan]:
    """Return the garments' own lays on a cloth, of those that may be laid together on it.

    Of a garment that is laid together with others now, the lay that it would have again.
    """
    return [lay.single if lay.joint_id and lay.single else lay for lay in _held([cloth.pk])]


def lay_groups(workshop: Workshop, *, order: Order | None = None) -> list[Together]:
    """Return the cloths on which several garments may be laid together, of one order where it is named."""
    cloths = list(Cloth.objects.filter(workshop=workshop).values_list("pk", flat=True))
    held = _held(cloths, order=order)
    by_cloth = groupby(held, key=lambda lay: lay.cloth)
    groups = (Together(cloth, tuple(lays)) for cloth, lays in by_cloth)
    return [group for group in groups if len(group.lays) > 1]


def _held(cloth_ids: Collection[int], *, order: Order | None = None) -> list[LayPlan]:
    """Lays that hold of garments that may be laid together, by cloth, due first."""
    rows = held_lays(
        cloth__in=cloth_ids,
        draft__garment__size="",
        draft__garment__stage__in=JOINABLE_AT,
        draft__garment__order__cancelled_at=None,
    )
    if order is not None:
        rows = rows.filter(draft__garment__order=order)
    rows = rows.select_related(
        "cloth",
        "joint__cloth",
        "single__draft__garment__order",
        "draft__garment__order__client",
        "draft__garment__wearer",
    ).order_by("cloth__name", "cloth", "draft__garment__order__due_on", "draft__garment", "pk")
    cut = cut_for_draft({lay.draft.garment_id for lay in rows})
    return [lay for lay in rows if lay.cloth_id not in cut[lay.draft.garment_id]]


def joint_jobs(workshop: Workshop, cloths: Sequence[Cloth]) -> list[Job | None]:
    """The newest job that lays garments together on each cloth, in two queries."""
    return latest_of_each(workshop, JOINT_JOB, [f"cloth-{cloth.pk}-drafts-" for cloth in cloths])


def drafts_of(workshop: Workshop, pks: Collection[int]) -> list[Draft]:
    rows = Draft.objects.filter(workshop=workshop, pk__in=pks)
    return list(rows.select_related("workshop", "garment__order").order_by("pk"))
