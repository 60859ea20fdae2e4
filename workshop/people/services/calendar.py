"""When the workshop is open, and the days on which it or somebody is not there."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta

from django.db import transaction
from django.db.models import Model

from workshop.errors import Refusal
from workshop.people.models import OpeningHours, Staff, Workshop
from workshop.people.rules.working_week import WEEKDAYS, BadTimes, Span, check_week
from workshop.people.services.checking import clean_text, refuse_edited, require_owner, require_same_workshop
from workshop.people.services.log import write_log

_LONGEST_CLOSURE = timedelta(days=366)


@transaction.atomic
def set_opening_hours(
    *,
    workshop: Workshop,
    spans: Sequence[Span],
    by: Staff | None,
    now: datetime,
    expected_version: int | None = None,
) -> list[OpeningHours]:
    """Replace the opening hours of the week. Ask for a new plan afterwards.

    Args:
        expected_version: of the workshop, whose settings the hours belong to; None replaces whatever holds.

    Raises: EditedMeanwhile; Refusal where a span ends before it begins, two overlap, or the workshop would
    never be open.
    """
    require_owner(by, "change the opening hours")
    require_same_workshop(workshop, by)
    ordered = sorted(spans)
    _refuse_spans(ordered)
    row = Workshop.objects.select_for_update().get(pk=workshop.pk)
    refuse_edited(row, row.version if expected_version is None else expected_version)
    row.version += 1
    row.save(update_fields=["version"])
    held = OpeningHours.objects.filter(workshop=workshop)
    before = {
        "spans": [_words(hours.weekday, hours.opens_at, hours.closes_at) for hours in held.order_by("pk")]
    }
    held.delete()
    made = OpeningHours.objects.bulk_create(
        OpeningHours(workshop=workshop, weekday=weekday, opens_at=opens, closes_at=closes)
        for weekday, opens, closes in ordered
    )
    write_log(
        workshop=workshop,
        by=by,
        action="set opening hours",
        row=workshop,
        summary="Changed the opening hours",
        now=now,
        before=before,
        after={"spans": [_words(*span) for span in ordered]},
    )
    return made


def _refuse_spans(ordered: Sequence[Span]) -> None:
    if not ordered:
        raise Refusal(
            "Enter at least one span of opening hours; work is planned into them.", field="opening_hours"
        )
    try:
        check_week(ordered, backwards="closes before it opens")
    except BadTimes as problem:
        raise Refusal(str(problem), field="opening_hours") from None


def _words(weekday: int, opens: time, closes: time) -> str:
    return f"{WEEKDAYS[weekday]} {opens:%H:%M} to {closes:%H:%M}"


@transaction.atomic
def close_days(
    *,
    workshop: Workshop,
    from_on: date,
    to_on: date,
    reason: str = "",
    staff: Staff | None = None,
    by: Staff | None,
    now: datetime,
) -> Model:
    """Close the workshop on these days (both included), or note that ``staff`` is away.

    Ask for a new plan afterwards.

    Raises: Refusal with ``field``.
    """
    require_owner(by, "close the workshop")
    require_same_workshop(workshop, by, staff)
    if to_on < from_on:
        raise Refusal("The last closed day lies before the first; exchange them.", field="to_on")
    if to_on - from_on > _LONGEST_CLOSURE:
        raise Refusal("Close at most a year at a time; check the years.", field="to_on")
    reason = clean_text(reason, field="reason", longest=120, what="the reason")
    # Closures are planning's rows; this room reaches them by the workshop's own relation.
    closure = workshop.closures.create(staff=staff, from_on=from_on, to_on=to_on, reason=reason)
    write_log(
        workshop=workshop,
        by=by,
        action="close days",
        row=closure,
        summary=f"{staff.name if staff else 'The workshop'} is away from {from_on} to {to_on}",
        now=now,
        after={"staff": staff.pk if staff else None, "from_on": from_on, "to_on": to_on},
    )
    return closure


@transaction.atomic
def reopen_days(*, workshop: Workshop, closure_id: int, by: Staff | None, now: datetime) -> None:
    """Take a closure back. Ask for a new plan afterwards. Raises: Refusal where it is not there any more."""
    require_owner(by, "open the workshop")
    require_same_workshop(workshop, by)
    closure = workshop.closures.filter(pk=closure_id).first()
    if closure is None:
        raise Refusal("These closed days were taken back already.")
    write_log(
        workshop=workshop,
        by=by,
        action="reopen days",
        row=closure,
        summary=f"Took back a closure from {closure.from_on} to {closure.to_on}",
        now=now,
        before={"staff": closure.staff_id, "from_on": closure.from_on, "to_on": closure.to_on},
    )
    closure.delete()
