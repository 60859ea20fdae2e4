"""The workshop as a problem of planning: people as resources, garments as orders, their open tasks in
line."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from typing import TypeVar

from django.db.models import Prefetch

from costing.rules.labour import Operation
from costing.rules.learning import Learnt
from workshop.orders.models import Garment
from workshop.people.models import Staff, Workshop
from workshop.planning.models import Fitting, Machine, Task, TaskGroup, TimeEntry
from workshop.planning.queries.fitting_wait import FittingWait, fitting_wait
from workshop.planning.queries.hours import Hours, able, hours_of
from workshop.planning.queries.learnt import kinds_in, learnt_with_spread
from workshop.planning.queries.outside import Outside, outside_of
from workshop.planning.queries.slots import busy_times
from workshop.planning.queries.week import left_in_turn, open_garments
from workshop.planning.rules import problem as rules
from workshop.planning.rules.calendar import Interval, MinuteAxis, whole_days, without
from workshop.planning.rules.common_noise import own_noise, pace_spread
from workshop.planning.rules.errors import PlanningError
from workshop.planning.rules.joining import Joined, join, waits_for_fitting
from workshop.planning.rules.openings import Openings

FIRST_DAYS_AHEAD = 120
MOST_DAYS_AHEAD = 960
LEFT_AT_LEAST = 10
"""Minutes that a task under way is taken to need still, however long it has taken already."""

Made = TypeVar("Made")
Kinds = tuple[tuple[str, float], ...]
"""Kinds of operation in a stretch of work, each with its share of it."""


@dataclass
class Floor:
    """What is planned: the problem, the stored task behind each of its tasks, and what it was read by."""

    problem: rules.Problem
    axis: MinuteAxis
    people: Mapping[str, Staff]
    garments: list[Garment]
    rows: list[list[Task]]
    outside: Mapping[int, Outside]
    known: Known
    hours: Hours
    conflicts: list[str] = field(default_factory=list)

    @property
    def firm(self) -> list[int]:
        """Return the places of the garments that are agreed; the others have no claim to anybody's time."""
        return [
            place for place, garment in enumerate(self.garments) if not self.outside[garment.pk].tentative
        ]


@dataclass(frozen=True)
class Known:
    """What the workshop's own work has taught, and its scarce machines."""

    learnt: Learnt
    garment_spread: float
    wait: FittingWait
    machines: tuple[Machine, ...]

    def noise(self, group: str) -> rules.Noise:
        return own_noise(self.learnt.scatter_of(group), self.garment_spread)

    def needed(self, group: str) -> tuple[str, ...]:
        """Return the machines that a kind of work needs."""
        return tuple(str(machine.pk) for machine in self.machines if group in machine.groups)

    def minutes(self, standard: float, group: str, person: Staff, kinds: Kinds | None = None) -> int:
        """Return the whole minutes that the work is expected to take the person."""
        return max(1, math.ceil(standard * self.learnt.correction(group, person.pk, kinds).factor - 1e-6))


def read_floor(workshop: Workshop, now: datetime, *, days_ahead: int) -> Floor:
    """Return the open work of the workshop as a problem whose minute 0 is the present one.

    Raises:
        BadProblem: something does not fit in the days ahead.
    """
    axis = MinuteAxis(now.replace(second=0, microsecond=0))
    today = workshop.day_of(now)
    hours = hours_of(workshop, today, today + timedelta(days=days_ahead))
    known = _known(workshop)
    reader = _Reader(axis, hours, _openings(hours, axis, now), _running(workshop), known)
    garments = open_work(workshop, now)
    outside = outside_of([garment.pk for garment in garments], now)
    rows = [left_in_turn(garment) for garment in garments]
    orders = tuple(
        reader.order(garment, row, outside[garment.pk], now)
        for garment, row in zip(garments, rows, strict=True)
    )
    people = {str(person.pk): person for person in hours.staff}
    resources = tuple(
        rules.Resource(name, reader.openings[name], _pace_spread(known, person, rows))
        for name, person in people.items()
    )
    machines = tuple(rules.Machine(str(machine.pk), machine.count) for machine in known.machines)
    made = rules.Problem(rules.Objective.TARDINESS, resources, orders, machines)
    return Floor(made, axis, people, garments, rows, outside, known, hours, reader.conflicts)


