"""What timed tasks teach about the minutes of the next garment."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from costing.models import Estimate
from costing.rules.learning import TimedTask, learn
from tests.workshop.planning.conftest import make_garment, make_place, make_task
from workshop.planning.models import Task, TimeEntry
from workshop.planning.queries import minutes_of, timed_tasks
from workshop.planning.rules.joining import FIRST_ADDED


def time(task: Task, staff, minutes: float, now: datetime, *, done: bool = True, open_: bool = False) -> None:
    ended_at = None if open_ else now + timedelta(minutes=minutes)
    TimeEntry.objects.create(
        workshop=task.workshop, task=task, staff=staff, started_at=now, ended_at=ended_at
    )
    Task.objects.filter(pk=task.pk).update(done_at=now + timedelta(minutes=minutes) if done else None)


def estimate(garment, minutes: int) -> Estimate:
    return Estimate(workshop=garment.workshop, garment=garment, minutes=minutes)


def test_timed_tasks_are_finished_by_one_and_timed_to_the_end(place, garment, now):
    task = make_task(garment, 1, "sew", 60)
    time(task, place.bo, 30, now)
    time(task, place.bo, 45, now + timedelta(hours=2))
    for position, how in (
        (2, {"done": False}),
        (3, {"open_": True}),
        (FIRST_ADDED, {}),
    ):
        time(make_task(garment, position, "finish", 60), place.bo, 30, now, **how)
    shared = make_task(garment, 4, "press", 60)
    time(shared, place.bo, 30, now)
    time(shared, place.ada, 30, now)
    make_task(garment, 5, "cut", 60)

    assert timed_tasks(place.workshop) == [TimedTask("sew", place.bo.pk, 60.0, 75.0)]


def test_timed_tasks_are_of_one_workshop(place, garment, now):
    time(make_task(garment, 1, "sew", 60), place.bo, 30, now)

    assert len(timed_tasks(place.workshop)) == 1
    assert timed_tasks(make_place().workshop) == []


def test_minutes_of_correct_each_task_for_the_person_it_is_planned_for(place, garment, now):
    other = make_garment(place.workshop)
    for position in (1, 2, 3):
        time(make_task(other, position, "sew", 60), place.bo, 90, now + position * timedelta(hours=3))
    for staff, position in ((place.bo, 1), (place.ada, 2)):
        Task.objects.filter(pk=make_task(garment, position, "sew", 100).pk).update(staff=staff)

    found = minutes_of(garment, estimate(garment, 240))

    learnt = learn([TimedTask("sew", place.bo.pk, 60.0, 90.0)] * 3)
    bo, ada = learnt.correction("sew", place.bo.pk), learnt.correction("sew", place.ada.pk)
    assert bo.factor > ada.factor > 1
    assert found.whole.standard == 240
    # 40 minutes stand for no task: trying on counts as it was reckoned.
    assert found.whole.expected == pytest.approx(100 * bo.factor + 100 * ada.factor + 40)
    assert found.whole.cautious > found.whole.expected
    assert [(row.title, row.standard, row.correction.count) for row in found.groups] == [("sew", 200, 3)]


def test_minutes_of_is_none_before_tasks_are_listed(garment):
    assert minutes_of(garment, estimate(garment, 240)) is None


def test_minutes_of_takes_two_queries_with_one_timed_task_and_with_three(
    place, garment, now, django_assert_num_queries
):
    make_task(garment, 1, "sew", 60)
    other = make_garment(place.workshop)
    for position in (1, 2, 3):
        time(make_task(other, position, "sew", 60), place.bo, 90, now + position * timedelta(hours=3))
        with django_assert_num_queries(2):
            found = minutes_of(garment, estimate(garment, 60))
        assert found.groups[0].correction.count == position
