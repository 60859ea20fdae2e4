"""What becomes of a plan when the work takes as long as it really takes.

Each run draws every task's real minutes and lets the people do their tasks in the order of the plan, each
as soon as it can be begun; nobody stands idle while something of theirs fits. All runs are reckoned at once,
as arrays of shape (runs,); minutes are those of the problem, and infinity is work that the openings no longer
hold.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

import numpy as np
from numpy.typing import NDArray

from .compiled import Compiled, Work
from .problem import Placement, Places, Problem, Span

RUNS = 400
"""Enough that a share of nine in ten is right to about 1.5 in a hundred: sqrt(0.9 x 0.1 / 400)."""

Minutes = NDArray[np.float64]


def simulate(problem: Problem, places: Places, *, runs: int = RUNS, seed: int = 0) -> Minutes:
    """Return when each order ends in each run, shape (orders, runs).

    A task that may not be split is begun where its estimate fits into the opening; what it then takes
    longer is done in the next. A pinned task waits for its time and for the person, for nothing else. While
    a task waits for the one before it, or for somebody outside, its person does what comes next, as far as
    that fits into the wait. The same seed draws the same for the same problem.
    """
    compiled = Compiled(problem)
    flat = [place for row in places for place in row]
    drawn, waits = _real_minutes(compiled, flat, runs, seed), _real_waits(compiled, runs, seed)
    people = [_Person(number, resource.open, runs) for number, resource in enumerate(problem.resources)]
    machines = [np.zeros((machine.count, runs)) for machine in problem.machines]
    ends: list[Minutes] = [np.zeros(runs) for _ in flat]
    for work in _in_turn(compiled, flat):
        person = people[compiled.number_of[flat[work.index].resource]]
        ready = _ready(work, ends, waits[work.index], runs)
        for machine in work.machines if work.task.pinned is None else ():
            ready = np.maximum(ready, machines[machine].min(axis=0))
        ends[work.index] = person.do(compiled, work, ready, drawn[work.index])
        for machine in work.machines:
            # Whoever comes takes the one that is free longest.
            first = machines[machine].argmin(axis=0)
            machines[machine][first, np.arange(runs)] = ends[work.index]
    last = [np.zeros(runs) for _ in problem.orders]
    for work in compiled.works:
        last[work.order] = np.maximum(last[work.order], ends[work.index])
    return np.array(last).reshape(len(last), runs)


def _real_minutes(compiled: Compiled, flat: Sequence[Placement], runs: int, seed: int) -> Minutes:
    """Return what each task takes in each run, shape (tasks, runs): noise of its own, and what it shares with
    all of its order and with all that its person does."""
    normal = np.random.default_rng(seed).standard_normal((len(compiled.works), runs))
    tasks = [work.task for work in compiled.works]
    minutes = [task.minutes_on(place.resource) for task, place in zip(tasks, flat, strict=True)]
    median = np.array([m * task.noise.median for m, task in zip(minutes, tasks, strict=True)])
    spread = np.array([task.noise.spread for task in tasks]).reshape(-1, 1)
    shared = np.random.default_rng([seed, 1])
    orders = _factors([order.spread for order in compiled.problem.orders], runs, shared)
    people = _factors([resource.spread for resource in compiled.problem.resources], runs, shared)
    of_order = [work.order for work in compiled.works]
    of_person = [compiled.number_of[place.resource] for place in flat]
    own = median.reshape(-1, 1) * np.exp(spread * normal)
    drawn: Minutes = own * orders[of_order] * people[of_person]
    return drawn


def _factors(spreads: Sequence[float], runs: int, random: np.random.Generator) -> Minutes:
    """Return log-normal factors of mean 1, shape (spreads, runs)."""
    spread = np.array(spreads, dtype=float).reshape(-1, 1)
    found: Minutes = np.exp(spread * random.standard_normal((len(spreads), runs)) - spread**2 / 2)
    return found


def _real_waits(compiled: Compiled, runs: int, seed: int) -> dict[int, Minutes]:
    """Return how long each task that waits does so in each run."""
    random = np.random.default_rng([seed, 2])
    return {
        work.index: work.task.wait * np.exp(work.task.wait_spread * random.standard_normal(runs))
        for work in compiled.works
        if work.task.wait
    } | {work.index: np.zeros(runs) for work in compiled.works if not work.task.wait}


def _in_turn(compiled: Compiled, flat: list[Placement]) -> list[Work]:
    """Return the tasks as the plan begins them; of two at once, the one that the other waits for first."""
    place_of = {index: number for number, index in enumerate(compiled.sequence)}
    return sorted(compiled.works, key=lambda work: (flat[work.index].start, place_of[work.index]))


def _ready(work: Work, ends: list[Minutes], wait: Minutes, runs: int) -> Minutes:
    """Return when the task can be begun, as far as that is not its person's or its machine's."""
    if work.task.pinned is not None:
        return np.full(runs, float(work.task.pinned.start))
    ready = np.full(runs, float(work.release))
    for before in work.before:
        ready = np.maximum(ready, ends[before] + wait)
    return ready


class _Person:
    """What a person does, one thing after another: from when they are free, and the last wait, which other
    work may fill. All are arrays of shape (runs,)."""

    def __init__(self, number: int, spans: tuple[Span, ...] | None, runs: int) -> None:
        self.clock = _Clock(number, spans)
        self.free = np.zeros(runs)
        self.gap_from = self.gap_to = np.full(runs, -1.0)
        self.has_waited = False

    def do(self, compiled: Compiled, work: Work, ready: Minutes, real: Minutes) -> Minutes:
        """Do the task from when it is ready, and return when it ends."""
        end = _end(compiled, work, self.clock, np.maximum(ready, self.free), real)
        inside = np.zeros(len(ready), dtype=bool)
        if self.has_waited and work.task.pinned is None:
            sooner = _end(compiled, work, self.clock, np.maximum(ready, self.gap_from), real)
            inside = sooner <= self.gap_to
            end = np.where(inside, sooner, end)
            self.gap_from = np.where(inside, sooner, self.gap_from)
        if work.task.pinned is None:
            opened = ~inside & (ready > self.free)
            self.gap_from = np.where(opened, self.free, self.gap_from)
            self.gap_to = np.where(opened, ready, self.gap_to)
            self.has_waited = True
        self.free = np.where(inside, self.free, end)
        return end


def _end(compiled: Compiled, work: Work, clock: _Clock, ready: Minutes, real: Minutes) -> Minutes:
    pin = work.task.pinned
    if clock.always or (pin is not None and not _in_hours(compiled, pin)):
        return ready + real
    start = clock.worked(ready)
    if not work.task.split and pin is None:
        start = clock.where_fits(start, work.minutes_on(clock.number))
    return clock.minute(start + real)


def _in_hours(compiled: Compiled, pin: Placement) -> bool:
    openings = compiled.openings[compiled.number_of[pin.resource]]
    return openings.end(pin.start, 1, split=True) is not None


class _Clock:
    """A person's openings as minutes worked since the first: between openings that clock stands still."""

    def __init__(self, number: int, spans: tuple[Span, ...] | None) -> None:
        self.number = number
        self.always = spans is None
        self._spans = spans or ()
        self._starts = np.array([float(span.start) for span in self._spans])
        self._ends = np.array([float(span.end) for span in self._spans])
        self._before = np.array([0.0, *accumulate(float(span.end - span.start) for span in self._spans)])

    def worked(self, minute: Minutes) -> Minutes:
        """Return the open minutes before each minute; infinity where nothing is open after it."""
        if not self._spans:
            return np.full_like(minute, np.inf)
        number = np.searchsorted(self._starts, minute, side="right") - 1
        known = np.maximum(number, 0)
        inside = np.minimum(minute, self._ends[known]) - self._starts[known]
        found = np.where(number < 0, 0.0, self._before[known] + inside)
        return np.where(minute < self._ends[-1], found, np.inf)

    def minute(self, worked: Minutes) -> Minutes:
        """Return when so many open minutes are over: at closing time, not at the next opening."""
        if not self._spans:
            return np.full_like(worked, np.inf)
        number = np.clip(np.searchsorted(self._before, worked, side="left") - 1, 0, len(self._spans) - 1)
        found = self._starts[number] + worked - self._before[number]
        return np.where(worked <= self._before[-1], found, np.inf)

    def where_fits(self, worked: Minutes, minutes: int) -> Minutes:
        """Return the first worked minute from each on at which that many fit into what is left open."""
        lengths = np.diff(self._before)
        last = len(self._spans) - 1
        number = np.clip(np.searchsorted(self._before, worked, side="right") - 1, 0, max(last, 0))
        if last < 0:
            return worked
        fitting = np.full(last + 2, np.inf)  # where the next opening that is long enough begins
        for place in range(last, -1, -1):
            fitting[place] = self._before[place] if lengths[place] >= minutes else fitting[place + 1]
        fits_here = worked + minutes <= self._before[number + 1]
        return np.where(fits_here, worked, fitting[number + 1])
