"""Laying on one length that lies on the shelf, round its flaws."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from django.db import transaction

from costing.queries import lengths_of
from costing.rules.lengths import Length
from drafting.errors import BadCloth
from drafting.layplan import Cloth, Flaw, LayPlan, Stretch
from drafting.units import Unit
from workshop import jobs
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders import models
from workshop.orders.models import Draft
from workshop.orders.queries.garments import current_lays, pattern_of
from workshop.orders.rules.buying import as_sold
from workshop.orders.rules.ways import Tried
from workshop.orders.services.laying import (
    SECONDS_A_LAY,
    CannotLay,
    Laid,
    Laying,
    Progress,
    Share,
    cloths_by_way,
    inputs_of,
    plan_on,
    reckon_and_reserve,
    worded,
)
from workshop.orders.services.shelf import release_for
from workshop.people.models import Staff
from workshop.people.services.checking import require_owner, require_same_workshop

SHELF_JOB = "lay_on_length"


def request_lay_on_length(*, draft: Draft, role: str, length_id: int, by: Staff | None, now: datetime) -> Job:
    """Ask for a lay of one of a draft's cloths on a length from the shelf. Raises: Refusal."""
    require_owner(by, "choose the length that is cut from")
    require_same_workshop(draft.workshop, by)
    row = _own_lay(draft, role)
    _length(row.cloth_id, length_id)
    return jobs.request(
        kind=SHELF_JOB,
        key=f"draft-{draft.pk}-{role}",
        workshop=draft.workshop,
        params={"draft": draft.pk, "role": role, "length": length_id},
        now=now,
    )


def lay_on_length(
    *,
    draft: Draft,
    role: str,
    length_id: int,
    now: datetime,
    progress: Progress = lambda percent, words: None,
    cancelled: Callable[[], bool] = lambda: False,
    seconds: float = SECONDS_A_LAY,
) -> models.LayPlan:
    """Lay a cloth of a draft on one length, round its flaws, and keep that in the place of the lay before.

    Raises: CannotLay where the pieces do not all go on it; Refusal where the length is gone.
    """
    before = _own_lay(draft, role)
    length = _length(before.cloth_id, length_id)
    wanted = Laying([pattern_of(draft)], role, before.cloth, str(before.inputs.get("way", "")))
    ways = cloths_by_way(wanted)
    cloth = ways.get(wanted.way) or next(iter(ways.values()))
    progress(0, f"Laying the {role} on the length of {length.free / 1000:.2f} m")
    try:
        plan = plan_on(
            wanted, on_stretch(cloth, length), seconds, Share(progress, cancelled, start=0.0, width=90.0)
        )
    except BadCloth as fault:
        raise CannotLay(worded(fault, Unit(draft.workshop.length_unit))) from None
    progress(90, "Keeping the lay plan")
    return _keep(draft, before, length, plan, now)


def on_stretch(cloth: Cloth, length: Length) -> Cloth:
    """A cloth of which only one length is there."""
    flaws = tuple(Flaw(max(spot.at, 0.0), spot.across, spot.size) for spot in length.flaws)
    return replace(cloth, stretches=(Stretch(length.free, flaws, name="shelf"),), roll=False)


def _own_lay(draft: Draft, role: str) -> models.LayPlan:
    row = current_lays(draft).filter(role=role).first()
    if row is None:
        raise Refusal("Make the lay plans first; then a length can be chosen.")
    if row.joint_id is not None:
        raise Refusal("It is laid together with others; lay it by itself first.")
    return row


def _length(cloth_id: int, key: int) -> Length:
    found = next((row for row in lengths_of([cloth_id])[cloth_id] if row.key == key), None)
    if found is None:
        raise Refusal("Nothing of that length lies free any more; look at the shelf again.")
    return found


@transaction.atomic
def _keep(
    draft: Draft, before: models.LayPlan, length: Length, plan: LayPlan, now: datetime
) -> models.LayPlan:
    held = Draft.objects.select_for_update().get(pk=draft.pk)
    if held.superseded_at is not None or not current_lays(draft).filter(pk=before.pk).exists():
        raise Refusal("The draft was laid anew meanwhile; choose the length again.")
    laid = Laid(plan, str(before.inputs.get("way", "")), ())
    need = min(laid.need_mm, length.free)
    models.LayPlan.objects.filter(pk=before.pk).update(superseded_at=now)
    tried = [Tried(**row) for row in before.inputs.get("tried", ())]
    row = models.LayPlan.objects.create(
        workshop_id=draft.workshop_id,
        draft=draft,
        role=before.role,
        cloth=before.cloth,
        inputs=inputs_of(
            before.cloth, replace(laid, tried=tuple(tried)), fixed=str(before.inputs.get("fixed", ""))
        ),
        output=plan.to_contract(),
        length_mm=plan.length,
        buy_length_mm=as_sold(need, before.cloth.sold_by_mm),
        need_mm=need,
        cut_mm=laid.cut_mm,
        utilisation=plan.utilisation,
        on_length_id=length.key,
        created_at=now,
    )
    release_for([draft.garment_id], now, cloth_id=before.cloth_id)
    reckon_and_reserve([draft.garment], now)
    return row
