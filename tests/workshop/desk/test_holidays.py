"""The page on which the owner ticks the public holidays of a year."""

from __future__ import annotations

from datetime import date

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.workshop.desk import made
from workshop.jobs.models import Job
from workshop.people.rules.holidays import public_holidays
from workshop.planning import queries

YEAR = timezone.now().year + 1
ADDRESS = "desk:holidays"


@pytest.fixture
def placed(house, owner):
    """The house is in Lisbon."""
    house.workshop.refresh_from_db()
    for region in ("", "11"):
        house.workshop.refresh_from_db()
        row = {"country": "PT", "region": region, "expected_version": house.workshop.version}
        owner.post(reverse("desk:place"), row)
    house.workshop.refresh_from_db()
    return house


def address(year=YEAR):
    return f"{reverse(ADDRESS)}?year={year}"


def test_the_place_brings_its_list_and_closes_nothing(placed, owner):
    page = owner.get(address())

    assert (placed.workshop.country, placed.workshop.region) == ("PT", "11")
    shown = [value for value, _ in page.context["form"].fields["closed"].choices]
    assert shown == [row.on.isoformat() for row in public_holidays("PT", "11", YEAR)]
    assert page.context["form"]["closed"].value() == []
    assert placed.workshop.closures.count() == 0


def test_another_country_leaves_the_region_of_the_old_one(placed, owner):
    row = {"country": "GH", "region": "11", "expected_version": placed.workshop.version}
    answer = owner.post(reverse("desk:place"), row)

    placed.workshop.refresh_from_db()
    assert made.told(answer) == ["Kept. Tick the days on which you close; nothing closes by itself."]
    assert (placed.workshop.country, placed.workshop.region) == ("GH", "")


def test_ticked_days_are_closed_for_fittings_and_work(placed, owner):
    day = date(YEAR, 12, 8)
    plans = Job.objects.filter(kind="refresh_plan").count()

    answer = owner.post(address(), {"closed": [day.isoformat()]})

    assert made.told(answer) == ["Kept. No fitting and no work is planned on the ticked days."]
    assert Job.objects.filter(kind="refresh_plan").count() == max(plans, 1)
    assert queries.hours_of(placed.workshop, day, day).of(placed.owner) == []
    assert queries.hours_of(placed.workshop, date(YEAR, 12, 7), date(YEAR, 12, 7)).of(placed.owner) != []
    assert owner.get(address()).context["form"]["closed"].value() == [day.isoformat()]


def test_the_week_names_its_closed_days(placed, owner):
    owner.post(address(), {"closed": [f"{YEAR}-12-08"]})

    shown = owner.get(f"{reverse('desk:week')}?from={YEAR}-12-08").text
    before = owner.get(f"{reverse('desk:week')}?from={YEAR}-11-20").text

    assert "8 December: closed, Immaculate Conception" in shown
    assert "Immaculate Conception" not in before


@pytest.mark.parametrize("typed", ["soon", "9999", "1", "٢٠٢٧x", "-1"])
def test_another_year_is_this_one(placed, owner, typed):
    assert owner.get(address(typed)).context["year"] == placed.workshop.day_of(timezone.now()).year


def test_a_day_that_is_not_in_the_list_is_refused(placed, owner):
    answer = owner.post(address(), {"closed": [f"{YEAR}-12-09"]})

    assert list(made.faults(answer)) == ["closed"]
    assert placed.workshop.closures.count() == 0


def test_two_editors_of_the_place(placed, owner):
    row = {"country": "GH", "region": "", "expected_version": placed.workshop.version - 1}
    answer = owner.post(reverse("desk:place"), row)

    assert ("Country", "Portugal") in answer.context["place_form"].meanwhile
    placed.workshop.refresh_from_db()
    assert placed.workshop.country == "PT"