def _known(workshop: Workshop) -> Known:
    learnt, garment_spread = learnt_with_spread(workshop)
    machines = tuple(Machine.objects.filter(workshop=workshop).order_by("pk"))
    return Known(learnt, garment_spread, fitting_wait(workshop), machines)


def _pace_spread(known: Known, person: Staff, rows: Sequence[Sequence[Task]]) -> float:
    """Return how far the person's pace is not known, over the mix of work that is open."""
    minutes: dict[str, float] = {}
    for task in (task for row in rows for task in row):
        if task.group in person.skills:
            minutes[task.group] = minutes.get(task.group, 0.0) + task.minutes_planned
    variance = {group: known.learnt.correction(group, person.pk).variance for group in minutes}
    return pace_spread(minutes, variance)


@dataclass
class Floors:
    """The floor of one moment, read once for each reach ahead by whoever asks several things of it."""

    workshop: Workshop
    now: datetime
    _read: dict[int, Floor] = field(default_factory=dict)

    def make(self, work: Callable[[Floor], Made]) -> Made:
        """Return what ``work`` makes of the floor, looking further ahead as long as something does not fit.

        Raises:
            PlanningError: it does not fit however far ahead one looks.
        """
        days_ahead = FIRST_DAYS_AHEAD
        while True:
            try:
                return work(self._at(days_ahead))
            except PlanningError:
                if days_ahead >= MOST_DAYS_AHEAD:
                    raise
                days_ahead *= 2

    def _at(self, days_ahead: int) -> Floor:
        if days_ahead not in self._read:
            self._read[days_ahead] = read_floor(self.workshop, self.now, days_ahead=days_ahead)
        return self._read[days_ahead]


def on_floor(workshop: Workshop, now: datetime, work: Callable[[Floor], Made]) -> Made:
    """Return what ``work`` makes of the floor. Raises: PlanningError (see ``Floors.make``)."""
    return Floors(workshop, now).make(work)


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


def order_of(floor: Floor, garment: Garment, operations: Sequence[Operation], now: datetime) -> rules.Order:
    """Return a garment whose tasks are not listed yet as an order, from its operations."""
    asked = join(operations)
    outside = outside_of([garment.pk], now)[garment.pk]
    tried_on = next((number for number, joined in enumerate(asked) if joined.after_fitting), None)
    tasks = [_task(floor, joined, number) for number, joined in enumerate(asked)]
    cloth_from = _cloth_from(floor.axis, outside)
    return rules.Order(
        str(garment.pk),
        tuple(_held_back(tasks, tried_on, None, outside, floor.known, cloth_from=cloth_from)),
        due=0,
        spread=floor.known.garment_spread,
    )


def _task(floor: Floor, joined: Joined, number: int) -> rules.Task:
    people = able(floor.people.values(), joined.group)
    each = tuple(floor.known.minutes(joined.minutes, joined.group, person) for person in people)
    openings = {resource.name: resource.open or () for resource in floor.problem.resources}
    names = tuple(str(person.pk) for person in people)
    return rules.Task(
        name=joined.title,
        minutes=min(each),
        each=each,
        resources=names,
        after=(number - 1,) if number else (),
        split=_may_be_left(joined.group, min(each), [openings[name] for name in names]),
        noise=floor.known.noise(joined.group),
        machines=floor.known.needed(joined.group),
    )


def _may_be_left(group: str, minutes: int, openings: Iterable[Sequence[rules.Span]]) -> bool:
    """Cutting is left lying only where there is no stretch long enough to do it in one go."""
    longest = max((span.end - span.start for spans in openings for span in spans), default=0)
    return group != TaskGroup.CUT or minutes > longest


