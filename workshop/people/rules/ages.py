"""How old somebody is, and how long the measurements of a minor are kept."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

MAJORITY_YEARS: Final = 18
"""Under this age a wearer is a minor. Most countries' age of majority; local rules may differ."""

KEEP_MINOR_DAYS: Final = 365
"""Children outgrow their measurements: kept a year unless a day is given. Our own choice, no source."""

_OLDEST_YEARS: Final = 130


def age_years(born_on: date, on: date) -> float:
    """Return the age on a day, in years of 365.2425 days. Negative before birth."""
    return (on - born_on).days / 365.2425


def is_minor(born_on: date, on: date) -> bool:
    """Whether somebody has not reached the birthday of majority on that day."""
    birthdays = on.year - born_on.year - ((on.month, on.day) < (born_on.month, born_on.day))
    return birthdays < MAJORITY_YEARS


def birth_problem(born_on: date, today: date) -> str:
    """Return what is wrong with a date of birth, or an empty text."""
    if born_on > today:
        return "The date of birth lies in the future; check the year."
    if today.year - born_on.year >= _OLDEST_YEARS:
        return f"The date of birth lies {_OLDEST_YEARS} years back or more; check the year."
    return ""


def default_keep_until(consent_on: date) -> date:
    """Return the day on which a minor's measurements are erased where nobody chose another."""
    return consent_on + timedelta(days=KEEP_MINOR_DAYS)
