"""From a stored measurement set to the pattern engine's body."""

from __future__ import annotations

from drafting.body import Body, Question, questions
from workshop.errors import Refusal
from workshop.people.models import MeasurementSet, Wearer
from workshop.people.rules.ages import age_years


def age_at(measured: MeasurementSet, wearer: Wearer) -> float | None:
    """The wearer's age in years on the day of measuring; None where the birth is not known."""
    return None if wearer.born_on is None else age_years(wearer.born_on, measured.taken_on)


def body_of(measured: MeasurementSet, wearer: Wearer | None = None) -> Body:
    """Return the body of a measurement set with the wearer's fit notes, what was not taken estimated.

    Raises:
        Refusal: the measurements were erased.
        BadMeasurement: never for a set that was recorded by this service.
    """
    wearer = wearer or measured.wearer
    if wearer.erased_at is not None or not measured.values:
        raise Refusal("These measurements were erased; measure the wearer anew.")
    return Body.of(measured.values, age_years=age_at(measured, wearer), fit=wearer.fit)


def questions_of(measured: MeasurementSet, wearer: Wearer | None = None) -> tuple[Question, ...]:
    """What is unlikely about a stored set; all of it was confirmed when it was recorded."""
    return questions(measured.values, age_years=age_at(measured, wearer or measured.wearer))
