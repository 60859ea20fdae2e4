from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime, timedelta
from itertools import pairwise

import pytest
from django.db import connection

from tests.workshop.planning.conftest import NOW, make_garment, make_place, make_staff, make_task
from workshop.jobs.models import Job
from workshop.orders.models import Stage
from workshop.people.models import LogEntry, Role
from workshop.planning.models import Closure, Fitting
from workshop.planning.queries import free_fitting_slots
from workshop.planning.services import book_fitting, cancel_fitting, move_fitting
from workshop.planning.services.fittings import (
    FitterBusy,
    FittingClosed,
    NothingToTryOn,
    TimeNotOffered,
    release_fittings,
)

HOUR = timedelta(hours=1)
TEN = datetime(2025, 3, 26, 10, 0, tzinfo=UTC)


@pytest.fixture
def ready(garment):
    """A garment that is planned to be ready to try on by Tuesday noon."""
    make_task(garment, 3, "sew", 60, planned_start_at=NOW, planned_end_at=TEN - 22 * HOUR)
    return garment


def test_free_fitting_slots_begin_when_the_garment_is_ready(place, ready, now):
    found = free_fitting_slots(ready, now, limit=4)

    assert [(slot.starts_at, slot.ends_at, slot.fitter.name) for slot in found] == [
        (TEN - 22 * HOUR, TEN - 21 * HOUR, "Ada"),
        (TEN - 20 * HOUR, TEN - 19 * HOUR, "Ada"),
        (TEN - 19.5 * HOUR, TEN - 18.5 * HOUR, "Ada"),
        (TEN - 19 * HOUR, TEN - 18 * HOUR, "Ada"),
    ]


def test_free_fitting_slots_leave_out_absences_fittings_and_the_due_day(place, ready, now):
    Closure.objects.create(
        workshop=place.workshop, staff=place.ada, from_on=date(2025, 3, 25), to_on=date(2025, 4, 2)
    )
    book_fitting(
        garment=make_garment(place.workshop),
        starts_at=datetime(2025, 4, 3, 9, 0, tzinfo=UTC),
        now=now,
        by=place.ada,
        length=3 * HOUR,
    )

    # Due on 4 April: only the 3rd is left, in summer time: 10:00 to 13:00 (9 to 12 UTC) is taken.
    assert [slot.starts_at.hour + slot.starts_at.minute / 60 for slot in free_fitting_slots(ready, now)] == [
        8, 13, 13.5, 14, 14.5, 15, 15.5, 16,
    ]  # fmt: skip


def test_free_fitting_slots_wait_a_week_for_what_is_not_drafted(place, now):
    garment = make_garment(place.workshop, stage=Stage.MEASURE, due_on=date(2025, 5, 1))

    assert free_fitting_slots(garment, now, limit=1)[0].starts_at == datetime(2025, 3, 31, 9, 0, tzinfo=UTC)


def test_book_fitting_by_the_customer(place, ready, now):
    fitting = book_fitting(garment=ready, starts_at=TEN, now=now)

    assert (fitting.fitter, fitting.starts_at, fitting.ends_at) == (place.ada, TEN, TEN + HOUR)
    assert fitting.chosen_by_customer is True
    assert [(e.actor, e.action) for e in LogEntry.objects.all()] == [("the customer", "book fitting")]
    assert [(job.kind, job.key) for job in Job.objects.all()] == [("refresh_plan", "plan")]


@pytest.mark.parametrize("shift", [-HOUR / 2, timedelta(0), HOUR / 2])
def test_book_fitting_refuses_a_busy_fitter_and_names_the_next_time(shift, place, ready, now):
    other = make_garment(place.workshop)
    booked = book_fitting(garment=other, starts_at=TEN, now=now, by=place.ada)

    with pytest.raises(FitterBusy) as refusal:
        book_fitting(garment=ready, starts_at=TEN + shift, now=now)

    # 10:00 to 11:00 is taken, so the next one that is offered begins at 11:00.
    assert refusal.value.next_at == TEN + HOUR
    assert str(refusal.value) == (
        "Somebody was quicker: that time is taken; the next free time is Wednesday 26 March 2025, 11:00."
    )
    assert list(Fitting.objects.all()) == [booked]


def test_book_fitting_offers_the_first_time_where_none_is_later(place, ready, now):
    last = free_fitting_slots(ready, now, limit=500)[-1].starts_at
    book_fitting(garment=make_garment(place.workshop), starts_at=last, now=now, by=place.ada)

    with pytest.raises(FitterBusy) as refusal:
        book_fitting(garment=ready, starts_at=last, now=now)

    assert refusal.value.next_at == TEN - 22 * HOUR


def test_book_fitting_takes_the_other_fitter_where_one_is_busy(place, ready, now):
    cy = make_staff(place.workshop, "Cy", Role.APPRENTICE, ["fit"])
    book_fitting(garment=make_garment(place.workshop), starts_at=TEN, now=now, by=place.ada, fitter=place.ada)

    assert book_fitting(garment=ready, starts_at=TEN, now=now).fitter == cy


