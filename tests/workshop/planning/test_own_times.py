"""Somebody's own times by weekday: fittings, the plan, the hours there and the feed keep to them."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import icalendar
import pytest

from tests.workshop.planning.conftest import NOW, make_garment, make_task
from workshop.orders.models import Stage
from workshop.people.rules.working_week import as_kept
from workshop.planning import queries
from workshop.planning.queries import free_fitting_slots
from workshop.planning.rules.calendar import Interval
from workshop.planning.services import book_fitting, replan
from workshop.planning.services.fittings import TimeNotOffered

HOUR = timedelta(hours=1)


@pytest.fixture
def ada(place):
    """The owner: here on Tuesdays from 10 to 12 and 15 to 19 (it closes at 18), and on closed Sundays."""
    place.ada.working_week = as_kept(
        [(1, time(10), time(12)), (1, time(15), time(19)), (6, time(9), time(12))]
    )
    place.ada.save(update_fields=["working_week"])
    return place.ada


def tuesday(day: date) -> list[Interval]:
    """The two spans of a Tuesday, summer time from 30 March 2025 on."""
    behind = 1 if day > date(2025, 3, 30) else 0
    midnight = datetime.combine(day, time(), tzinfo=UTC) - behind * HOUR
    return [
        Interval(midnight + begins * HOUR, midnight + ends * HOUR) for begins, ends in ((10, 12), (15, 18))
    ]


BEFORE, AFTER = date(2025, 3, 25), date(2025, 4, 1)


def test_own_times_are_those_of_the_wall_clock_before_and_after_it_changes(place, ada):
    hours = queries.hours_of(place.workshop, date(2025, 3, 24), date(2025, 4, 6))

    assert hours.of(ada) == [*tuesday(BEFORE), *tuesday(AFTER)]
    assert len(hours.of(place.bo)) == 2 * 10  # who has none of his own is there whenever it is open


def test_fittings_are_offered_when_the_fitter_is_there(place, ada):
    garment = make_garment(place.workshop, stage=Stage.FIT, due_on=date(2025, 4, 3))
    make_task(garment, 3, "sew", 60, planned_start_at=NOW, planned_end_at=NOW + HOUR)

    found = free_fitting_slots(garment, NOW, limit=100)

    there = [*tuesday(BEFORE), *tuesday(AFTER)]
    assert {slot.fitter for slot in found} == {ada}
    assert all(any(a <= slot.starts_at and slot.ends_at <= b for a, b in there) for slot in found)
    assert {slot.starts_at.date() for slot in found} == {BEFORE, AFTER}


def test_a_customer_gets_no_time_at_which_the_fitter_is_away(place, ada):
    garment = make_garment(place.workshop, stage=Stage.FIT)
    make_task(garment, 3, "sew", 60, planned_start_at=NOW, planned_end_at=NOW + HOUR)
    first, second = tuesday(AFTER)

    with pytest.raises(TimeNotOffered):
        book_fitting(garment=garment, starts_at=first.end, now=NOW)

    assert book_fitting(garment=garment, starts_at=second.start, now=NOW).fitter == ada


def test_the_plan_and_the_hours_there_keep_to_them(place, ada):
    task = make_task(make_garment(place.workshop), 1, "sew", 400)

    replan(workshop=place.workshop, now=NOW, seconds=1)
    first, second = queries.hours_booked(place.workshop, NOW, weeks=2)

    task.refresh_from_db()
    assert (task.staff, task.planned_start_at) == (ada, tuesday(BEFORE)[0].start)
    assert task.planned_end_at == tuesday(AFTER)[0].start + 100 * timedelta(minutes=1)
    assert (first.booked, first.there) == (300, 5 * 480 + 300)
    assert (second.booked, second.there) == (100, 5 * 480 + 300)


def test_the_feed_shows_a_task_in_the_times_in_which_it_is_worked(place, ada):
    make_task(make_garment(place.workshop), 1, "sew", 400)
    replan(workshop=place.workshop, now=NOW, seconds=1)

    feed = icalendar.Calendar.from_ical(queries.work_feed(ada, now=NOW, host="h"))

    spans = [
        Interval(event.decoded("dtstart"), event.decoded("dtend"))
        for event in feed.walk("VEVENT")
        if str(event["uid"]).startswith("task")
    ]
    last = tuesday(AFTER)[0].start
    assert spans == [*tuesday(BEFORE), Interval(last, last + timedelta(minutes=100))]
