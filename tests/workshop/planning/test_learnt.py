"""What timed tasks teach about the minutes of the next garment."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from costing.models import Estimate
from costing.queries import learnt_corrections
from costing.rules.learning import TimedTask, learn
from tests.workshop.planning.conftest import make_garment, make_place, make_task
from workshop.planning.models import Task, TimeEntry
from workshop.planning.queries import minutes_of, pace_book, timed_tasks
from workshop.planning.rules.joining import FIRST_ADDED
from workshop.planning.services.pace import keep_pace


def time(task: Task, staff, minutes: float, now: datetime, *, done: bool = True, open_: bool = False) -> None:
    ended_at = None if open_ else now + timedelta(minutes=minutes)
    TimeEntry.objects.create(
        workshop=task.workshop, task=task, staff=staff, started_at=now, ended_at=ended_at
    )
    Task.objects.filter(pk=task.pk).update(done_at=now + timedelta(minutes=minutes) if done else None)


def estimate(garment, trying_on: int = 0) -> Estimate:
    """An estimate in which so many minutes are of an operation that no task stands for."""
    steps = [{"name": "Try on, pin and mark", "minutes": trying_on}] if trying_on else []
    return Estimate(workshop=garment.workshop, garment=garment, content={"operations": steps})


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

    assert sorted(timed_tasks(place.workshop), key=lambda task: task.group) == [
        TimedTask("finish", place.bo.pk, 60.0, 30.0),  # added by a fitting
        TimedTask("sew", place.bo.pk, 60.0, 75.0),
    ]


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

    found = minutes_of(garment, estimate(garment, 40))

    paces = {place.bo.pk: float(place.bo.speed), place.ada.pk: float(place.ada.speed)}
    learnt = learn([TimedTask("sew", place.bo.pk, 60.0, 90.0)] * 3, paces=paces)
    bo, ada = learnt.correction("sew", place.bo.pk), learnt.correction("sew", place.ada.pk)
    assert bo.factor > 1
    assert found.whole.standard == 240
    # 40 minutes stand for no task: trying on counts as it was reckoned.
    assert found.whole.expected == pytest.approx(100 * bo.factor + 100 * ada.factor + 40)
    assert found.whole.cautious > found.whole.expected
    assert [(row.title, row.standard, row.correction.count) for row in found.groups] == [("sew", 200, 3)]


def test_minutes_of_is_none_before_tasks_are_listed(garment):
    assert minutes_of(garment, estimate(garment)) is None


def test_minutes_of_takes_three_queries_with_one_timed_task_and_with_three(
    place, garment, now, django_assert_num_queries
):
    make_task(garment, 1, "sew", 60)
    other = make_garment(place.workshop)
    for position in (1, 2, 3):
        time(make_task(other, position, "sew", 60), place.bo, 90, now + position * timedelta(hours=3))
        with django_assert_num_queries(3):
            found = minutes_of(garment, estimate(garment))
        assert found.groups[0].correction.count == position


def test_timed_tasks_tell_the_kinds_of_operation_in_them(place, garment, now):
    steps = [
        {"name": "zip", "minutes": 30.0, "kind": "zip"},
        {"name": "side", "minutes": 10.0, "kind": "plain"},
    ]
    task = make_task(garment, 1, "sew", 40)
    Task.objects.filter(pk=task.pk).update(operations=steps)
    time(task, place.bo, 50, now)
    older = make_task(garment, 2, "sew", 40)
    Task.objects.filter(pk=older.pk).update(operations=[{"name": "side", "minutes": 10.0}])
    time(older, place.bo, 50, now)

    kinds = {task.kinds for task in timed_tasks(place.workshop)}

    assert kinds == {(("zip", 0.75), ("plain", 0.25)), ()}


def test_pace_book_lists_operations_work_and_workers(place, garment, now):
    for position in (1, 2, 3):
        task = make_task(garment, position, "sew", 60)
        steps = [{"name": "zip", "minutes": 60.0, "kind": "zip"}]
        Task.objects.filter(pk=task.pk).update(operations=steps)
        time(task, place.bo, 90 if position < 3 else 6000, now + position * timedelta(days=9))

    book = pace_book(place.workshop)

    assert (book.tasks, book.slips) == (2, 1)
    assert [(row.title, row.correction.count) for row in book.groups] == [("sew", 2)]
    assert [(row.title, row.correction.count) for row in book.kinds] == [("zip", 2)]
    assert [row.title for row in book.workers] == [f"{place.bo.name}, sew"]
    assert pace_book(make_place().workshop).tasks == 0


def test_keep_pace_hands_what_was_timed_to_the_prices(place, garment, now):
    task = make_task(garment, 1, "sew", 60)
    Task.objects.filter(pk=task.pk).update(operations=[{"name": "zip", "minutes": 60.0, "kind": "zip"}])
    time(task, place.bo, 120, now)

    for _ in range(2):
        kept = keep_pace(workshop=place.workshop, now=now)

    assert kept.tasks == 1
    found = learnt_corrections(place.workshop)
    assert list(found) == ["zip"]
    assert found["zip"].factor > 1
    assert found["zip"].count == 1
    assert learnt_corrections(make_place().workshop) == {}
