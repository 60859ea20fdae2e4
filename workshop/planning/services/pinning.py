"""The owner decides who does a task and when; a new plan leaves it there."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from django.db import transaction

from workshop.errors import Refusal
from workshop.orders.services.asking import ask_for_plan
from workshop.people.models import Staff
from workshop.people.services.checking import require_owner, require_same_workshop
from workshop.people.services.log import write_log
from workshop.planning.models import Task

FURTHEST = timedelta(days=730)


class CannotPin(Refusal):
    """The task cannot be put there."""


@transaction.atomic
def pin_task(*, task: Task, staff: Staff, starts_at: datetime, by: Staff, now: datetime) -> Task:
    """Put a task to a person and a time, and ask for a plan around it.

    Raises:
        CannotPin: it is begun or done, or the time is past or out of reach.
        Refusal: somebody other than the owner asks.
    """
    require_owner(by, "pin a task")
    require_same_workshop(task.workshop, by, staff)
    held = _locked(task)
    if starts_at < now:
        raise CannotPin("That time has passed; choose a later one.", field="starts_at")
    if starts_at - now > FURTHEST:
        raise CannotPin("That is more than two years away; choose an earlier time.", field="starts_at")
    before = {"staff": held.staff_id, "planned_start_at": held.planned_start_at}
    held.pinned, held.staff, held.planned_start_at = True, staff, starts_at
    # Until the plan knows better: its hours and the person's pace may stretch it.
    held.planned_end_at = starts_at + timedelta(minutes=held.minutes_planned)
    held.save(update_fields=["pinned", "staff", "planned_start_at", "planned_end_at"])
    _note(held, by, "pin task", f"Pinned '{held.title}' to {staff.name}", now=now, before=before)
    return held


@transaction.atomic
def unpin_task(*, task: Task, by: Staff, now: datetime) -> Task:
    """Leave a task to the plan again. Unpinned twice, nothing changes.

    Raises:
        CannotPin: it is begun or done.
        Refusal: somebody other than the owner asks.
    """
    require_owner(by, "unpin a task")
    require_same_workshop(task.workshop, by)
    held = _locked(task)
    if held.pinned:
        held.pinned = False
        held.save(update_fields=["pinned"])
        _note(held, by, "unpin task", f"Left '{held.title}' to the plan", now=now, before={"pinned": True})
    return held


def _locked(task: Task) -> Task:
    held = Task.objects.select_for_update(of=("self",)).select_related("workshop", "garment").get(pk=task.pk)
    if held.done_at is not None or held.started_at is not None:
        raise CannotPin(f"'{held.title}' is {'done' if held.done_at else 'under way'} already.")
    return held


def _note(
    task: Task, by: Staff, action: str, summary: str, *, now: datetime, before: Mapping[str, object]
) -> None:
    write_log(
        workshop=task.workshop,
        by=by,
        action=action,
        row=task,
        order_id=task.garment.order_id,
        summary=f"{summary}, {task.garment.title}",
        now=now,
        before=before,
        after={"pinned": task.pinned, "staff": task.staff_id, "planned_start_at": task.planned_start_at},
    )
    ask_for_plan(task.workshop, now)
