"""The workshop as a problem of planning: people as resources, garments as orders, their open tasks in
line."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TypeVar

from django.db.models import Prefetch

from costing.rules.labour import Group, Operation
from workshop.orders.models import Garment
from workshop.people.models import Staff, Workshop
from workshop.planning.models import Fitting, Task, TaskGroup, TimeEntry
from workshop.planning.queries.hours import Hours, able, hours_of
from workshop.planning.queries.noise import noise_of
from workshop.planning.queries.slots import busy_times
from workshop.planning.queries.week import left_in_turn, open_garments
from workshop.planning.rules import problem as rules
from workshop.planning.rules.calendar import Interval, MinuteAxis, whole_days, without
from workshop.planning.rules.errors import PlanningError
from workshop.planning.rules.joining import Joined, join, waits_for_fitting
from workshop.planning.rules.noise import KnownNoise
from workshop.planning.rules.openings import Openings

FIRST_DAYS_AHEAD = 120
MOST_DAYS_AHEAD = 960
LEFT_AT_LEAST = 10
"""Minutes that a task under way is taken to need still, however long it has taken already."""

Made = TypeVar("Made")


@dataclass
class Floor:
    """What is planned: the problem, and the stored task behind each of its tasks."""

    problem: rules.Problem
    axis: MinuteAxis
    people: Mapping[str, Staff]
    garments: list[Garment]
    rows: list[list[Task]]
    noise: Mapping[str, KnownNoise]
    conflicts: list[str] = field(default_factory=list)


def read_floor(workshop: Workshop, now: datetime, *, days_ahead: int) -> Floor:
    """Return the open work of the workshop as a problem whose minute 0 is the present one.

    Raises:
        BadProblem: something does not fit in the days ahead.
    """
    axis = MinuteAxis(now.replace(second=0, microsecond=0))
    today = workshop.day_of(now)
    hours = hours_of(workshop, today, today + timedelta(days=days_ahead))
    noise = noise_of(workshop)
    reader = _Reader(axis, hours, _openings(hours, axis, now), _running(workshop), noise)
    garments = open_work(workshop, now)
    rows = [left_in_turn(garment) for garment in garments]
    orders = tuple(reader.order(garment, row, now) for garment, row in zip(garments, rows, strict=True))
    people = {str(person.pk): person for person in hours.staff}
    resources = tuple(rules.Resource(name, reader.openings[name]) for name in people)
    made = rules.Problem(rules.Objective.TARDINESS, resources, orders)
    return Floor(made, axis, people, garments, rows, noise, reader.conflicts)


def on_floor(workshop: Workshop, now: datetime, work: Callable[[Floor], Made]) -> Made:
    """Return what ``work`` makes of the floor, looking further ahead as long as something does not fit.

    Raises:
        PlanningError: it does not fit however far ahead one looks.
    """
    days_ahead = FIRST_DAYS_AHEAD
    while True:
        try:
            return work(read_floor(workshop, now, days_ahead=days_ahead))
        except PlanningError:
            if days_ahead >= MOST_DAYS_AHEAD:
                raise
            days_ahead *= 2


def standing(floor: Floor, row: Sequence[Task]) -> list[tuple[str | None, int | None]]:
    """Return who is to do each task and from which minute, as the stored plan has it."""
    return [
        (
            None if task.staff_id is None else str(task.staff_id),
            None
            if task.planned_start_at is None
            else max(0, floor.axis.minute_at_or_after(task.planned_start_at)),
        )
        for task in row
    ]


def order_of(floor: Floor, garment: Garment, operations: Sequence[Operation]) -> rules.Order:
    """Return a garment whose tasks are not listed yet as an order, from its operations."""
    asked = join(operations)
    return rules.Order(
        str(garment.pk), tuple(_task(floor, joined, number) for number, joined in enumerate(asked)), due=0
    )


def _task(floor: Floor, joined: Joined, number: int) -> rules.Task:
    people = able(floor.people.values(), joined.group)
    pace = sum(1 / float(person.speed) for person in people) / max(1, len(people))
    minutes = max(1, math.ceil(joined.minutes * pace))
    openings = {resource.name: resource.open or () for resource in floor.problem.resources}
    names = tuple(str(person.pk) for person in people)
    longest = max((span.end - span.start for name in names for span in openings[name]), default=0)
    return rules.Task(
        name=joined.title,
        minutes=minutes,
        resources=names,
        after=(number - 1,) if number else (),
        split=joined.group is not Group.CUT or minutes > longest,
        noise=floor.noise[joined.group].noise,
    )


def open_work(workshop: Workshop, now: datetime) -> list[Garment]:
    """Return the open garments that have something left to do, most urgent first, with that and their
    fittings."""
    fittings = Fitting.objects.filter(cancelled_at__isnull=True, held_at__isnull=True, ends_at__gt=now)
    found = (
        open_garments(workshop)
        .select_related("order")
        .prefetch_related(
            Prefetch("tasks", Task.objects.filter(done_at__isnull=True).order_by("position", "pk")),
            Prefetch("tasks__time_entries", TimeEntry.objects.order_by("started_at", "pk")),
            Prefetch("fittings", fittings.order_by("starts_at", "pk")),
        )
        .order_by("order__due_on", "order__number", "position", "pk")
    )
    return [garment for garment in found if garment.tasks.all()]


def _openings(hours: Hours, axis: MinuteAxis, now: datetime) -> dict[str, tuple[rules.Span, ...]]:
    taken = busy_times(hours.staff, now)
    return {
        str(person.pk): _spans(without(hours.of(person), taken[person.pk]), axis) for person in hours.staff
    }


def _spans(intervals: Sequence[Interval], axis: MinuteAxis) -> tuple[rules.Span, ...]:
    """Return the intervals from minute 0 on; a part of a minute counts as closed."""
    spans = (
        rules.Span(max(0, axis.minute_at_or_after(start)), axis.minute_at_or_before(end))
        for start, end in intervals
    )
    return tuple(span for span in spans if span.start < span.end)


def _running(workshop: Workshop) -> dict[int, int]:
    """Return who works on which task at present: task to staff."""
    entries = TimeEntry.objects.filter(workshop=workshop, ended_at__isnull=True).order_by(
        "-started_at", "-pk"
    )
    return dict(entries.values_list("task_id", "staff_id"))


class _Reader:
    """Turns stored tasks into those of the problem, keeping book of what is pinned where."""

    def __init__(
        self,
        axis: MinuteAxis,
        hours: Hours,
        openings: dict[str, tuple[rules.Span, ...]],
        running: Mapping[int, int],
        noise: Mapping[str, KnownNoise],
    ) -> None:
        self.axis = axis
        self.hours = hours
        self.openings = openings
        self.running = running
        self.noise = noise
        self.by_pk = {person.pk: person for person in hours.staff}
        self.conflicts: list[str] = []
        self._pinned: dict[str, list[rules.Span]] = {}

    def order(self, garment: Garment, row: Sequence[Task], now: datetime) -> rules.Order:
        fitting = next(iter(garment.fittings.all()), None)
        due = whole_days(garment.order.due_on, garment.order.due_on, self.hours.workshop.zone).start
        fitted = 0 if fitting is None else max(0, self.axis.minute_at_or_after(fitting.ends_at))
        return rules.Order(
            name=str(garment.pk),
            due=self.axis.minute_at_or_before(due),
            tasks=tuple(
                self._task(garment, task, number, fitted if waits_for_fitting(task.position) else 0, now)
                for number, task in enumerate(row)
            ),
        )

    def _task(self, garment: Garment, task: Task, number: int, release: int, now: datetime) -> rules.Task:
        people = self._people(task)
        minutes = _minutes_left(task, people, now)
        names = tuple(str(person.pk) for person in people)
        longest = max(
            (span.end - max(span.start, release) for name in names for span in self.openings[name]), default=0
        )
        return rules.Task(
            name=task.title,
            minutes=minutes,
            resources=names,
            after=(number - 1,) if number else (),
            # Cutting is left lying only where there is no stretch long enough to do it in one go.
            split=task.group != TaskGroup.CUT or minutes > longest,
            release=release,
            pinned=self._pin(garment, task, names, minutes),
            noise=self.noise[task.group].noise,
        )

    def _people(self, task: Task) -> list[Staff]:
        kept = self.running.get(task.pk) or (task.staff_id if task.started_at or task.pinned else None)
        if kept in self.by_pk:
            return [self.by_pk[kept]]
        capable = able(self.hours.staff, task.group)
        return [person for person in capable if self.openings[str(person.pk)]] or capable

    def _pin(
        self, garment: Garment, task: Task, names: Sequence[str], minutes: int
    ) -> rules.Placement | None:
        if self.running.get(task.pk) in self.by_pk:
            return self._place(garment, task, names[0], 0, minutes)
        if task.pinned and not task.started_at and task.planned_start_at and len(names) == 1:
            start = self.axis.minute_at_or_after(task.planned_start_at)
            return self._place(garment, task, names[0], start, minutes) if start >= 0 else None
        return None

    def _place(
        self, garment: Garment, task: Task, name: str, start: int, minutes: int
    ) -> rules.Placement | None:
        openings = Openings(self.openings[name])
        in_hours = openings.end(start, minutes, split=True) is not None
        # Who works or was put down outside of their hours does the task in one go.
        spans = openings.pieces(start, minutes) if in_hours else (rules.Span(start, start + minutes),)
        taken = self._pinned.setdefault(name, [])
        if any(span.start < other.end and other.start < span.end for span in spans for other in taken):
            self.conflicts.append(
                f"'{task.title}' of {garment.title} is pinned to a time at which "
                f"{self.by_pk[int(name)].name} has another task; it was planned after it."
            )
            return None
        taken += spans
        return rules.Placement(name, spans)


def _minutes_left(task: Task, people: Sequence[Staff], now: datetime) -> int:
    """Return the minutes that the task still takes those who may do it, on the average of their paces."""
    paces = [float(person.speed) for person in people] or [1.0]
    asked = math.ceil(task.minutes_planned * sum(1 / pace for pace in paces) / len(paces))
    # Time spent before it was begun anew, from a newer draft, is time spent on the old one.
    entries = [e for e in task.time_entries.all() if task.started_at and e.started_at >= task.started_at]
    spent = sum(((entry.ended_at or now) - entry.started_at for entry in entries), timedelta())
    if not spent:
        return max(1, asked)
    return max(min(asked, LEFT_AT_LEAST), asked - spent // timedelta(minutes=1), 1)
