"""The timer at the bench: who works on what, from when to when."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from workshop import jobs
from workshop.errors import Refusal
from workshop.orders.models import Stage
from workshop.people.models import Staff
from workshop.people.services.checking import require_same_workshop
from workshop.people.services.log import write_log
from workshop.planning.models import Task, TaskGroup, TimeEntry

FIRST_STAGE = {TaskGroup.CUT: Stage.CUT, TaskGroup.PREPARE: Stage.CUT}
"""The stage from which on a kind of task may be begun; all others from sewing on."""

_STAGES = list(Stage)


class TaskNotOpen(Refusal):
    """The task cannot be worked on now."""


class AlreadyWorking(Refusal):
    """One person does one thing at a time, and one task is one person's at a time."""


class NotRunning(Refusal):
    """There is no timer to stop."""


@transaction.atomic
def start_task(*, task: Task, staff: Staff, now: datetime) -> TimeEntry:
    """Start the person's timer on the task. Started twice by the same person, the running timer is returned.

    Raises:
        AlreadyWorking: the person has another timer running, or somebody else works on the task.
        TaskNotOpen: it is done, or its garment is not at a stage for it.
    """
    require_same_workshop(task.workshop, staff)
    # The two rows that two hands could share: the person, who may press twice, and the task, wanted by two.
    Staff.objects.select_for_update().get(pk=staff.pk)
    held = Task.objects.select_for_update().select_related("garment", "garment__order").get(pk=task.pk)
    running = TimeEntry.objects.filter(staff=staff, ended_at__isnull=True).select_related("task").first()
    if running is not None and running.task_id == held.pk:
        return running
    if running is not None:
        raise AlreadyWorking(f"Your timer runs on '{running.task.title}'; stop it first.")
    other = TimeEntry.objects.filter(task=held, ended_at__isnull=True).select_related("staff").first()
    if other is not None:
        raise AlreadyWorking(f"{other.staff.name} is working on '{held.title}'; choose another task.")
    _refuse_closed(held)
    entry = TimeEntry.objects.create(workshop=held.workshop, task=held, staff=staff, started_at=now)
    held.started_at = held.started_at or now
    held.staff = staff
    held.save(update_fields=["started_at", "staff"])
    _log(held, staff, "start task", f"Began '{held.title}'", now)
    return entry


@transaction.atomic
def stop_task(*, task: Task, staff: Staff, now: datetime, done: bool) -> TimeEntry:
    """Stop the person's timer on the task; ``done`` says that nothing of it is left.

    Raises:
        NotRunning: the person has no timer on it.
    """
    require_same_workshop(task.workshop, staff)
    Staff.objects.select_for_update().get(pk=staff.pk)
    held = Task.objects.select_for_update().select_related("garment").get(pk=task.pk)
    entry = TimeEntry.objects.filter(task=held, staff=staff, ended_at__isnull=True).first()
    if entry is None:
        raise NotRunning(f"Your timer does not run on '{held.title}'; it may have been stopped already.")
    entry.ended_at = max(now, entry.started_at)
    entry.save(update_fields=["ended_at"])
    if done:
        held.done_at = entry.ended_at
        held.save(update_fields=["done_at"])
        _learn(held)
    _log(held, staff, "stop task", f"{'Finished' if done else 'Stopped'} '{held.title}'", now)
    return entry


@transaction.atomic
def finish_task(*, task: Task, staff: Staff, now: datetime) -> Task:
    """Note that a task is done, timed or not; timers that run on it stop.

    Raises:
        TaskNotOpen: it is done already, or its garment is not at a stage for it.
    """
    require_same_workshop(task.workshop, staff)
    held = Task.objects.select_for_update().select_related("garment", "garment__order").get(pk=task.pk)
    _refuse_closed(held)
    for entry in TimeEntry.objects.filter(task=held, ended_at__isnull=True).order_by("pk"):
        entry.ended_at = max(now, entry.started_at)
        entry.save(update_fields=["ended_at"])
    held.started_at = held.started_at or now
    held.done_at = now
    held.staff = held.staff or staff
    held.save(update_fields=["started_at", "done_at", "staff"])
    _learn(held)
    _log(held, staff, "finish task", f"Finished '{held.title}'", now)
    return held


def _learn(task: Task) -> None:
    """What was timed to its end teaches the next estimate."""
    jobs.request(kind="learn_minutes", key="minutes", workshop=task.workshop, again=True)


def _refuse_closed(task: Task) -> None:
    garment = task.garment
    if task.done_at is not None:
        raise TaskNotOpen(f"'{task.title}' is done already.")
    if garment.order.cancelled_at is not None:
        raise TaskNotOpen(f"{garment.title} was cancelled; leave it.")
    if garment.stage == Stage.DELIVERED:
        raise TaskNotOpen(f"{garment.title} is delivered; there is nothing left to do on it.")
    first = FIRST_STAGE.get(TaskGroup(task.group), Stage.SEW)
    if _STAGES.index(Stage(garment.stage)) < _STAGES.index(first):
        raise TaskNotOpen(
            f"{garment.title} is still at '{garment.stage}'; '{task.title}' begins once the owner has moved "
            f"it to '{first}'."
        )


def _log(task: Task, staff: Staff, action: str, summary: str, now: datetime) -> None:
    write_log(
        workshop=task.workshop,
        by=staff,
        action=action,
        row=task,
        order_id=task.garment.order_id,
        summary=f"{summary} of {task.garment.title}",
        now=now,
    )
