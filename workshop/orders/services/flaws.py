"""Flaws of a length: what was set aside there is looked at again."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from costing import services as costing_services
from costing.models import StockMove
from costing.queries import lying_of
from workshop.errors import Refusal
from workshop.orders.models import Garment
from workshop.orders.queries.needs import lacking_of
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.shelf import lock_cloths, release_for
from workshop.orders.services.stocking import lock_waiting_for, reserve_waiting
from workshop.people.models import Staff
from workshop.people.services import write_log
from workshop.people.services.checking import clean_text, require_owner, require_same_workshop


@transaction.atomic
def note_flaw(
    *,
    length: StockMove,
    at_mm: float,
    across_mm: float,
    size_mm: float,
    by: Staff | None,
    now: datetime,
    note: str = "",
) -> list[Garment]:
    """Note a flaw of a length. Garments that had some of it set aside get theirs anew, where there is enough.

    Returns those that wait for cloth now. Raises: BadAmount, NotInStock as ``costing.note_flaw``.
    """
    require_owner(by, "note a flaw")
    require_same_workshop(length.workshop, by)
    cloth = length.cloth
    if cloth is None:
        raise Refusal("Only cloth has flaws.")
    note = clean_text(note, field="note", longest=200, what="the note")
    lock_waiting_for(length.workshop, cloth)  # garments before cloths, as everywhere
    lock_cloths([cloth.pk])
    holders = next((row.holders for row in lying_of(cloth.pk) if row.key == length.pk), ())
    costing_services.note_flaw(
        length=length, at_mm=at_mm, across_mm=across_mm, size_mm=size_mm, now=now, note=note
    )
    release_for(holders, now, cloth_id=cloth.pk)
    reserve_waiting(workshop=length.workshop, cloth=cloth, now=now)
    waiting = sorted({need.garment_id for need in lacking_of(holders, cloth.pk)})
    garments = list(Garment.objects.filter(pk__in=waiting).select_related("workshop").order_by("pk"))
    write_log(
        workshop=length.workshop,
        by=by,
        action="note flaw",
        row=cloth,
        summary=f"Noted a flaw of {cloth.name}",
        now=now,
        after={"length": length.pk, "at_mm": at_mm, "waiting": waiting},
    )
    for garment in garments[:1]:
        ask_for_plan(garment.workshop)
    return garments
