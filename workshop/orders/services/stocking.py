"""Cloth for garments: set aside when a quote is accepted, as it is bought, and taken when it is cut."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.db import transaction

from costing import services as costing_services
from costing.models import Cloth, QuoteState
from costing.queries import reserved_for, stock_of
from workshop.orders.models import Garment, LayPlan, Stage
from workshop.orders.services.superseding import ask_for_plan
from workshop.people.models import Staff, Workshop
from workshop.people.services import write_log
from workshop.people.services.checking import require_same_workshop


def needed_of(garment_id: int) -> dict[int, float]:
    """Length to have of each cloth for a garment, mm, from the lay plans that hold."""
    rows = LayPlan.objects.filter(draft__garment_id=garment_id, superseded_at=None, draft__superseded_at=None)
    needed: dict[int, float] = {}
    for cloth_id, length in rows.values_list("cloth_id", "buy_length_mm"):
        needed[cloth_id] = needed.get(cloth_id, 0.0) + length
    return needed


def reserve_for(*, garment: Garment, now: datetime) -> None:
    """Set aside what lies free for a garment whose quote is accepted: the whole length of a cloth or none."""
    held = reserved_for(garment.pk)
    for cloth_id, length in sorted(needed_of(garment.pk).items()):
        lacking = length - held.get(cloth_id, 0.0)
        cloth = Cloth.objects.select_for_update().get(pk=cloth_id)
        if lacking > 0.5 and stock_of([cloth_id])[cloth_id].free >= lacking - 0.5:
            costing_services.reserve_cloth(cloth=cloth, length_mm=lacking, garment_id=garment.pk, now=now)


@transaction.atomic
def reserve_waiting(*, workshop: Workshop, cloth: Cloth, now: datetime) -> list[Garment]:
    """Set a cloth aside for the garments that wait for it, due first. Returns those that now have all."""
    waiting = (
        Garment.objects.filter(
            workshop=workshop,
            stage__in=[Stage.DRAFT, Stage.MEASURE],
            order__cancelled_at=None,
            order__quotes__state=QuoteState.ACCEPTED,
            drafts__superseded_at=None,
            drafts__lay_plans__superseded_at=None,
            drafts__lay_plans__cloth=cloth,
        )
        .select_related("order")
        .distinct()
        .order_by("order__due_on", "pk")
    )
    served = []
    for garment in waiting:
        before = reserved_for(garment.pk).get(cloth.pk, 0.0)
        reserve_for(garment=garment, now=now)
        if reserved_for(garment.pk).get(cloth.pk, 0.0) > before:
            served.append(garment)
    return served


@transaction.atomic
def mark_cloth_bought(
    *, workshop: Workshop, cloth: Cloth, length_mm: float, by: Staff | None, now: datetime, note: str = ""
) -> list[Garment]:
    """Put bought cloth on the shelf and set it aside for those that wait for it, due first.

    Returns the garments that it was set aside for. Raises: BadAmount.
    """
    require_same_workshop(workshop, cloth, by)
    costing_services.buy_cloth(cloth=cloth, length_mm=length_mm, now=now, note=note)
    served = reserve_waiting(workshop=workshop, cloth=cloth, now=now)
    write_log(
        workshop=workshop,
        by=by,
        action="buy cloth",
        row=cloth,
        summary=f"Bought {length_mm / 1000:.2f} m of {cloth.name}",
        now=now,
        after={"length_mm": length_mm, "set_aside_for": [garment.pk for garment in served]},
    )
    for garment in served[:1]:
        ask_for_plan(garment)
    return served


def take_cut_cloth(*, garment: Garment, now: datetime) -> None:
    """Take what was cut off the shelf: the lay's length; the rest of what was set aside is free again."""
    rows: Any = LayPlan.objects.filter(
        draft__garment=garment, superseded_at=None, draft__superseded_at=None
    ).select_related("cloth")
    lengths: dict[int, tuple[Cloth, float]] = {}
    for lay in rows.order_by("pk"):
        cloth, length = lengths.get(lay.cloth_id, (lay.cloth, 0.0))
        lengths[lay.cloth_id] = (cloth, length + lay.length_mm)
    for cloth, length in lengths.values():
        costing_services.cut_cloth(cloth=cloth, length_mm=length, garment_id=garment.pk, now=now)
