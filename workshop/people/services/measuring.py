"""Taking measurements: read, questioned, kept as typed and in millimetres, never changed afterwards."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date, datetime

from django.db import transaction

from drafting.body import Question, questions
from drafting.units import Unit
from workshop.errors import Refusal
from workshop.people.models import MeasurementSet, Staff, Wearer
from workshop.people.rules import ages
from workshop.people.rules.measuring import read_measurements
from workshop.people.services.checking import require_same_workshop
from workshop.people.services.log import write_log
from workshop.people.services.wearers import refuse_erased


class MeasurementsRefused(Refusal):
    """Some fields cannot be read; ``errors`` has a message for each."""

    def __init__(self, errors: Mapping[str, str]) -> None:
        super().__init__(
            "Some measurements cannot be read; see the marked fields.", field=next(iter(errors), "")
        )
        self.errors = dict(errors)


class UnansweredQuestions(Refusal):
    """Possible but unlikely values that nobody confirmed; ``questions`` are to be asked."""

    def __init__(self, asked: Collection[Question]) -> None:
        super().__init__(
            "Some measurements are unlikely: measure again, or confirm each of them.",
            field=next((question.field for question in asked), ""),
        )
        self.questions = tuple(asked)


@transaction.atomic
def record_measurements(
    *,
    wearer: Wearer,
    unit: str,
    typed: Mapping[str, str],
    taken_by: Staff | None,
    taken_on: date,
    confirmed: Collection[str] = (),
    now: datetime,
) -> MeasurementSet:
    """Store a measurement set: mm as given, and the text as it was typed.

    ``confirmed`` holds the names of the fields whose questions were answered with yes.

    Raises:
        MeasurementsRefused: fields that cannot be read, are missing, or lie outside every human range.
        UnansweredQuestions: unlikely values that are not in ``confirmed``.
        Refusal: taken in the future, an erased wearer, a minor without consent, another workshop's staff.
    """
    require_same_workshop(wearer.workshop, taken_by)
    # The row that an erasure locks too: measurements must not slip in behind it.
    wearer = Wearer.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=wearer.pk)
    refuse_erased(wearer)
    _refuse_day_or_consent(wearer, taken_on, wearer.workshop.day_of(now))
    if unit not in {"in", "cm", "mm"}:
        raise Refusal("Choose inches, centimetres or millimetres.", field="unit")
    reading = read_measurements(typed, Unit(unit))
    if reading.errors:
        raise MeasurementsRefused(reading.errors)
    age = ages.age_years(wearer.born_on, taken_on) if wearer.born_on else None
    asked = questions(reading.values, age_years=age)
    open_questions = [question for question in asked if question.field not in confirmed]
    if open_questions:
        raise UnansweredQuestions(open_questions)
    measured = MeasurementSet.objects.create(
        workshop=wearer.workshop,
        wearer=wearer,
        taken_on=taken_on,
        taken_by=taken_by,
        unit=unit,
        values=reading.values,
        typed=reading.typed,
        confirmed=[{"field": question.field, "message": question.message} for question in asked],
        created_at=now,
    )
    write_log(
        workshop=wearer.workshop,
        by=taken_by,
        action="record measurements",
        row=measured,
        summary=f"Took {len(reading.values)} measurements of a wearer",
        now=now,
        after={
            "wearer": wearer.pk,
            "taken": sorted(reading.values),
            "confirmed": sorted({q.field for q in asked}),
        },
    )
    return measured


def _refuse_day_or_consent(wearer: Wearer, taken_on: date, today: date) -> None:
    if taken_on > today:
        raise Refusal("Measurements cannot be taken in the future; check the day.", field="taken_on")
    if wearer.born_on is not None and taken_on < wearer.born_on:
        raise Refusal("That day lies before the wearer's birth; check it.", field="taken_on")
    if wearer.is_minor and (not wearer.guardian or not wearer.consent_by or wearer.consent_on is None):
        raise Refusal(
            "A minor is measured with a guardian's consent: note who consented and when on the wearer's "
            "page first."
        )
    if wearer.keep_until_on is not None and wearer.keep_until_on < today:
        raise Refusal(
            "The day until which this wearer's measurements may be kept is past; ask for consent anew and "
            "note it."
        )
