from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.workshop.planning.conftest import make_garment, make_task
from workshop.people.models import Staff
from workshop.planning.models import LateRisk
from workshop.planning.queries import days_in_hand
from workshop.planning.rules.risk import is_turned, risk_words
from workshop.planning.services import reckon_late_risks, replan
from workshop.planning.services.replanning import CannotPlanWorkshop
from workshop.planning.tasks import workshops_with_open_work

TUESDAY = date(2025, 3, 25)
ONE_DAY = timedelta(days=1)


def test_words_rise_with_the_risk_and_the_owner_is_warned_from_one_in_four():
    words = [risk_words(percent) for percent in (0, 9, 10, 24, 25, 59, 60, 100)]

    assert words == [
        "little risk of being late (0 %)",
        "little risk of being late (9 %)",
        "some risk of being late (10 %)",
        "some risk of being late (24 %)",
        "at risk of being late (25 %)",
        "at risk of being late (59 %)",
        "likely late (60 %)",
        "likely late (100 %)",
    ]
    assert [is_turned(percent) for percent in (24, 25)] == [False, True]


def test_risk_is_the_share_of_runs_that_end_after_the_due_day_begins(place, now):
    # Ada has 480 minutes before Tuesday. ln(480 / 420) over a spread of 0.25 is 0.534 deviates: late in 30 %.
    garment = make_garment(place.workshop, due_on=TUESDAY)
    make_task(garment, 3, "sew", 420)
    replan(workshop=place.workshop, now=now, seconds=0)

    assert reckon_late_risks(workshop=place.workshop, now=now) == [garment]

    row = LateRisk.objects.get()
    assert row.percent == pytest.approx(30, abs=6)
    assert row.turned_on == date(2025, 3, 24)
    assert days_in_hand(garment, now).risk_words == f"at risk of being late ({row.percent} %)"


def test_it_turns_once_and_only_once_until_it_is_well_again(place, now):
    garment = make_garment(place.workshop, due_on=TUESDAY + 2 * ONE_DAY)
    task = make_task(garment, 3, "sew", 420)
    replan(workshop=place.workshop, now=now, seconds=0)

    assert reckon_late_risks(workshop=place.workshop, now=now) == []
    # Nobody worked on Monday, Tuesday and half of Wednesday: it has turned.
    later = now + 2 * ONE_DAY + timedelta(hours=3)
    assert reckon_late_risks(workshop=place.workshop, now=later) == [garment]
    assert reckon_late_risks(workshop=place.workshop, now=later) == [garment]
    assert reckon_late_risks(workshop=place.workshop, now=later + ONE_DAY) == []
    assert LateRisk.objects.get().turned_on == date(2025, 3, 26)

    task.minutes_planned = 10
    task.save()
    garment.order.due_on = TUESDAY + 20 * ONE_DAY
    garment.order.save()
    assert reckon_late_risks(workshop=place.workshop, now=later + ONE_DAY) == []
    assert (LateRisk.objects.get().percent, LateRisk.objects.get().turned_on) == (0, None)


def test_what_is_done_has_no_risk_any_more(place, now):
    garment = make_garment(place.workshop)
    task = make_task(garment, 3, "sew", 60)
    reckon_late_risks(workshop=place.workshop, now=now)
    assert LateRisk.objects.count() == 1
    assert list(workshops_with_open_work(now)) == [place.workshop]

    task.done_at = now
    task.save()

    assert reckon_late_risks(workshop=place.workshop, now=now) == []
    assert not LateRisk.objects.exists()
    assert list(workshops_with_open_work(now)) == []


def test_no_risk_is_told_where_nobody_is_there(place, now):
    make_task(make_garment(place.workshop), 3, "sew", 60)
    reckon_late_risks(workshop=place.workshop, now=now)
    Staff.objects.filter(workshop=place.workshop).update(weekly_minutes=0)

    with pytest.raises(CannotPlanWorkshop, match="fits in nobody's hours"):
        reckon_late_risks(workshop=place.workshop, now=now)

    assert not LateRisk.objects.exists()


@pytest.mark.parametrize("count", [1, 3])
def test_risks_take_as_many_queries_however_many_garments(place, now, count, django_assert_num_queries):
    for _ in range(count):
        make_task(make_garment(place.workshop), 3, "sew", 60)

    with django_assert_num_queries(30):
        reckon_late_risks(workshop=place.workshop, now=now)
