"""What timed tasks teach about the minutes of the next garment."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from costing.models import Estimate
from costing.rules.learning import Correction, Forecast, Learnt, TimedTask, forecast, learn
from workshop.orders.models import Garment
from workshop.people.models import Workshop
from workshop.planning.models import Task, TaskGroup, TimeEntry
from workshop.planning.queries.after import minutes_spent
from workshop.planning.rules.joining import FIRST_ADDED

LAST_ENTRIES = 5000
"""Older ones are left out: people change, and so does what they learnt from."""


@dataclass(frozen=True, slots=True)
class GroupForecast:
    """A kind of work of a garment: standard minutes, expected ones, and what corrects them."""

    title: str
    standard: float
    expected: float
    correction: Correction


@dataclass(frozen=True, slots=True)
class Minutes:
    """What a garment will take: by kind of work, and in all."""

    groups: tuple[GroupForecast, ...]
    whole: Forecast


def timed_tasks(workshop: Workshop) -> list[TimedTask]:
    """Return the finished tasks of drafts that one worker did and timed from beginning to end, in one query.

    A task that two people timed says nothing of either, and what a fitting added has no standard.
    """
    rows = TimeEntry.objects.filter(
        workshop=workshop, task__done_at__isnull=False, task__position__lt=FIRST_ADDED
    )
    by_task: dict[int, list[TimeEntry]] = {}
    for entry in rows.select_related("task").order_by("-started_at", "-pk")[:LAST_ENTRIES]:
        by_task.setdefault(entry.task_id, []).append(entry)
    return [timed for entries in by_task.values() for timed in _whole(entries)]


def _whole(entries: list[TimeEntry]) -> Iterator[TimedTask]:
    """The task of these entries, where they tell all of it."""
    task, workers = entries[0].task, {entry.staff_id for entry in entries}
    if len(workers) == 1 and all(entry.ended_at is not None for entry in entries):
        spent = minutes_spent(entries)[task.pk]
        yield TimedTask(task.group, workers.pop(), float(task.minutes_planned), spent)


def minutes_of(garment: Garment, estimate: Estimate) -> Minutes | None:
    """Return the minutes that a garment will take, in two queries; None before its tasks are listed.

    Each task is corrected for the person it is planned for; what no task stands for (trying on) counts as it
    was reckoned.
    """
    tasks = list(Task.objects.filter(garment=garment, position__lt=FIRST_ADDED).order_by("position"))
    if not tasks:
        return None
    learnt = learn(timed_tasks(garment.workshop))
    rest = max(0.0, estimate.minutes - sum(task.minutes_planned for task in tasks))
    return Minutes(tuple(_groups(tasks, learnt)), forecast(learnt, _work(tasks), fixed=rest))


def _work(tasks: list[Task]) -> list[tuple[str, int | None, float]]:
    """Kind of work, worker and minutes; what one person does of one kind is one stretch of work."""
    sums: dict[tuple[str, int | None], float] = {}
    for task in tasks:
        key = (task.group, task.staff_id)
        sums[key] = sums.get(key, 0.0) + task.minutes_planned
    return [(*key, minutes) for key, minutes in sums.items()]


def _groups(tasks: list[Task], learnt: Learnt) -> Iterator[GroupForecast]:
    for group in TaskGroup:
        work = _work([task for task in tasks if task.group == group])
        if work:
            made = forecast(learnt, work)
            _, worker, _ = max(work, key=lambda row: row[2])
            yield GroupForecast(
                str(group.label), made.standard, made.expected, learnt.correction(group, worker)
            )
