from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tests.workshop.planning.conftest import make_task
from workshop.errors import Refusal
from workshop.people.models import LogEntry
from workshop.planning.services import pin_task, replan, start_task, unpin_task
from workshop.planning.services.pinning import CannotPin

WEDNESDAY = datetime(2025, 3, 26, 15, 0, tzinfo=UTC)
HOUR = timedelta(hours=1)


def test_pin_task_holds_against_a_new_plan_until_unpinned(place, garment, now):
    task = make_task(garment, 3, "sew", 60)

    pin_task(task=task, staff=place.bo, starts_at=WEDNESDAY, by=place.ada, now=now)
    replan(workshop=place.workshop, now=now, seconds=1)
    task.refresh_from_db()
    assert (task.staff, task.planned_start_at, task.planned_end_at) == (place.bo, WEDNESDAY, WEDNESDAY + HOUR)

    unpin_task(task=task, by=place.ada, now=now)
    unpin_task(task=task, by=place.ada, now=now)
    replan(workshop=place.workshop, now=now, seconds=1)
    task.refresh_from_db()
    assert (task.staff, task.planned_start_at) == (place.ada, now)
    assert LogEntry.objects.filter(action="unpin task").count() == 1


def test_pin_task_refuses_the_past_the_begun_and_the_apprentice(place, garment, now):
    task = make_task(garment, 3, "sew", 60)

    with pytest.raises(CannotPin, match="has passed"):
        pin_task(task=task, staff=place.bo, starts_at=now - HOUR, by=place.ada, now=now)
    with pytest.raises(CannotPin, match="two years"):
        pin_task(task=task, staff=place.bo, starts_at=now + timedelta(days=999), by=place.ada, now=now)
    with pytest.raises(Refusal, match="Only the owner can pin a task"):
        pin_task(task=task, staff=place.bo, starts_at=WEDNESDAY, by=place.bo, now=now)
    start_task(task=task, staff=place.ada, now=now)
    with pytest.raises(CannotPin, match="under way already"):
        pin_task(task=task, staff=place.bo, starts_at=WEDNESDAY, by=place.ada, now=now)
    task.refresh_from_db()
    assert task.pinned is False
