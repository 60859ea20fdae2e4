from __future__ import annotations

from datetime import timedelta

import pytest

from costing.rules.labour import Group
from costing.rules.operation_list import operations
from drafting.output.contract import read_contract, to_contract
from tests.costing.drafts import slip
from tests.workshop.planning.conftest import make_task
from workshop.orders.models import Draft
from workshop.people.models import LogEntry
from workshop.planning.models import Task
from workshop.planning.services import start_task, sync_tasks

HOUR = timedelta(hours=1)


def make_draft(garment, output, now, version=1):
    return Draft.objects.create(
        workshop=garment.workshop,
        garment=garment,
        version=version,
        engine="1",
        inputs={},
        output=output,
        passed=True,
        created_at=now,
    )


@pytest.fixture
def output():
    return to_contract(slip())


def rows(garment):
    return list(Task.objects.filter(garment=garment).order_by("position").values())


def test_sync_tasks_lists_every_operation_but_the_trying_on_once(garment, output, now):
    make_draft(garment, output, now)

    tasks = sync_tasks(garment=garment, now=now)

    listed = operations(read_contract(output))
    kept = sorted(step.name for step in listed if not step.name.startswith("Try on"))
    assert sorted(step["name"] for task in tasks for step in task.operations) == kept
    assert [task.group for task in tasks][:2] == ["cut", "prepare"]
    for task in tasks:
        asked = sum(step["minutes"] for step in task.operations)
        assert asked - 0.1 <= task.minutes_planned < asked + 1.1
    assert any(step.group is Group.FIT for step in listed)
    assert {step["after_fitting"] for task in tasks for step in task.operations} == {False, True}


def test_sync_tasks_twice_changes_nothing(garment, output, now):
    make_draft(garment, output, now)
    sync_tasks(garment=garment, now=now)
    first = rows(garment)

    sync_tasks(garment=garment, now=now + HOUR)

    assert rows(garment) == first
    assert LogEntry.objects.filter(action="list tasks").count() == 1


def test_sync_tasks_keeps_what_is_begun_and_what_a_fitting_added(place, garment, output, now):
    draft = make_draft(garment, output, now)
    sewing = next(task for task in sync_tasks(garment=garment, now=now) if task.group == "sew")
    start_task(task=sewing, staff=place.ada, now=now)
    make_task(garment, 100, "alter", 30)
    draft.superseded_at = now
    draft.save()

    left = sync_tasks(garment=garment, now=now)

    # The garment is being sewn: its cutting is done.
    assert [task.group for task in left] == ["cut", "sew"]
    assert left[1] == sewing
    assert [row["group"] for row in rows(garment)] == ["cut", "sew", "alter"]


def test_sync_tasks_takes_over_a_new_draft_but_keeps_the_pin(place, garment, output, now):
    type(garment).objects.filter(pk=garment.pk).update(stage="draft")
    draft = make_draft(garment, output, now)
    cut = sync_tasks(garment=garment, now=now)[0]
    Task.objects.filter(pk=cut.pk).update(pinned=True, staff=place.ada, minutes_planned=1, operations=[])
    draft.superseded_at = now
    draft.save()
    make_draft(garment, output, now, version=2)

    again = sync_tasks(garment=garment, now=now)[0]

    assert (again.pk, again.pinned, again.staff) == (cut.pk, True, place.ada)
    assert (again.minutes_planned, again.operations) == (cut.minutes_planned, cut.operations)


@pytest.mark.parametrize(("stage", "done"), [("draft", False), ("cut", False), ("sew", True), ("fit", True)])
def test_sync_tasks_takes_cutting_for_done_once_the_garment_is_sewn(stage, done, garment, output, now):
    type(garment).objects.filter(pk=garment.pk).update(stage=stage)
    make_draft(garment, output, now)

    tasks = sync_tasks(garment=garment, now=now)

    assert [task.done_at for task in tasks if task.group == "cut"] == [now if done else None]
    assert [task.done_at for task in tasks if task.group != "cut"] == [None] * (len(tasks) - 1)


def test_sync_tasks_leaves_a_running_timer_on_cutting(place, garment, output, now):
    type(garment).objects.filter(pk=garment.pk).update(stage="cut")
    make_draft(garment, output, now)
    cut = sync_tasks(garment=garment, now=now)[0]
    start_task(task=cut, staff=place.ada, now=now)
    type(garment).objects.filter(pk=garment.pk).update(stage="sew")

    assert sync_tasks(garment=garment, now=now)[0].done_at is None


def test_sync_tasks_opens_again_what_was_done_from_an_older_draft(place, garment, output, now):
    draft = make_draft(garment, output, now)
    done = [task for task in sync_tasks(garment=garment, now=now) if task.done_at]
    type(garment).objects.filter(pk=garment.pk).update(stage="draft")
    draft.superseded_at = now
    draft.save()
    make_draft(garment, output, now + HOUR, version=2)

    again = sync_tasks(garment=garment, now=now + HOUR)

    assert [task.group for task in done] == ["cut"]
    assert [task.done_at for task in again] == [None] * len(again)
    assert again[0] == done[0]
