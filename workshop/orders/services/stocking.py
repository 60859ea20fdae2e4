"""Cloth for garments: set aside when a quote is accepted, as it is bought, and taken when it is cut."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from costing import services as costing_services
from costing.models import Cloth, QuoteState
from costing.queries import lengths_of, reserved_for
from costing.rules.lengths import SLACK_MM, Length, length_for
from workshop.orders.models import Garment, Stage
from workshop.orders.queries.garments import cut_for_draft, held_lays
from workshop.orders.queries.needs import Need, needs_of, needs_of_joint
from workshop.orders.queries.orders import agreed_orders
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.shelf import lock_cloths
from workshop.people.models import Staff, Workshop
from workshop.people.services import write_log
from workshop.people.services.checking import clean_text, require_same_workshop


def reserve_for(*, garments: Sequence[Garment], now: datetime) -> None:
    """Set aside what lies free for those whose quote is accepted: the whole length of a cloth or none.

    Inside the caller's transaction.
    """
    agreed = agreed_orders({garment.order_id for garment in garments})
    needs = needs_of([garment.pk for garment in garments if garment.order_id in agreed])
    cloths = lock_cloths(need.cloth_id for need in needs)
    for need in sorted(needs, key=lambda need: (need.garment_id, need.cloth_id)):
        _reserve(cloths[need.cloth_id], need, now)


def _reserve(cloth: Cloth, need: Need, now: datetime) -> list[int]:
    """Set the rest of a need aside where one length holds it. Returns the garments that got something.

    The shares of a joint lay are set aside together, from one length.
    """
    shares = [need] if need.joint_id is None else needs_of_joint(need.joint_id)
    lacking = {
        share.garment_id: share.length_mm - reserved_for(share.garment_id).get(cloth.pk, 0.0)
        for share in shares
    }
    lacking = {garment_id: mm for garment_id, mm in lacking.items() if mm > SLACK_MM}
    length = _length_to_take(cloth, need.on_length, sum(lacking.values())) if lacking else None
    if length is None:
        return []
    for garment_id, mm in sorted(lacking.items()):
        costing_services.reserve_cloth(
            cloth=cloth, length_mm=mm, garment_id=garment_id, now=now, taken_from=length.key
        )
    return list(lacking)


def _length_to_take(cloth: Cloth, on_length: int | None, total: float) -> Length | None:
    """The length that was laid on, while it is long enough; else the shortest without a flaw that is."""
    lengths = lengths_of([cloth.pk])[cloth.pk]
    laid_on = next((row for row in lengths if row.key == on_length), None)
    if on_length is not None and laid_on is not None and total <= laid_on.free + SLACK_MM:
        return laid_on
    return length_for(lengths, total)


@transaction.atomic
def reserve_waiting(*, workshop: Workshop, cloth: Cloth, now: datetime) -> list[Garment]:
    """Set a cloth aside for the garments that wait for it, due first.

    Returns those that it was set aside for.

    A garment gets the whole length that it lacks or nothing; what is too short for one may serve a later one.
    """
    waiting = lock_waiting_for(workshop, cloth)
    held = lock_cloths([cloth.pk])[cloth.pk]
    needs = {need.garment_id: need for need in needs_of(list(waiting)) if need.cloth_id == cloth.pk}
    served: set[int] = set()
    for pk in waiting:
        if pk in needs:
            served.update(_reserve(held, needs[pk], now))
    return [garment for pk, garment in waiting.items() if pk in served]


def lock_waiting_for(workshop: Workshop, cloth: Cloth) -> dict[int, Garment]:
    """Lock the garments of accepted orders that are laid on a cloth and not cut yet: by key, due first."""
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
    return {row.pk: row for row in sorted(held, key=lambda row: (row.order.due_on, row.pk))}


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
    """Take what the lays say off the shelf; the rest of what was set aside is free again.

    Nothing is taken twice for one draft, when a garment comes back to be cut again in part.
    """
    rows = held_lays(draft__garment=garment).select_related("cloth")
    lengths: dict[int, tuple[Cloth, float]] = {}
    for lay in rows.order_by("pk"):
        cloth, length = lengths.get(lay.cloth_id, (lay.cloth, 0.0))
        lengths[lay.cloth_id] = (cloth, length + lay.cut_mm)
    cut_before = cut_for_draft([garment.pk])[garment.pk]
    lock_cloths(lengths)
    for cloth, length in lengths.values():
        if cloth.pk in cut_before:
            continue
        costing_services.cut_cloth(cloth=cloth, length_mm=length, garment_id=garment.pk, now=now)