def _held_back(
    tasks: Sequence[rules.Task],
    tried_on: int | None,
    fitting: rules.Span | None,
    outside: Outside,
    known: Known,
    *,
    cloth_from: int,
) -> Iterator[rules.Task]:
    """Yield the tasks with what holds them back from outside.

    Cloth that is not here holds the cut until the minute ``cloth_from``. The work from
    ``tried_on`` on follows the fitting: one that is booked is a due for the work before it; one that is not
    is waited for as long as is usual here.
    """
    for number, task in enumerate(tasks):
        held = replace(task, release=max(task.release, cloth_from)) if number == 0 else task
        if tried_on is not None and number == tried_on - 1 and not outside.is_fitted:
            held = replace(held, eager=fitting is None, due=None if fitting is None else fitting.start)
        if number == tried_on and fitting is None and not outside.is_fitted:
            wait = known.wait
            held = (
                replace(held, wait=wait.minutes, wait_spread=wait.spread)
                if number
                else replace(held, release=max(held.release, wait.minutes))
            )
        if tried_on is not None and number >= tried_on and fitting is not None:
            held = replace(held, release=max(held.release, fitting.end))
        yield held


def _cloth_from(axis: MinuteAxis, outside: Outside) -> int:
    """Return the minute from which all cloth is here."""
    return 0 if outside.cloth_at is None else max(0, axis.minute_at_or_before(outside.cloth_at))


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
        known: Known,
    ) -> None:
        self.axis = axis
        self.hours = hours
        self.openings = openings
        self.running = running
        self.known = known
        self.by_pk = {person.pk: person for person in hours.staff}
        self.conflicts: list[str] = []
        self._pinned: dict[str, list[rules.Span]] = {}

    def order(self, garment: Garment, row: Sequence[Task], outside: Outside, now: datetime) -> rules.Order:
        booked = next(iter(garment.fittings.all()), None)
        fitting = None if booked is None else self._span(booked)
        due = whole_days(garment.order.due_on, garment.order.due_on, self.hours.workshop.zone).start
        tried_on = next((n for n, task in enumerate(row) if waits_for_fitting(task.position)), None)
        tasks = [self._task(garment, task, number, now) for number, task in enumerate(row)]
        if tasks and (row[0].started_at or row[0].group != TaskGroup.CUT):
            outside = replace(outside, cloth_at=None)
        cloth_from = _cloth_from(self.axis, outside)
        return rules.Order(
            name=str(garment.pk),
            due=self.axis.minute_at_or_before(due),
            tasks=tuple(_held_back(tasks, tried_on, fitting, outside, self.known, cloth_from=cloth_from)),
            spread=self.known.garment_spread,
        )

    def _span(self, fitting: Fitting) -> rules.Span:
        start = max(0, self.axis.minute_at_or_before(fitting.starts_at))
        return rules.Span(start, max(start, self.axis.minute_at_or_after(fitting.ends_at)))

    def _task(self, garment: Garment, task: Task, number: int, now: datetime) -> rules.Task:
        people = self._people(task)
        each = tuple(self._minutes_left(task, person, now) for person in people)
        names = tuple(str(person.pk) for person in people)
        return rules.Task(
            name=task.title,
            minutes=min(each),
            each=each,
            resources=names,
            after=(number - 1,) if number else (),
            split=_may_be_left(task.group, min(each), [self.openings[name] for name in names]),
            pinned=self._pin(garment, task, names, min(each)),
            noise=self.known.noise(task.group),
            machines=self.known.needed(task.group),
        )

    def _minutes_left(self, task: Task, person: Staff, now: datetime) -> int:
        """Return the minutes that the task still takes that person."""
        asked = self.known.minutes(task.minutes_planned, task.group, person, kinds_in(task))
        # Time spent before it was begun anew, from a newer draft, is time spent on the old one.
        entries = [e for e in task.time_entries.all() if task.started_at and e.started_at >= task.started_at]
        spent = sum(((entry.ended_at or now) - entry.started_at for entry in entries), timedelta())
        return max(min(asked, LEFT_AT_LEAST), asked - spent // timedelta(minutes=1), 1) if spent else asked

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
