from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from costing.rules.labour import Group, Operation
from tests.workshop.planning.conftest import make_garment, make_task
from workshop.errors import Refusal
from workshop.people.models import LogEntry, Staff
from workshop.planning.services import pin_task, promise_day, replan, start_task, unpin_task
from workshop.planning.services.pinning import CannotPin
from workshop.planning.services.promising import DayPromise
from workshop.planning.services.replanning import CannotPlanWorkshop

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


SEWING = [Operation("cut", Group.CUT, 60), Operation("sew", Group.SEW, 420)]


def test_promise_day_is_the_day_after_the_work_beside_all_that_is_open(place, now):
    # Ada alone cuts and sews: 480 minutes fill Monday; the margin, 1.2816 x 0.25 x sqrt(60^2 + 420^2) =
    # 136, Tuesday.
    assert promise_day(workshop=place.workshop, operations=SEWING, now=now) == DayPromise(
        date(2025, 3, 25), date(2025, 3, 26)
    )

    make_task(make_garment(place.workshop), 3, "sew", 480)
    assert promise_day(workshop=place.workshop, operations=SEWING, now=now) == DayPromise(
        date(2025, 3, 26), date(2025, 3, 27)
    )


def test_promise_day_refuses_where_nobody_is_there(place, now):
    Staff.objects.filter(workshop=place.workshop).update(weekly_minutes=0)

    with pytest.raises(CannotPlanWorkshop, match="fits in nobody's hours"):
        promise_day(workshop=place.workshop, operations=SEWING, now=now)
