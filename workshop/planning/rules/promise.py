"""The day that can be promised: what is planned already stays where it is, and the new work goes between."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from .dispatch import dispatch
from .errors import CannotPlan
from .problem import FURTHEST_MINUTE, Objective, Order, Placement, Places, Problem, Span, Task
from .simulation import RUNS, Minutes, simulate

EVEN, LIKELY = 0.5, 0.9


@dataclass(frozen=True, slots=True)
class Promise:
    """When the orders that are asked about can be ready, in minutes of the problem.

    ``ends`` is when the last of them ends in each simulated run, shape (runs,); ``even`` and ``likely`` are
    not exceeded in half and in nine tenths of the runs. ``problem`` and ``places`` are the plan with them,
    what was known first.
    """

    even: int
    likely: int
    ends: Minutes
    problem: Problem
    places: Places

    def kept(self, by: int) -> float:
        """Return the share of runs in which all is done by that minute."""
        return float(np.mean(self.ends <= by))


def odds_words(chance: float) -> str:
    """Return a chance as ``89 of 100``: never rounded up to a promise, and never called certain."""
    of_100 = math.floor(100 * chance + 1e-9)
    if of_100 >= 100:
        return "more than 99 of 100"
    return f"{of_100} of 100" if of_100 else "less than 1 of 100"


@dataclass(frozen=True, slots=True)
class Tight:
    """What people are asked for before a minute, and what they have free then.

    ``tasks`` are those that nobody else can do; ``minutes`` what they take by the estimate.
    """

    people: tuple[str, ...]
    tasks: tuple[Task, ...]
    minutes: int
    free: int


def promise(
    problem: Problem, places: Places, asked: Sequence[Order], *, runs: int = RUNS, seed: int = 0
) -> Promise:
    """Return when the orders can be ready without moving anything that is planned.

    Raises:
        CannotPlan: they do not fit in the openings, or not often enough to promise anything.
    """
    beside = beside_all(problem, places, asked)
    made = dispatch(beside, "earliest due date")
    if made is None:
        raise CannotPlan(
            f"orders[{len(problem.orders)}]", "does not fit in the openings beside what is planned already"
        )
    return promised(problem, asked, made.places, runs=runs, seed=seed)


def promised(
    problem: Problem, asked: Sequence[Order], places: Places, *, runs: int = RUNS, seed: int = 0
) -> Promise:
    """Return what may be promised where that is the plan; the orders that are asked about are its last."""
    whole = replace(problem, orders=(*problem.orders, *asked))
    ends: Minutes = simulate(whole, places, runs=runs, seed=seed)[len(problem.orders) :].max(axis=0)
    even, likely = np.quantile(ends, (EVEN, LIKELY), method="higher")
    if not math.isfinite(likely):
        raise CannotPlan("resources", "the openings end before the margin of a promise; plan further ahead")
    return Promise(math.ceil(even), math.ceil(likely), ends, whole, places)


def beside_all(problem: Problem, places: Places, asked: Sequence[Order]) -> Problem:
    """Return the problem in which only the orders that are asked about have still to be placed."""
    fixed = tuple(pinned_to(known, row) for known, row in zip(problem.orders, places, strict=True))
    return replace(problem, objective=Objective.TARDINESS, orders=(*fixed, *asked))


def tightest(problem: Problem, places: Places, asked: Sequence[Order], by: int) -> Tight:
    """Return the people who have least free before that minute for what only they can do of the orders.

    ``places`` are those of the problem's own orders. The least is by the share of what is asked.
    """
    tasks = [task for order in asked for task in order.tasks]
    groups = sorted({tuple(sorted(task.resources)) for task in tasks})
    found = [_tight(problem, places, people, tasks, by) for people in groups]
    return min(found, key=lambda tight: (tight.free / tight.minutes, len(tight.people), tight.people))


def pinned_to(order: Order, row: Sequence[Placement]) -> Order:
    """Return the order with each of its tasks pinned to where it lies."""
    tasks = (replace(task, pinned=place) for task, place in zip(order.tasks, row, strict=True))
    return replace(order, tasks=tuple(tasks))


def _tight(
    problem: Problem, places: Places, people: tuple[str, ...], tasks: Sequence[Task], by: int
) -> Tight:
    theirs = tuple(task for task in tasks if set(task.resources) <= set(people))
    there = sum(
        FURTHEST_MINUTE if resource.open is None else _before(resource.open, by)
        for resource in problem.resources
        if resource.name in people
    )
    taken = sum(_before(place.spans, by) for row in places for place in row if place.resource in people)
    return Tight(people, theirs, sum(task.minutes for task in theirs), max(0, there - taken))


def _before(spans: Sequence[Span], by: int) -> int:
    return sum(max(0, min(span.end, by) - span.start) for span in spans)
