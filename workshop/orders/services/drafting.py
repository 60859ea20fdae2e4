"""Drafting a garment's pattern and asking for what is made from it."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction
from django.db.models import Max

import drafting
from drafting.output.contract import to_contract
from drafting.output.cutting import cutting_list
from drafting.pattern import Draft as Pattern
from workshop import jobs
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders.models import CuttingLine, Draft, Garment, Stage
from workshop.orders.queries.garments import FILES_JOB, LAYS_JOB, body_for, needed_roles
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.laying import MOST_SECONDS, SECONDS_A_LAY
from workshop.orders.services.superseding import send_back_to, supersede_draft
from workshop.people.models import Staff
from workshop.people.queries import house_values
from workshop.people.services import write_log
from workshop.people.services.checking import clean_text, require_owner, require_same_workshop

DRAFTED_AT = frozenset({Stage.MEASURE, Stage.DRAFT, Stage.CUT})
"""The stages at which a pattern may be drafted anew: later on cloth was cut from it."""


@transaction.atomic
def draft_garment(*, garment: Garment, by: Staff | None, now: datetime) -> Draft:
    """Draft the pattern from the measurements, the choices and the house rules that hold now.

    Where a size stands in for the wearer the draft serves to reckon a price; the garment stays at measure.
    A draft whose checks fail is stored with them; nothing is cut from it unless the owner waives them.

    Raises:
        Refusal: not measured and no size stands in, cancelled, or already being sewn.
        CannotDraft: the body or a choice makes no sound pattern; says which and why.
    """
    require_same_workshop(garment.workshop, by)
    rows = Garment.objects.select_for_update(of=("self",)).select_related("workshop", "order", "wearer")
    garment = rows.get(pk=garment.pk)
    _refuse(garment)
    body = body_for(garment)
    assert body is not None  # _refuse has said so
    house = house_values(garment.workshop)
    pattern = drafting.make_draft(garment.style, body, garment.choices, house)
    supersede_draft(garment=garment, reason="drafted anew", now=now)
    draft = Draft.objects.create(
        workshop=garment.workshop,
        garment=garment,
        version=(garment.drafts.aggregate(last=Max("version"))["last"] or 0) + 1,
        engine=pattern.engine,
        inputs=_inputs(garment, pattern),
        output=to_contract(pattern),
        passed=pattern.passed,
        failed_checks=sum(1 for check in pattern.checks if not check.ok),
        roles=needed_roles(pattern),
        created_at=now,
    )
    _write_cutting_list(draft, pattern)
    send_back_to(garment, Stage.MEASURE if garment.size else Stage.DRAFT, now)
    garment.save(update_fields=["stage", "stage_since_at"])
    write_log(
        workshop=garment.workshop,
        by=by,
        action="draft garment",
        row=draft,
        order_id=garment.order_id,
        summary=f"Drafted {garment.title}, version {draft.version}",
        now=now,
        after={"passed": draft.passed, "failed_checks": draft.failed_checks},
    )
    ask_for_plan(garment.workshop)
    return draft


def _refuse(garment: Garment) -> None:
    if garment.order.cancelled_at is not None:
        raise Refusal("This order was cancelled; nothing is drafted for it.")
    if garment.measurements_id is None and not garment.size:
        raise Refusal(
            f"Measure {garment.wearer.name} first, or let a size stand in; then the pattern can be drafted."
        )
    if garment.stage not in DRAFTED_AT:
        raise Refusal(
            f"{garment.title} is at {garment.stage}: cloth was cut from its draft. Send it back to cut first."
        )


def _inputs(garment: Garment, pattern: Pattern) -> dict[str, object]:
    """All that a draft is recomputed from."""
    measured = garment.measurements
    given = {name: row.value for name, row in pattern.body.measures.items() if row.given}
    return {
        "measurements": given if measured is None else measured.values,
        "measurement_set": garment.measurements_id,
        "size": garment.size,
        "age_years": pattern.body.age_years,
        "fit": dict(pattern.body.fit),
        "style": garment.style,
        "choices": dict(pattern.choices),
        "house": dict(pattern.house),
    }


def _write_cutting_list(draft: Draft, pattern: Pattern) -> None:
    CuttingLine.objects.bulk_create(
        CuttingLine(
            draft=draft, position=position, cloth=line.cloth, piece=line.piece, count=line.count, how=line.how
        )
        for position, line in enumerate(cutting_list(pattern), start=1)
    )


def request_files(*, draft: Draft, by: Staff | None, now: datetime) -> Job:
    """Ask for the pattern files of a draft; the same wish twice is one job.

    Raises: Refusal if superseded, or drafted for a size that stands in: nothing is cut from such a draft.
    """
    require_same_workshop(draft.workshop, by)
    _refuse_superseded(draft)
    _refuse_stand_in(draft)
    return jobs.request(
        kind=FILES_JOB, key=f"draft-{draft.pk}", workshop=draft.workshop, params={"draft": draft.pk}, now=now
    )


def request_lay_plans(
    *, draft: Draft, by: Staff | None, now: datetime, seconds: float = SECONDS_A_LAY
) -> Job:
    """Ask for the lay plans of a draft and, from them, its estimate; ``seconds``: to search for each lay.

    Raises: Refusal if superseded, or for seconds that nobody would wait.
    """
    if not 0 < seconds <= MOST_SECONDS:
        raise Refusal(f"A lay is searched for at most {MOST_SECONDS:g} seconds.", field="seconds")
    require_same_workshop(draft.workshop, by)
    _refuse_superseded(draft)
    return jobs.request(
        kind=LAYS_JOB,
        key=f"draft-{draft.pk}",
        workshop=draft.workshop,
        params={"draft": draft.pk, "seconds": seconds},
        now=now,
    )


def request_outputs(*, draft: Draft, by: Staff | None, now: datetime) -> None:
    """Ask for all that follows from a new draft: its files, unless a size stands in, and its lay plans."""
    if not draft.inputs.get("size"):
        request_files(draft=draft, by=by, now=now)
    request_lay_plans(draft=draft, by=by, now=now)


def _refuse_stand_in(draft: Draft) -> None:
    if draft.inputs.get("size"):
        raise Refusal(
            "This draft is of a size that stands in, for the price only: measure the wearer and draft anew."
        )


def _refuse_superseded(draft: Draft) -> None:
    if draft.superseded_at is not None:
        raise Refusal("This draft is superseded; use the one that holds now.")


@transaction.atomic
def waive_checks(*, draft: Draft, reason: str, by: Staff | None, now: datetime) -> Draft:
    """Let a draft be cut from although checks failed; the owner says why.

    Raises: Refusal: not the owner, no reason, superseded, or nothing to waive.
    """
    require_owner(by, "waive the checks of a draft")
    require_same_workshop(draft.workshop, by)
    draft = (
        Draft.objects.select_for_update(of=("self",)).select_related("workshop", "garment").get(pk=draft.pk)
    )
    _refuse_superseded(draft)
    if draft.passed:
        raise Refusal("All checks of this draft passed; there is nothing to waive.")
    draft.waived_reason = clean_text(
        reason, field="reason", longest=300, what="why they are waived", required=True
    )
    draft.waived_by = by
    draft.save(update_fields=["waived_by", "waived_reason"])
    write_log(
        workshop=draft.workshop,
        by=by,
        action="waive checks",
        row=draft,
        order_id=draft.garment.order_id,
        summary=f"Waived {draft.failed_checks} failed checks: {draft.waived_reason}",
        now=now,
    )
    return draft
