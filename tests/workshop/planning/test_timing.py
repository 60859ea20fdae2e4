from __future__ import annotations

from datetime import timedelta

import pytest

from tests.workshop.planning.conftest import make_garment, make_place, make_task
from workshop.errors import Refusal
from workshop.orders.models import Stage
from workshop.planning.models import TimeEntry
from workshop.planning.services import finish_task, start_task, stop_task
from workshop.planning.services.timing import AlreadyWorking, NotRunning, TaskNotOpen

HOUR = timedelta(hours=1)


def test_start_and_stop_task_keep_the_time(place, garment, now):
    task = make_task(garment, 1, "sew", 60)

    start_task(task=task, staff=place.bo, now=now)
    entry = stop_task(task=task, staff=place.bo, now=now + HOUR, done=False)
    start_task(task=task, staff=place.bo, now=now + 2 * HOUR)
    stop_task(task=task, staff=place.bo, now=now + 3 * HOUR, done=True)

    task.refresh_from_db()
    assert (entry.started_at, entry.ended_at) == (now, now + HOUR)
    assert (task.staff, task.started_at, task.done_at) == (place.bo, now, now + 3 * HOUR)
    assert TimeEntry.objects.filter(task=task).count() == 2


def test_start_task_twice_is_one_timer(place, garment, now):
    task = make_task(garment, 1, "sew", 60)

    first = start_task(task=task, staff=place.bo, now=now)

    assert start_task(task=task, staff=place.bo, now=now + HOUR) == first
    assert TimeEntry.objects.count() == 1


def test_start_task_refuses_a_second_task_or_a_second_person(place, garment, now):
    task, other = make_task(garment, 1, "sew", 60), make_task(garment, 2, "finish", 60)
    start_task(task=task, staff=place.bo, now=now)

    with pytest.raises(AlreadyWorking, match=r"^Your timer runs on 'Sew'; stop it first"):
        start_task(task=other, staff=place.bo, now=now)
    with pytest.raises(AlreadyWorking, match=r"^Bo is working on 'Sew'"):
        start_task(task=task, staff=place.ada, now=now)

    assert TimeEntry.objects.count() == 1


@pytest.mark.parametrize(
    ("group", "stage", "message"),
    [
        (
            "cut",
            Stage.DRAFT,
            "Blue dress is still at 'draft'; 'Cut' begins once the owner has moved it to 'cut'.",
        ),
        (
            "sew",
            Stage.CUT,
            "Blue dress is still at 'cut'; 'Sew' begins once the owner has moved it to 'sew'.",
        ),
        ("sew", Stage.DELIVERED, "Blue dress is delivered; there is nothing left to do on it."),
    ],
)
def test_start_task_refuses_before_its_stage(group, stage, message, place, now):
    task = make_task(make_garment(place.workshop, stage=stage), 1, group, 60)

    with pytest.raises(TaskNotOpen) as refusal:
        start_task(task=task, staff=place.bo, now=now)

    assert str(refusal.value) == message
    assert TimeEntry.objects.count() == 0


def test_start_task_refuses_what_is_done_cancelled_or_elsewhere(place, garment, now):
    task = make_task(garment, 1, "sew", 60)
    finish_task(task=task, staff=place.bo, now=now)
    with pytest.raises(TaskNotOpen, match="is done already"):
        start_task(task=task, staff=place.bo, now=now)

    cancelled = make_garment(place.workshop)
    cancelled.order.cancelled_at = now
    cancelled.order.save()
    with pytest.raises(TaskNotOpen, match="was cancelled"):
        start_task(task=make_task(cancelled, 1, "sew", 60), staff=place.bo, now=now)

    with pytest.raises(Refusal, match="There is no such staff in this workshop"):
        start_task(task=make_task(garment, 2, "sew", 60), staff=make_place().bo, now=now)


def test_stop_task_refuses_without_a_timer(place, garment, now):
    task = make_task(garment, 1, "sew", 60)

    with pytest.raises(NotRunning, match=r"^Your timer does not run on 'Sew'"):
        stop_task(task=task, staff=place.bo, now=now, done=True)


def test_finish_task_stops_the_timers_on_it(place, garment, now):
    task = make_task(garment, 1, "sew", 60)
    entry = start_task(task=task, staff=place.bo, now=now)

    finish_task(task=task, staff=place.ada, now=now + HOUR)

    entry.refresh_from_db()
    assert entry.ended_at == now + HOUR
