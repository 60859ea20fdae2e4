"""What timed tasks teach about the minutes of the next garment."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from costing.models import Estimate
from costing.rules.learning import (
    Correction,
    Forecast,
    Learnt,
    Stretch,
    TimedTask,
    forecast,
    learn,
    operation_corrections,
)
from workshop.orders.models import Garment
from workshop.people.models import Staff, Workshop
from workshop.planning.models import Task, TaskGroup, TimeEntry
from workshop.planning.queries.after import minutes_spent
from workshop.planning.rules.common_noise import Residual, garment_spread
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
    """Return the finished tasks that one worker did and timed from beginning to end, in one query."""
    return [timed for _, timed in timed_of_garments(workshop)]


def timed_of_garments(workshop: Workshop) -> list[tuple[int, TimedTask]]:
    """Return the timed tasks, each with the key of its garment, in one query.

    A task that two people timed says nothing of either. What a fitting added counts by what was reckoned for
    it then.
    """
    rows = TimeEntry.objects.filter(workshop=workshop, task__done_at__isnull=False)
    by_task: dict[int, list[TimeEntry]] = {}
    for entry in rows.select_related("task").order_by("-started_at", "-pk")[:LAST_ENTRIES]:
        by_task.setdefault(entry.task_id, []).append(entry)
    return [(entries[0].task.garment_id, timed) for entries in by_task.values() for timed in _whole(entries)]


def paces_of(workshop: Workshop) -> dict[int, float]:
    """What the owner says of each worker's pace, in one query: 1 = the standard."""
    rows = Staff.objects.filter(workshop=workshop).values_list("pk", "speed")
    return {pk: float(speed) for pk, speed in rows}


def learnt_of(workshop: Workshop) -> Learnt:
    """Return what the workshop's timed tasks teach, in two queries."""
    return learn(timed_tasks(workshop), paces=paces_of(workshop))


def learnt_with_spread(workshop: Workshop) -> tuple[Learnt, float]:
    """Return what the workshop's timed tasks teach, and how far a garment is harder than its estimate knows,
    in two queries."""
    rows = timed_of_garments(workshop)
    learnt = learn([timed for _, timed in rows], paces=paces_of(workshop))
    return learnt, garment_spread(_residuals(rows, learnt))


def _residuals(rows: Iterable[tuple[int, TimedTask]], learnt: Learnt) -> Iterator[Residual]:
    for garment_id, timed in rows:
        if not timed.is_slip:
            known = learnt.correction(timed.group, timed.worker, timed.kinds)
            scatter = learnt.scatter_of(timed.group)
            yield Residual(garment_id, timed.log_ratio - known.mean + scatter**2 / 2)


def _whole(entries: list[TimeEntry]) -> Iterator[TimedTask]:
    """The task of these entries, where they tell all of it."""
    task, workers = entries[0].task, {entry.staff_id for entry in entries}
    if len(workers) == 1 and all(entry.ended_at is not None for entry in entries):
        spent = minutes_spent(entries)[task.pk]
        yield TimedTask(task.group, workers.pop(), float(task.minutes_planned), spent, kinds_in(task))


def kinds_in(task: Task) -> tuple[tuple[str, float], ...]:
    """The kinds of operation of a task by their share of its minutes; empty where it does not tell them."""
    sums: dict[str, float] = {}
    for step in task.operations:
        kind, minutes = step.get("kind", ""), float(step.get("minutes", 0.0))
        if not kind:
            return ()
        sums[kind] = sums.get(kind, 0.0) + minutes
    whole = sum(sums.values())
    return tuple((kind, minutes / whole) for kind, minutes in sums.items()) if whole else ()


def minutes_of(garment: Garment, estimate: Estimate) -> Minutes | None:
    """Return the minutes that a garment will take, in three queries; None before its tasks are listed.

    Each task is corrected for the person it is planned for; what no task stands for (trying on) counts as it
    was reckoned.
    """
    tasks = list(Task.objects.filter(garment=garment, position__lt=FIRST_ADDED).order_by("position"))
    if not tasks:
        return None
    learnt = learnt_of(garment.workshop)
    listed = {step["name"] for task in tasks for step in task.operations}
    rest = sum(step["minutes"] for step in estimate.content["operations"] if step["name"] not in listed)
    return Minutes(tuple(_groups(tasks, learnt)), forecast(learnt, map(_stretch, tasks), fixed=rest))


def _stretch(task: Task) -> Stretch:
    return Stretch(task.group, task.staff_id, float(task.minutes_planned), kinds_in(task))


def _groups(tasks: list[Task], learnt: Learnt) -> Iterator[GroupForecast]:
    """By kind of work; the correction shown is that of its longest task."""
    for group in TaskGroup:
        work = [_stretch(task) for task in tasks if task.group == group]
        if work:
            made = forecast(learnt, work)
            longest = max(work, key=lambda row: row.minutes)
            correction = learnt.correction(group, longest.worker, longest.kinds)
            counted = replace(correction, count=learnt.counts.get(("group", str(group)), 0))
            yield GroupForecast(str(group.label), made.standard, made.expected, counted)


@dataclass(frozen=True, slots=True)
class PaceRow:
    """A kind of operation, or a worker in a kind of work: what its minutes come to, of the standard."""

    title: str
    correction: Correction


@dataclass(frozen=True, slots=True)
class PaceBook:
    """What the workshop's timed tasks taught.

    Args:
        tasks: how many; ``slips`` of them were left out.
        groups: kinds of work, at the standard pace.
        kinds: kinds of operation, the furthest from the standard first.
        workers: each worker in each kind of work that she was timed at.
        unknown: how far a standard is off before anything is timed, four times in five.
    """

    tasks: int
    slips: int
    groups: tuple[PaceRow, ...]
    kinds: tuple[PaceRow, ...]
    workers: tuple[PaceRow, ...]
    unknown: tuple[float, float]


def pace_book(workshop: Workshop) -> PaceBook:
    """Return what timed work taught, by operation and by worker, in three queries."""
    timed = timed_tasks(workshop)
    learnt = learn(timed, paces=paces_of(workshop))
    kinds = operation_corrections(learnt)
    return PaceBook(
        tasks=sum(1 for task in timed if not task.is_slip),
        slips=sum(1 for task in timed if task.is_slip),
        groups=tuple(
            PaceRow(str(group.label), _counted(learnt, ("group", str(group)), learnt.correction(group)))
            for group in TaskGroup
            if ("group", str(group)) in learnt.counts
        ),
        kinds=tuple(
            PaceRow(kind, known) for kind, known in sorted(kinds.items(), key=lambda row: -abs(row[1].mean))
        ),
        workers=tuple(_workers(workshop, learnt)),
        unknown=Correction().interval,
    )


def _workers(workshop: Workshop, learnt: Learnt) -> Iterator[PaceRow]:
    for person in Staff.objects.filter(workshop=workshop).order_by("name", "pk"):
        for group in TaskGroup:
            unknown = ("worker", str(group), str(person.pk))
            if unknown in learnt.counts:
                known = learnt.correction(group, person.pk)
                yield PaceRow(f"{person.name}, {group.label}", _counted(learnt, unknown, known))


def _counted(learnt: Learnt, unknown: tuple[str, ...], known: Correction) -> Correction:
    return replace(known, count=learnt.counts[unknown])
