"""Laying on lengths that lie on the shelf, round their flaws, and on the roll where they are not enough."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from django.db import transaction

from costing.queries import lengths_of
from costing.rules.lengths import SLACK_MM
from drafting.units import Unit
from workshop import jobs
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders import models
from workshop.orders.models import Draft, GarmentCloth
from workshop.orders.queries.garments import current_lays, pattern_of
from workshop.orders.queries.lays import LENGTHS_JOB
from workshop.orders.services.choosing_lengths import ChosenLengths, LengthGone, chosen_lengths
from workshop.orders.services.laying import (
    SECONDS_A_LAY,
    Laid,
    Laying,
    Progress,
    Share,
    keep_lay,
    lay_cloth,
    reckon_and_reserve,
)
from workshop.orders.services.shelf import lock_cloths, release_for
from workshop.people.models import Staff
from workshop.people.services import write_log
from workshop.people.services.checking import require_owner, require_same_workshop


def request_lay_on_lengths(
    *, draft: Draft, role: str, lengths: Sequence[int | None], by: Staff | None, now: datetime
) -> Job:
    """Ask for a lay of one of a draft's cloths on these lengths from the shelf, None among them for the roll.

    No length, or the roll alone, lets the lay be cut from any one length again. Raises: Refusal.
    """
    require_owner(by, "choose the lengths that are cut from")
    require_same_workshop(draft.workshop, by)
    _own_lay(draft, role)
    wanted = _in_order(lengths)
    chosen_lengths(_cloth_of(draft, role), wanted, Unit(draft.workshop.length_unit))
    return jobs.request(
        kind=LENGTHS_JOB,
        key=f"draft-{draft.pk}-{role}-{'-'.join(str(key or 'roll') for key in wanted)}",
        workshop=draft.workshop,
        params={"draft": draft.pk, "role": role, "lengths": wanted, "by": None if by is None else by.pk},
        now=now,
    )


def lay_on_lengths(
    *,
    draft: Draft,
    role: str,
    lengths: Sequence[int | None],
    now: datetime,
    by: Staff | None = None,
    progress: Progress = lambda percent, words: None,
    cancelled: Callable[[], bool] = lambda: False,
    seconds: float = SECONDS_A_LAY,
) -> models.LayPlan:
    """Lay a cloth of a draft on lengths from the shelf, and keep lay and choice in the place of those before.

    Raises:
        CannotLay: the pieces do not all go on them, and there is no roll.
        LengthGone: a length is gone, or was cut from or found flawed while it was laid on.
        Refusal: no lay to replace, or it was laid anew meanwhile.
    """
    before, row = _own_lay(draft, role), _cloth_of(draft, role)
    unit, wanted = Unit(draft.workshop.length_unit), _in_order(lengths)
    chosen = chosen_lengths(row, wanted, unit) if wanted else None
    laying = Laying([pattern_of(draft)], role, before.cloth, row.way, chosen)
    progress(0, f"Laying the {role} on {_words(chosen)}")
    laid = lay_cloth(laying, unit, seconds, Share(progress, cancelled, start=0.0, width=90.0))
    progress(90, "Keeping the lay plan")
    return _keep(before, row, wanted, chosen, laid, now=now, by=by)


def _in_order(lengths: Sequence[int | None]) -> list[int | None]:
    """Each length once, the roll last; nothing where there is but the roll."""
    keys = sorted({key for key in lengths if key is not None})
    return [*keys, *([None] if keys and None in lengths else [])]


def _words(chosen: ChosenLengths | None) -> str:
    if chosen is None:
        return "one length"
    return ", ".join([*chosen.lengths, *(["the roll"] if chosen.roll else [])])


def _own_lay(draft: Draft, role: str) -> models.LayPlan:
    row = current_lays(draft).filter(role=role).first()
    if row is None:
        raise Refusal("Make the lay plans first; then lengths can be chosen.")
    if row.joint_id is not None:
        raise Refusal("It is laid together with others; lay it by itself first.")
    return row


def _cloth_of(draft: Draft, role: str) -> GarmentCloth:
    return GarmentCloth.objects.get(garment=draft.garment_id, role=role)


@transaction.atomic
def _keep(
    before: models.LayPlan,
    row: GarmentCloth,
    wanted: list[int | None],
    chosen: ChosenLengths | None,
    laid: Laid,
    *,
    now: datetime,
    by: Staff | None,
) -> models.LayPlan:
    draft = Draft.objects.select_for_update().get(pk=before.draft_id)
    if draft.superseded_at is not None or not current_lays(draft).filter(pk=before.pk).exists():
        raise Refusal("The draft was laid anew meanwhile; choose the lengths again.")
    lock_cloths([row.cloth_id])
    _refuse_changed(row, chosen, laid)
    models.LayPlan.objects.filter(pk=before.pk).update(superseded_at=now)
    GarmentCloth.objects.filter(garment=row.garment_id, role=row.role).update(lengths=wanted)
    kept = keep_lay(draft, row, laid, now)
    release_for([draft.garment_id], now, cloth_id=row.cloth_id)
    reckon_and_reserve([draft.garment], now)
    write_log(
        workshop=draft.workshop,
        by=by,
        action="choose lengths",
        row=draft.garment,
        order_id=draft.garment.order_id,
        summary=f"The {row.role} of {draft.garment.title} is laid on {_words(chosen)}",
        now=now,
        after={"role": row.role, "lengths": wanted},
    )
    return kept


def _refuse_changed(row: GarmentCloth, chosen: ChosenLengths | None, laid: Laid) -> None:
    """Refuse where a length is not any more what was laid on. The cloth is locked. Raises: LengthGone."""
    there = {found.key: found for found in lengths_of([row.cloth_id], but_for=row.garment_id)[row.cloth_id]}
    before = {} if chosen is None else {found.key: found for found in chosen.lengths.values()}
    for take in laid.takes:
        if take.length is None:
            continue
        now = there.get(take.length)
        if now is None or take.need_mm > now.free + SLACK_MM or now.flaws != before[take.length].flaws:
            raise LengthGone(f"The {take.name} is not as it was when it was laid on; choose anew.")
