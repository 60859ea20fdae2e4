from __future__ import annotations

from datetime import date

import pytest

from workshop.people.rules import ages


def test_age_years_counts_mean_years():
    assert ages.age_years(date(2000, 1, 1), date(2400, 1, 1)) == 400.0


@pytest.mark.parametrize(
    ("on", "minor"),
    [
        (date(2026, 5, 9), True),
        (date(2026, 5, 10), False),  # the birthday itself
        (date(2026, 5, 11), False),
    ],
)
def test_is_minor_ends_on_the_eighteenth_birthday(on, minor):
    assert ages.is_minor(date(2008, 5, 10), on) is minor


@pytest.mark.parametrize(("on", "minor"), [(date(2026, 2, 28), True), (date(2026, 3, 1), False)])
def test_is_minor_of_a_leap_day_ends_on_the_first_of_march(on, minor):
    assert ages.is_minor(date(2008, 2, 29), on) is minor


@pytest.mark.parametrize(
    ("born_on", "problem"),
    [
        (date(2026, 3, 2), ""),
        (date(2026, 3, 3), "The date of birth lies in the future; check the year."),
        (date(1897, 12, 31), ""),
        (date(1896, 12, 31), "The date of birth lies 130 years back or more; check the year."),
    ],
)
def test_birth_problem_names_what_cannot_be(born_on, problem):
    assert ages.birth_problem(born_on, date(2026, 3, 2)) == problem


def test_default_keep_until_is_a_year_after_the_consent():
    assert ages.default_keep_until(date(2026, 3, 2)) == date(2027, 3, 2)
