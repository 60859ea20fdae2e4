"""Cloth for garments: set aside when a quote is accepted, as it is bought, and taken when it is cut."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from django.db import transaction

from costing import services as costing_services
from costing.models import Cloth, QuoteState
from costing.queries import free_lengths_of, reserved_for
from costing.services.stock import SLACK_MM
from workshop.orders.models import Garment, LayPlan, Stage
from workshop.orders.queries.garments import cut_for_draft
from workshop.orders.services.shelf import lock_cloths
from workshop.orders.services.superseding import ask_for_plan
from workshop.people.models import Staff, Workshop
from workshop.people.services import write_log
from workshop.people.services.checking import clean_text, require_same_workshop


def needed_of(garment_id: int) -> dict[int, float]:
    """Length to have of each cloth for a garment, mm, from the lay plans that hold.

    A cloth that was cut for the draft that holds is not needed again.
    """
    rows = LayPlan.objects.filter(draft__garment_id=garment_id, superseded_at=None, draft__superseded_at=None)
    needed: dict[int, float] = {}
    for cloth_id, length in rows.values_list("cloth_id", "buy_length_mm"):
        needed[cloth_id] = needed.get(cloth_id, 0.0) + length
    return {pk: length for pk, length in needed.items() if pk not in cut_for_draft([garment_id])[garment_id]}


def reserve_for(*, garments: Sequence[Garment], now: datetime) -> None:
    """Set aside what lies free for garments whose quote is accepted: the whole length of a cloth or none.

    Inside the caller's transaction, which holds the garments' rows.
    """
    needed = {garment.pk: needed_of(garment.pk) for garment in garments}
    cloths = lock_cloths(cloth_id for lengths in needed.values() for cloth_id in lengths)
    for garment_id, lengths in needed.items():
        for cloth_id, length in sorted(lengths.items()):
            _reserve(cloths[cloth_id], garment_id, length, now)


def _reserve(cloth: Cloth, garment_id: int, length: float, now: datetime) -> bool:
    """Set the rest of a length aside where one length holds it. Returns whether anything was."""
    lacking = length - reserved_for(garment_id).get(cloth.pk, 0.0)
    longest = max(free_lengths_of([cloth.pk])[cloth.pk], default=0.0)
    if lacking <= SLACK_MM or longest < lacking - SLACK_MM:
        return False
    costing_services.reserve_cloth(cloth=cloth, length_mm=lacking, garment_id=garment_id, now=now)
    return True


@transaction.atomic
def reserve_waiting(*, workshop: Workshop, cloth: Cloth, now: datetime) -> list[Garment]:
    """Set a cloth aside for the garments that wait for it, due first.

    Returns those that it was set aside for.

    A garment gets the whole length that it lacks or nothing; what is too short for one may serve a later one.
    """
    waiting = lock_waiting_for(workshop, cloth)
    held = lock_cloths([cloth.pk])[cloth.pk]
    lengths = {garment.pk: needed_of(garment.pk).get(cloth.pk, 0.0) for garment in waiting}
    return [garment for garment in waiting if _reserve(held, garment.pk, lengths[garment.pk], now)]


def lock_waiting_for(workshop: Workshop, cloth: Cloth) -> list[Garment]:
    """Garments of accepted orders, laid on a cloth and not cut yet, due first; their rows are locked."""
    found = Garment.objects.filter(
        workshop=workshop,
        stage__in=[Stage.MEASURE, Stage.DRAFT],
        order__cancelled_at=None,
        order__quotes__state=QuoteState.ACCEPTED,
        drafts__superseded_at=None,
        drafts__lay_plans__superseded_at=None,
        drafts__lay_plans__cloth=cloth,
    )
    # Locked by key, as everybody locks them; PostgreSQL locks no rows of a DISTINCT query.
    rows = Garment.objects.select_for_update(of=("self",)).select_related("workshop", "order")
    held = list(rows.filter(pk__in=found.values("pk")).order_by("pk"))
    return sorted(held, key=lambda garment: (garment.order.due_on, garment.pk))


@transaction.atomic
def mark_cloth_bought(
    *, workshop: Workshop, cloth: Cloth, length_mm: float, by: Staff | None, now: datetime, note: str = ""
) -> list[Garment]:
    """Put bought cloth on the shelf and set it aside for those that wait for it, due first.

    Returns the garments that it was set aside for. Raises: BadAmount.
    """
    require_same_workshop(workshop, cloth, by)
    note = clean_text(note, field="note", longest=200, what="the note")
    lock_waiting_for(workshop, cloth)  # garments are locked before cloths, here as everywhere
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
    """Take what was cut off the shelf: the lay's length; the rest of what was set aside is free again.

    Nothing is taken twice for one draft, when a garment comes back to be cut again in part.
    """
    rows: Any = LayPlan.objects.filter(
        draft__garment=garment, superseded_at=None, draft__superseded_at=None
    ).select_related("cloth")
    lengths: dict[int, tuple[Cloth, float]] = {}
    for lay in rows.order_by("pk"):
        cloth, length = lengths.get(lay.cloth_id, (lay.cloth, 0.0))
        lengths[lay.cloth_id] = (cloth, length + lay.length_mm)
    cut_before = cut_for_draft([garment.pk])[garment.pk]
    lock_cloths(lengths)
    for cloth, length in lengths.values():
        if cloth.pk in cut_before:
            continue
        costing_services.cut_cloth(cloth=cloth, length_mm=length, garment_id=garment.pk, now=now)
