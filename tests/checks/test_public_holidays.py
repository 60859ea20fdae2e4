"""Public holidays against what is published of them."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from dateutil.easter import easter

from workshop.people.rules.holidays import public_holidays


def days_of(country: str, region: str, year: int) -> dict[str, date]:
    return {row.name: row.on for row in public_holidays(country, region, year)}


@pytest.mark.parametrize("year", range(2020, 2041))
def test_days_that_hang_on_easter_follow_the_computus(year):
    """Days before and after Easter Sunday as Germany keeps them, from memory; Easter itself by
    ``dateutil.easter``, whose method its documentation takes from Claus Tondering's FAQ about calendars."""
    found, sunday = days_of("DE", "", year), easter(year)

    for name, after in (
        ("Good Friday", -2),
        ("Easter Monday", 1),
        ("Ascension Day", 39),
        ("Pentecost Monday", 50),
    ):
        assert found[name] == sunday + timedelta(days=after)


@pytest.mark.parametrize("year", range(2022, 2032))
def test_federal_holidays_of_the_united_states(year):
    """5 U.S.C. 6103(a), from memory: the third Monday of January and February, the last of May, the first of
    September, the second of October, the fourth Thursday of November; and six dates of the month."""
    found = set(days_of("US", "", year).values())

    for month, weekday, number in ((1, 0, 3), (2, 0, 3), (5, 0, -1), (9, 0, 1), (10, 0, 2), (11, 3, 4)):
        assert nth(year, month, weekday, number) in found
    for month, day in ((1, 1), (6, 19), (7, 4), (11, 11), (12, 25)):
        assert date(year, month, day) in found


def nth(year: int, month: int, weekday: int, number: int) -> date:
    """The nth weekday of a month; -1 is the last."""
    first = date(year, month, 1)
    found = [first + timedelta(days=n) for n in range(31) if (first + timedelta(days=n)).month == month]
    of_weekday = [day for day in found if day.weekday() == weekday]
    return of_weekday[number - 1 if number > 0 else number]
