"""A wearer's measurements, complete: what was taken, and the rest estimated and marked so."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from drafting.body.catalogue import CATALOGUE, ESSENTIAL, LATER, Measurement
from drafting.body.estimates import ESTIMATORS, SHORTEST_SURVEYED, Estimate
from drafting.body.fit import FIT_NOTES, NO_FIT_NOTES, checked_fit
from drafting.errors import BadMeasurement
from drafting.units import Unit, format_length

CHILD_UNTIL_YEARS: Final = 14.0  # EN 14682 treats wearers under 14 years as children
OLDEST_YEARS: Final = 130.0


@dataclass(frozen=True, slots=True)
class Measure:
    """A value in mm. ``error`` is one standard deviation of an estimate, mm; None where it was taken."""

    value: float
    given: bool
    error: float | None = None


@dataclass(frozen=True, slots=True)
class Body:
    """All measurements of the catalogue, in its order. ``age_years`` is None where nobody said.

    ``fit`` are the wearer's fit notes, by their names in ``FIT_NOTES``: mm or degrees.
    """

    measures: Mapping[str, Measure]
    age_years: float | None = None
    fit: Mapping[str, float] = field(default_factory=lambda: NO_FIT_NOTES)

    @classmethod
    def of(
        cls,
        measurements: Mapping[str, float],
        *,
        age_years: float | None = None,
        fit: Mapping[str, float] = NO_FIT_NOTES,
    ) -> Body:
        """Return the body of these measurements (mm), the missing ones estimated.

        Bust, waist and hip girth and stature must be there. A given measurement takes part in the
        estimates of its neighbours (the front length follows a given back length, say).

        Raises:
            BadMeasurement: an essential one is missing, or one is unknown, not a number, not finite, not
                positive, or outside every human range, or a fit note is; ``field`` names it.
        """
        age = checked_age(age_years)
        given = checked(measurements)
        missing = [name for name in ESSENTIAL if name not in given]
        if missing:
            raise BadMeasurement(
                f"{missing[0]} is missing; {', '.join(ESSENTIAL)} must always be taken", field=missing[0]
            )
        guesses = estimates(given, is_child=_is_child(given["stature"], age))
        measures = {
            name: Measure(given[name], True) if name in given else _estimated(guesses[name])
            for name in CATALOGUE
        }
        return cls(measures, age, checked_fit(fit))

    @classmethod
    def stored(
        cls, measures: Mapping[str, Measure], age_years: float | None, fit: Mapping[str, float]
    ) -> Body:
        """Return a body as it was stored; what came into the catalogue since is estimated from the others.

        Raises: KeyError where it lacks another.
        """
        values = {name: measure.value for name, measure in measures.items()}
        guesses = estimates(values, is_child=_is_child(values["stature"], age_years))
        ordered = {
            name: _estimated(guesses[name]) if name in LATER and name in guesses else measures[name]
            for name in CATALOGUE
        }
        return cls(ordered, age_years, fit)

    def __getitem__(self, name: str) -> float:
        return self.measures[name].value

    def measure(self, name: str) -> Measure:
        """Return value, whether it was taken, and its error. Raises: KeyError."""
        return self.measures[name]

    def fit_note(self, name: str) -> float:
        """The amount of a fit note, mm or degrees; 0 where there is none. Raises: KeyError: no such note."""
        return self.fit.get(name, 0.0) if name in FIT_NOTES else self.fit[name]

    @property
    def estimated(self) -> tuple[str, ...]:
        """The names that were estimated, in the catalogue's order."""
        return tuple(name for name, measure in self.measures.items() if not measure.given)

    @property
    def is_child(self) -> bool:
        """Under 14 years; where nobody said the age, shorter than the shortest woman of the survey."""
        return _is_child(self["stature"], self.age_years)


def _is_child(stature: float, age_years: float | None) -> bool:
    return stature < SHORTEST_SURVEYED if age_years is None else age_years < CHILD_UNTIL_YEARS


def estimates(given: Mapping[str, float], *, is_child: bool) -> dict[str, Estimate]:
    """Estimate each measurement that is not given. The four essentials must be in ``given``.

    However odd the given ones, an estimate stays within the catalogue's range.
    """
    known = dict(given)
    guesses: dict[str, Estimate] = {}
    for name, estimator in ESTIMATORS.items():
        if name not in given:
            guesses[name] = _within(CATALOGUE[name], estimator(known, is_child))
            known[name] = guesses[name].value
    return guesses


def _within(row: Measurement, guess: Estimate) -> Estimate:
    return Estimate(min(row.high_mm, max(row.low_mm, guess.value)), guess.error)


def _estimated(guess: Estimate) -> Measure:
    return Measure(guess.value, False, guess.error)


def checked(measurements: Mapping[str, float]) -> dict[str, float]:
    """Return the measurements as floats in mm. Raises: BadMeasurement (see ``Body.of``)."""
    return {name: _checked_value(name, value) for name, value in measurements.items()}


def _checked_value(name: str, value: object) -> float:
    row = CATALOGUE.get(name)
    if row is None:
        raise BadMeasurement(f"{name[:60]} is no measurement known here; see the catalogue", field=name)
    number = _number(name, value)
    if number <= 0:
        raise BadMeasurement(f"{name} must be more than nothing, not {number:g} mm", field=name)
    if not row.low_mm <= number <= row.high_mm:
        raise BadMeasurement(
            f"{name} of {_all_units(number)} is outside every human range "
            f"({_all_units(row.low_mm)} to {_all_units(row.high_mm)}); is the unit right?",
            field=name,
        )
    return number


def _number(name: str, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadMeasurement(f"{name} is not a number", field=name)
    try:
        number = float(value)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise BadMeasurement(f"{name} is not a finite number", field=name)
    return number


def checked_age(age_years: float | None) -> float | None:
    """Return the age in years. Raises: BadMeasurement(field="age_years")."""
    if age_years is None:
        return None
    age = _number("age_years", age_years)
    if not 0 <= age <= OLDEST_YEARS:
        raise BadMeasurement(f"age_years of {age:g} is not between 0 and {OLDEST_YEARS:g}", field="age_years")
    return age


def _all_units(mm: float) -> str:
    return f"{mm:.0f} mm / {format_length(mm, Unit.CM)} cm / {format_length(mm, Unit.IN)} in"