def test_book_fitting_refuses_what_is_not_offered(place, ready, now):
    with pytest.raises(TimeNotOffered, match="has passed"):
        book_fitting(garment=ready, starts_at=now, now=now)
    with pytest.raises(TimeNotOffered, match="closed then"):
        book_fitting(garment=ready, starts_at=TEN + 2.5 * HOUR, now=now)
    with pytest.raises(TimeNotOffered, match="two years"):
        book_fitting(garment=ready, starts_at=TEN + timedelta(days=3000), now=now)
    with pytest.raises(NothingToTryOn, match="not be ready to try on before Tuesday 25 March 2025, 12:00"):
        book_fitting(garment=ready, starts_at=TEN - 25 * HOUR, now=now)
    assert Fitting.objects.count() == 0


def test_book_fitting_lets_the_owner_bend_the_hours(place, ready, now):
    lunch = TEN + 3.5 * HOUR

    assert book_fitting(garment=ready, starts_at=lunch, now=now, by=place.ada).starts_at == lunch


def test_book_fitting_refuses_a_second_one_and_what_is_gone(place, ready, now):
    book_fitting(garment=ready, starts_at=TEN, now=now)
    with pytest.raises(NothingToTryOn, match="booked already, Wednesday 26 March 2025, 10:00; move that one"):
        book_fitting(garment=ready, starts_at=TEN + 5 * HOUR, now=now)
    with pytest.raises(NothingToTryOn, match="is delivered"):
        book_fitting(garment=make_garment(place.workshop, stage=Stage.DELIVERED), starts_at=TEN, now=now)
    assert Fitting.objects.count() == 1


def test_move_fitting_keeps_length_and_counts_moves(place, ready, now):
    fitting = book_fitting(garment=ready, starts_at=TEN, now=now)

    moved = move_fitting(fitting=fitting, starts_at=TEN + HOUR / 2, now=now)

    assert (moved.pk, moved.starts_at, moved.ends_at) == (fitting.pk, TEN + HOUR / 2, TEN + 1.5 * HOUR)
    assert (moved.sequence, moved.fitter) == (1, place.ada)


def test_move_and_cancel_fitting_are_the_workshops_within_a_day(place, ready, now):
    fitting = book_fitting(garment=ready, starts_at=TEN, now=now)
    late = TEN - 23 * HOUR

    with pytest.raises(FittingClosed, match="less than a day away; please call The Needle on 555"):
        move_fitting(fitting=fitting, starts_at=TEN + 24 * HOUR, now=late)
    with pytest.raises(FittingClosed, match="less than a day away; please call The Needle on 555"):
        cancel_fitting(fitting=fitting, now=late)

    moved = move_fitting(fitting=fitting, starts_at=TEN + HOUR / 2, now=late, by=place.ada)
    assert moved.starts_at == TEN + HOUR / 2
    assert cancel_fitting(fitting=fitting, now=late, by=place.ada).cancelled_at == late


def test_free_fitting_slots_of_a_fitting_that_moves_reckon_with_its_own_time(place, ready, now):
    fitting = book_fitting(garment=ready, starts_at=TEN, now=now)

    beside = {slot.starts_at for slot in free_fitting_slots(ready, now, limit=500)}
    moved = {slot.starts_at for slot in free_fitting_slots(ready, now, limit=500, moved=fitting)}

    # An hour from 10: half an hour before and after it become free, its own start is no other time.
    assert moved - beside == {TEN - HOUR / 2, TEN + HOUR / 2}
    assert beside <= moved


def test_move_fitting_by_the_customer_ends_after_three_times(place, ready, now):
    fitting = book_fitting(garment=ready, starts_at=TEN, now=now)
    for number in range(1, 4):
        fitting = move_fitting(fitting=fitting, starts_at=TEN + number * HOUR / 2, now=now)

    with pytest.raises(FittingClosed, match="moved 3 times already; please call The Needle on 555"):
        move_fitting(fitting=fitting, starts_at=TEN, now=now)
    assert move_fitting(fitting=fitting, starts_at=TEN, now=now, by=place.ada).sequence == 4


def test_move_fitting_refuses_the_time_that_it_has(place, ready, now):
    fitting = book_fitting(garment=ready, starts_at=TEN, now=now)

    with pytest.raises(TimeNotOffered, match="at that time already"):
        move_fitting(fitting=fitting, starts_at=TEN, now=now)
    assert move_fitting(fitting=fitting, starts_at=TEN, now=now, by=place.ada, fitter=place.bo).sequence == 1


@pytest.mark.parametrize(
    ("hours", "words"), [(0, ""), (1, "an hour"), (24, "a day"), (36, "36 hours"), (72, "3 days")]
)
def test_the_workshop_says_until_when_customers_change_a_fitting(place, ready, now, hours, words):
    fitting = book_fitting(garment=ready, starts_at=TEN, now=now)
    type(place.workshop).objects.update(fitting_notice_hours=hours)

    assert cancel_fitting(fitting=fitting, now=TEN - hours * HOUR).cancelled_at == TEN - hours * HOUR
    again = book_fitting(garment=ready, starts_at=TEN, now=now)
    late = TEN - hours * HOUR + timedelta(seconds=1)
    with pytest.raises(FittingClosed, match=f"less than {words}"):
        cancel_fitting(fitting=again, now=late)


