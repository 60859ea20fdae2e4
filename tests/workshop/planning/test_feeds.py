"""Feeds for calendar programs: fittings, due days, own tasks; opened and withdrawn."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import icalendar
import pytest
import recurring_ical_events
from django.test import Client as Browser

from tests.workshop.planning.conftest import NOW, make_garment, make_place, make_task
from workshop.errors import Refusal
from workshop.orders.models import Stage
from workshop.people.models import LogEntry
from workshop.planning import queries
from workshop.planning.models import CalendarFeed
from workshop.planning.services import book_fitting, cancel_fitting, move_fitting, open_feed, withdraw_feed

HOUR = timedelta(hours=1)
TEN = datetime(2025, 4, 2, 9, 0, tzinfo=UTC)  # 10:00 in summer time


def calendar(staff, now=NOW):
    return icalendar.Calendar.from_ical(queries.work_feed(staff, now=now, host="h"))


def events(staff, now=NOW):
    return {str(event["uid"]): event for event in calendar(staff, now).walk("VEVENT")}


@pytest.fixture
def fittings(place, garment):
    """One of Ada's and one of Bo's; and one next door."""
    other = make_place()
    book_fitting(garment=make_garment(other.workshop), starts_at=TEN, now=NOW, by=other.ada)
    red = make_garment(place.workshop, title="Red coat")
    return [
        book_fitting(garment=garment, starts_at=TEN, now=NOW, by=place.ada),
        book_fitting(garment=red, starts_at=TEN, now=NOW, by=place.ada, fitter=place.bo),
    ]


def test_work_feed_of_the_owner_has_all_fittings_and_of_a_worker_their_own(place, fittings):
    hers, his = (f"fitting-{fitting.pk}@h" for fitting in fittings)

    assert {uid for uid in events(place.ada) if uid.startswith("fitting")} == {hers, his}
    assert {uid for uid in events(place.bo) if uid.startswith("fitting")} == {his}


def test_work_feed_follows_a_fitting_that_is_moved_and_cancelled(place, fittings):
    fitting = fittings[0]
    uid = f"fitting-{fitting.pk}@h"
    booked = events(place.ada)[uid]
    move_fitting(fitting=fitting, starts_at=TEN + HOUR, now=NOW, by=place.ada)
    moved = events(place.ada)[uid]
    cancel_fitting(fitting=fitting, now=NOW, by=place.ada)
    cancelled = events(place.ada)[uid]

    assert [int(event["sequence"]) for event in (booked, moved, cancelled)] == [0, 1, 2]
    assert (booked.decoded("dtstart"), moved.decoded("dtstart")) == (TEN, TEN + HOUR)
    assert (booked["status"], cancelled["status"]) == ("CONFIRMED", "CANCELLED")


def test_work_feed_has_the_days_on_which_orders_are_due_as_whole_days(place, garment):
    second = make_garment(place.workshop, title="Veil")
    second.order, second.position = garment.order, 2
    second.save(update_fields=["order", "position"])
    make_garment(place.workshop, stage=Stage.DELIVERED)

    found = [event for uid, event in events(place.ada).items() if uid.startswith("due")]

    assert [str(event["summary"]) for event in found] == ["Due: order 1, Blue dress, Veil"]
    assert (found[0].decoded("dtstart"), found[0].decoded("dtend")) == (date(2025, 4, 4), date(2025, 4, 5))
    assert found[0]["transp"] == "TRANSPARENT"
    days = recurring_ical_events.of(calendar(place.ada))
    assert [len(days.at(day)) for day in (date(2025, 4, 3), date(2025, 4, 4), date(2025, 4, 5))] == [0, 1, 0]


def test_work_feed_of_a_worker_has_the_due_days_of_their_own_work(place, garment):
    make_garment(place.workshop, title="Red coat")
    make_task(garment, 3, "sew", 60, staff=place.bo)

    due = [str(event["summary"]) for uid, event in events(place.bo).items() if uid.startswith("due")]

    assert due == ["Due: order 1, Blue dress"]


def test_work_feed_shows_own_tasks_in_the_hours_in_which_they_are_worked(place, garment):
    # From Friday noon in winter time over the weekend of the clock change to Monday in summer time.
    friday, monday = datetime(2025, 3, 28, 16, 0, tzinfo=UTC), datetime(2025, 3, 31, 9, 0, tzinfo=UTC)
    task = make_task(garment, 3, "sew", 240, staff=place.ada, planned_start_at=friday, planned_end_at=monday)
    make_task(
        garment, 4, "sew", 60, staff=place.ada, done_at=NOW, planned_start_at=friday, planned_end_at=monday
    )
    make_task(garment, 5, "sew", 60, staff=place.ada)
    make_task(garment, 6, "sew", 60, staff=place.bo, planned_start_at=friday, planned_end_at=monday)

    found = {uid: event for uid, event in events(place.ada).items() if uid.startswith("task")}

    assert [(uid, event.decoded("dtstart"), event.decoded("dtend")) for uid, event in found.items()] == [
        (f"task-{task.pk}-0@h", friday, friday + 2 * HOUR),
        (f"task-{task.pk}-1@h", monday - HOUR, monday),
    ]
    octets = queries.work_feed(place.ada, now=NOW, host="h")
    assert b"DTSTART;TZID=Europe/Lisbon:20250328T160000" in octets
    assert b"DTSTART;TZID=Europe/Lisbon:20250331T090000" in octets


def test_work_feed_shows_a_pinned_task_outside_the_hours_as_it_is(place, garment):
    night = datetime(2025, 3, 29, 20, 0, tzinfo=UTC)
    task = make_task(
        garment, 3, "sew", 60, staff=place.ada, planned_start_at=night, planned_end_at=night + HOUR
    )

    assert events(place.ada)[f"task-{task.pk}-0@h"].decoded("dtstart") == night


def test_work_feed_names_no_customer_and_no_wearer(place, garment, fittings):
    make_task(garment, 3, "sew", 60, staff=place.ada, planned_start_at=TEN, planned_end_at=TEN + HOUR)

    text = queries.work_feed(place.ada, now=NOW, host="h").decode()

    assert garment.wearer.name == garment.order.client.name == "Clara"
    assert "Blue dress" in text
    assert "Clara" not in text


def test_work_feed_asks_the_database_as_often_for_more(place, fittings, django_assert_num_queries):
    for count in range(3):
        extra = make_garment(place.workshop, title=f"Coat {count}")
        make_task(extra, 3, "sew", 60, staff=place.ada, planned_start_at=TEN, planned_end_at=TEN + HOUR)

    with django_assert_num_queries(6):
        queries.work_feed(place.ada, now=NOW, host="h")


def test_open_feed_twice_is_one_address_and_another_after_it_is_withdrawn(place):
    first, again = (open_feed(staff=place.bo, now=NOW) for _ in range(2))
    withdraw_feed(feed=first, by=place.bo, now=NOW)
    withdraw_feed(feed=first, by=place.ada, now=NOW)
    other = open_feed(staff=place.bo, now=NOW)

    assert first == again
    assert other.secret != first.secret
    assert (queries.feed_of(first.secret), queries.feed_of(other.secret)) == (None, other)
    assert [entry.action for entry in LogEntry.objects.order_by("pk")] == [
        "open feed",
        "withdraw feed",
        "open feed",
    ]
    assert first.secret not in str(list(LogEntry.objects.values()))


def test_withdraw_feed_is_ones_own_or_the_owners(place):
    feed = open_feed(staff=place.ada, now=NOW)
    with pytest.raises(Refusal, match="somebody else's calendar"):
        withdraw_feed(feed=feed, by=place.bo, now=NOW)
    with pytest.raises(Refusal, match="no such"):
        withdraw_feed(feed=feed, by=make_place().ada, now=NOW)
    assert queries.feed_of(feed.secret) == feed


def test_the_address_opens_without_a_sign_in_and_only_while_it_holds(place, fittings):
    feed = open_feed(staff=place.bo, now=NOW)
    address = f"/calendar/{feed.secret}.ics"

    seen = Browser().get(address)

    assert queries.feed_address(feed).endswith(address)
    assert seen.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert seen.headers["Cache-Control"] == "private, no-store"
    assert icalendar.Calendar.from_ical(seen.content)["x-wr-calname"] == "The Needle: Bo"
    for guessed in ("A" * 43, "short", "x" * 300, "a%00b" + "c" * 40, feed.secret[:-1]):
        assert Browser().get(f"/calendar/{guessed}.ics").status_code == 404
    place.bo.active = False
    place.bo.save(update_fields=["active"])
    assert Browser().get(address).status_code == 404


def test_everybody_opens_and_withdraws_their_own_on_the_bench(place):
    for staff in (place.ada, place.bo):
        browser = Browser()
        browser.force_login(staff.user)
        browser.post("/bench/calendar/open/")
        feed = CalendarFeed.objects.get(staff=staff)
        assert f"/calendar/{feed.secret}.ics" in browser.get("/bench/calendar/").text
    shown = browser.get("/bench/calendar/").text
    assert "Addresses of others" not in shown
    hers = CalendarFeed.objects.get(staff=place.ada)
    assert hers.secret not in shown
    browser.post(f"/bench/calendar/{hers.pk}/withdraw/")
    assert queries.feed_of(hers.secret) == hers

    owner = Browser()
    owner.force_login(place.ada.user)
    assert "Bo, since" in owner.get("/bench/calendar/").text
    owner.post(f"/bench/calendar/{feed.pk}/withdraw/")
    assert queries.feed_of(feed.secret) is None
    assert owner.post(f"/bench/calendar/{feed.pk}/withdraw/").status_code == 404
