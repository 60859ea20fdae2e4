"""Cloth for garments: set aside when a quote is accepted, as it is bought, and taken when it is cut."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from costing import services as costing_services
from costing.models import Cloth, Flaw, QuoteState
from costing.queries import lengths_of
from costing.rules.lengths import SLACK_MM, Length, length_for
from workshop.orders.models import Garment, Stage
from workshop.orders.queries.needs import Need, lacking_of, needs_of, needs_of_joint, served_needs
from workshop.orders.queries.orders import agreed_orders
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.shelf import lock_cloths, release_for
from workshop.people.models import Staff, Workshop
from workshop.people.services import write_log
from workshop.people.services.checking import clean_text, require_same_workshop


def reserve_for(*, garments: Sequence[Garment], now: datetime) -> None:
    """Set aside what lies free for those whose quote is accepted: the whole of a need or nothing of it.

    Inside the caller's transaction.
    """
    agreed = agreed_orders({garment.order_id for garment in garments})
    needs = needs_of([garment.pk for garment in garments if garment.order_id in agreed])
    cloths = lock_cloths(need.cloth_id for need in needs)
    for garment_id, cloth_id in sorted({(need.garment_id, need.cloth_id) for need in needs}):
        _reserve(cloths[cloth_id], garment_id, now)


def _reserve(cloth: Cloth, garment_id: int, now: datetime) -> set[int]:
    """Set aside what a garment lacks of a cloth. Returns the garments that got something.

    Where something is lacking, what was set aside is looked at anew: a need that grew is not pieced out.
    """
    lacking = lacking_of([garment_id], cloth.pk)
    if not lacking:
        return set()
    if not any(need.joint_id for need in lacking):
        release_for([garment_id], now, cloth_id=cloth.pk)
        lacking = lacking_of([garment_id], cloth.pk)
    served: set[int] = set()
    for need in sorted(lacking, key=lambda need: (need.on_length is None, -need.length_mm)):
        served |= _set_aside(cloth, need, now)
    return served


def _set_aside(cloth: Cloth, need: Need, now: datetime) -> set[int]:
    """Set a need aside on one length. The shares of a joint lay come together, from one length."""
    shares = [need]
    if need.joint_id is not None:
        parts = needs_of_joint(need.joint_id)
        lacking = lacking_of([part.garment_id for part in parts], cloth.pk)
        shares = [share for share in lacking if share.joint_id == need.joint_id]
    length = _length_to_take(cloth, need, sum(share.length_mm for share in shares))
    if length is None:
        return set()
    for share in sorted(shares, key=lambda share: share.garment_id):
        costing_services.reserve_cloth(
            cloth=cloth,
            length_mm=share.length_mm,
            garment_id=share.garment_id,
            now=now,
            taken_from=length.key,
        )
    return {share.garment_id for share in shares}


def _length_to_take(cloth: Cloth, need: Need, total: float) -> Length | None:
    """The length that was laid on, while it is long enough; else the shortest without a flaw that is."""
    lengths = lengths_of([cloth.pk])[cloth.pk]
    laid_on = next((row for row in lengths if row.key == need.on_length), None)
    if laid_on is None or total > laid_on.free + SLACK_MM or _flawed_since(need):
        return length_for(lengths, total)
    return laid_on


def _flawed_since(need: Need) -> bool:
    """Whether the length that was laid on got a flaw that the lay does not know."""
    return Flaw.objects.filter(length=need.on_length, noted_at__gt=need.laid_at).exists()


@transaction.atomic
def reserve_waiting(*, workshop: Workshop, cloth: Cloth, now: datetime) -> list[Garment]:
    """Set a cloth aside for the garments that wait for it, due first.

    Returns those that it was set aside for.

    A garment gets the whole length that it lacks or nothing; what is too short for one may serve a later one.
    """
    waiting = lock_waiting_for(workshop, cloth)
    held = lock_cloths([cloth.pk])[cloth.pk]
    served: set[int] = set()
    for pk in waiting:
        served |= _reserve(held, pk, now)
    if served:
        ask_for_plan(workshop)
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
    return served


def take_cut_cloth(*, garment: Garment, now: datetime) -> None:
    """Take what the lays say off the lengths; the rest of what was set aside is free again.

    Nothing is taken twice for one draft, when a garment comes back to be cut again in part.
    """
    needs = needs_of([garment.pk])
    cloths = lock_cloths(need.cloth_id for need in needs)
    cut: dict[tuple[int, int | None], float] = {}
    for need, length in served_needs(needs):
        cut[need.cloth_id, length] = cut.get((need.cloth_id, length), 0.0) + need.cut_mm
    # What is named is cut first: what is cut of any length frees all that is set aside.
    for (cloth_id, length), mm in sorted(cut.items(), key=lambda row: (row[0][1] is None, row[0])):
        costing_services.cut_cloth(
            cloth=cloths[cloth_id], length_mm=mm, garment_id=garment.pk, now=now, taken_from=length
        )
    for cloth_id in cloths:
        costing_services.release_cloth(garment_id=garment.pk, cloth_id=cloth_id, now=now)