def test_release_fittings_gives_back_what_is_left_of_cancelled_orders(place, ready, now):
    fitting = book_fitting(garment=ready, starts_at=TEN, now=now)
    other = book_fitting(garment=make_garment(place.workshop), starts_at=TEN + HOUR, now=now, by=place.ada)
    ready.order.cancelled_at = now
    ready.order.save(update_fields=["cancelled_at"])

    assert [release_fittings(workshop=place.workshop, now=now) for _ in range(2)] == [1, 0]

    fitting.refresh_from_db()
    other.refresh_from_db()
    assert (fitting.cancelled_at, fitting.sequence, other.cancelled_at) == (now, 1, None)


def test_cancel_fitting_frees_its_time_once(place, ready, now):
    fitting = book_fitting(garment=ready, starts_at=TEN, now=now)

    cancelled = cancel_fitting(fitting=fitting, now=now)

    assert (cancelled.cancelled_at, cancelled.sequence) == (now, 1)
    with pytest.raises(FittingClosed, match="cancelled already"):
        cancel_fitting(fitting=fitting, now=now)
    assert (
        book_fitting(garment=make_garment(place.workshop), starts_at=TEN, now=now, by=place.ada).starts_at
        == TEN
    )


CUSTOMERS, TIMES, AT_ONCE = 100, 20, 50
"""So many threads serve the customers: a new PostgreSQL takes no more than about a hundred connections."""


@pytest.mark.django_db(transaction=True)
def test_book_fitting_of_a_hundred_customers_among_twenty_times_at_once():
    """Every time goes to one of those who wish it, each of the others is answered, nobody is booked twice."""
    place = make_place()
    garments = [make_garment(place.workshop, due_on=date(2025, 3, 29)) for _ in range(CUSTOMERS)]
    for garment in garments:
        make_task(garment, 3, "sew", 60, planned_start_at=NOW, planned_end_at=NOW + HOUR)
    times = twenty_times(garments[0])
    gate = threading.Barrier(AT_ONCE)

    def choose(number: int) -> object:
        if number < AT_ONCE:
            gate.wait()
        try:
            return book_fitting(garment=garments[number], starts_at=times[number % TIMES], now=NOW)
        except FitterBusy as refusal:
            return refusal
        finally:
            connection.close()

    with ThreadPoolExecutor(AT_ONCE) as customers:
        answers = list(customers.map(choose, range(CUSTOMERS)))

    booked = [answer for answer in answers if isinstance(answer, Fitting)]
    refused = [answer for answer in answers if isinstance(answer, FitterBusy)]
    assert (len(booked), len(refused)) == (TIMES, CUSTOMERS - TIMES)
    assert sorted(fitting.starts_at for fitting in Fitting.objects.all()) == times
    assert Fitting.objects.filter(pk__in=[fitting.pk for fitting in booked]).count() == TIMES
    assert all(str(answer).startswith("Somebody was quicker: that time is taken; ") for answer in refused)


def twenty_times(garment) -> list[datetime]:
    """Twenty free times that are an hour apart, so that no two of them overlap."""
    free = [slot.starts_at for slot in free_fitting_slots(garment, NOW, limit=500)]
    found = [start for start in free if start.minute == 0][:TIMES]
    assert len(found) == TIMES
    return found


@pytest.mark.django_db(transaction=True)
def test_book_fitting_offers_the_losers_the_next_time_until_none_is_left():
    """Customers who wish overlapping times and follow the offer they get: no two fittings overlap, every time
    is booked, and those left over are told so."""
    place = make_place()
    customers = 24
    garments = [make_garment(place.workshop, due_on=date(2025, 3, 27)) for _ in range(customers)]
    for garment in garments:
        make_task(garment, 3, "sew", 60, planned_start_at=NOW, planned_end_at=NOW + 24 * HOUR)
    first = free_fitting_slots(garments[0], NOW, limit=1)[0].starts_at
    gate = threading.Barrier(customers)

    def insist(number: int) -> object:
        gate.wait()
        garment, wished = garments[number], first + number % 2 * HOUR / 2
        try:
            while True:
                try:
                    return book_fitting(garment=garment, starts_at=wished, now=NOW)
                except FitterBusy as refusal:
                    if refusal.next_at is None:
                        return refusal
                    wished = refusal.next_at
        finally:
            connection.close()

    with ThreadPoolExecutor(customers) as threads:
        answers = list(threads.map(insist, range(customers)))

    booked = [answer for answer in answers if isinstance(answer, Fitting)]
    spans = sorted((fitting.starts_at, fitting.ends_at) for fitting in Fitting.objects.all())
    assert len(answers) == customers
    assert len(booked) == Fitting.objects.count() > 0
    assert all(end <= start for (_, end), (start, _) in pairwise(spans))
    assert free_fitting_slots(garments[0], NOW, limit=1) == []
    assert {str(answer) for answer in answers if isinstance(answer, FitterBusy)} == {
        "Somebody was quicker: that time is taken; no other time is free."
    }
