"""What would help where a wished day cannot be kept: longer days, or somebody else's work giving way."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TypeVar

import numpy as np

from .dispatch import dispatch
from .errors import CannotPlan
from .present import present_plan
from .problem import FURTHEST_MINUTE, Order, Places, Problem, Resource, Span
from .promise import LIKELY, Promise, beside_all, pinned_to, promise, promised
from .simulation import Minutes, simulate

_Row = TypeVar("_Row")

LONGER_DAYS = (30, 60, 90, 120)
"""Minutes of overtime a day that are tried, the least first. Common practice, no source; what may be worked
is for local rules to say."""

LEAST_LATER = 240
"""Minutes from which another order counts as later: half a day."""

MOST_TRIED = 6
"""How many other orders are tried, those that take most of the people's time first."""


@dataclass(frozen=True, slots=True)
class Overtime:
    """``a_day`` minutes more on each of ``days`` person-days keep the wish in a share ``kept`` of runs."""

    a_day: int
    days: int
    kept: float


@dataclass(frozen=True, slots=True)
class GivingWay:
    """Where the order at ``number`` waits, the wish is kept in a share ``kept`` of runs.

    ``likely`` is the minute by which it is then ready nine times out of ten.
    """

    number: int
    kept: float
    likely: int


@dataclass(frozen=True, slots=True)
class Rush:
    """What putting the orders before all others would come to.

    ``likely`` is the minute by which they are then ready nine times out of ten, ``kept`` the share of runs in
    which the wish is kept. ``later`` are the other orders that are then later than their due and were sooner
    before, as (number, minute by which they are ready nine times out of ten), the latest first.
    """

    likely: int
    kept: float
    later: tuple[tuple[int, int], ...]


def rush(problem: Problem, places: Places, asked: Sequence[Order], *, by: int) -> Rush | None:
    """Return what it would cost others to put the orders first; None where that does not fit.

    Only what is pinned goes before them. The others keep their people and their turns, after them.
    """
    pins = [pinned for order in problem.orders if (pinned := _pins_of(order)) is not None]
    alone = dispatch(replace(problem, orders=(*pins, *asked)), "earliest due date")
    if alone is None:
        return None
    rows = alone.places[len(pins) :]
    first = tuple(pinned_to(order, row) for order, row in zip(asked, rows, strict=True))
    whole = replace(problem, orders=(*problem.orders, *first))
    stands = [[(place.resource, place.start) for place in row] for row in places]
    try:
        after = present_plan(whole, [*stands, *([(None, None)] * len(order.tasks) for order in first)])
    except CannotPlan:
        return None
    # What is put first takes as long as it takes; it is simulated unpinned, in the same turns.
    free = replace(problem, orders=(*problem.orders, *asked))
    ends, before = simulate(free, after), simulate(problem, places)
    theirs = ends[len(problem.orders) :].max(axis=0)
    likely = float(np.quantile(theirs, LIKELY, method="higher"))
    if not math.isfinite(likely):
        return None
    later = _later(problem, before, ends[: len(problem.orders)])
    return Rush(math.ceil(likely), float(np.mean(theirs <= by)), later)


def _pins_of(order: Order) -> Order | None:
    """Return the order with nothing but what is pinned of it; None where nothing is."""
    pinned = tuple(replace(task, after=()) for task in order.tasks if task.pinned is not None)
    return replace(order, tasks=pinned) if pinned else None


def _later(problem: Problem, before: Minutes, after: Minutes) -> tuple[tuple[int, int], ...]:
    found = []
    for number, order in enumerate(problem.orders):
        was, then = (float(np.quantile(rows[number], LIKELY, method="higher")) for rows in (before, after))
        if order.due is not None and then > order.due and then >= was + LEAST_LATER:
            found.append((number, math.ceil(min(then, FURTHEST_MINUTE))))
    return tuple(sorted(found, key=lambda row: (-row[1], row[0])))


def overtime(
    problem: Problem,
    places: Places,
    asked: Sequence[Order],
    *,
    people: Collection[str],
    by: int,
    day_of: Callable[[int], object],
) -> Overtime | None:
    """Return the least overtime of the people before that minute which keeps it, or None where none of
    LONGER_DAYS does."""
    for extra in LONGER_DAYS:
        longer = [
            longer_days(resource, extra, by, day_of) if resource.name in people else (resource, 0)
            for resource in problem.resources
        ]
        wider = replace(problem, resources=tuple(resource for resource, _ in longer))
        kept = promise(wider, places, asked).kept(by)
        if kept >= LIKELY:
            return Overtime(extra, sum(days for _, days in longer), kept)
    return None


def longer_days(
    resource: Resource, extra: int, by: int, day_of: Callable[[int], object]
) -> tuple[Resource, int]:
    """Return the person with ``extra`` minutes after the last opening of each day that ends by that minute,
    and on how many days."""
    spans = [*(resource.open or ()), Span(FURTHEST_MINUTE, FURTHEST_MINUTE)]
    found: list[Span] = []
    days = 0
    for span, after in pairwise(spans):
        last = after.start >= FURTHEST_MINUTE or day_of(after.start) != day_of(span.start)
        end = min(span.end + extra, after.start, by) if last and span.end < by else span.end
        days += end > span.end
        found.append(Span(span.start, end))
    return (resource, 0) if resource.open is None else (replace(resource, open=tuple(found)), days)


def giving_way(
    problem: Problem,
    places: Places,
    asked: Sequence[Order],
    *,
    people: Collection[str],
    by: int,
) -> tuple[GivingWay, ...]:
    """Return which of the other orders could wait so that the minute is kept, each by itself.

    Only those are tried that have work of the people before then, and none whose work is under way or
    pinned. The one that is then least behind its own due day comes first.
    """
    tried = sorted(
        _movable(problem, places, people, by), key=lambda number: -_taken(places, number, people, by)
    )
    found = [
        way for number in tried[:MOST_TRIED] if (way := _way(problem, places, asked, number, by)) is not None
    ]
    return tuple(sorted(found, key=lambda way: (_behind(problem, way), way.number)))


def _movable(problem: Problem, places: Places, people: Collection[str], by: int) -> list[int]:
    return [
        number
        for number, order in enumerate(problem.orders)
        if all(task.pinned is None for task in order.tasks) and _taken(places, number, people, by)
    ]


def _taken(places: Places, number: int, people: Collection[str], by: int) -> int:
    return sum(
        max(0, min(span.end, by) - span.start)
        for place in places[number]
        if place.resource in people
        for span in place.spans
    )


def _way(problem: Problem, places: Places, asked: Sequence[Order], number: int, by: int) -> GivingWay | None:
    """Place what is asked about without the order, then the order around it."""
    waits = problem.orders[number]
    others = replace(problem, orders=_but(problem.orders, number))
    try:
        first = promise(others, _but(places, number), asked)
        if first.kept(by) < LIKELY:
            return None
        made = dispatch(beside_all(first.problem, first.places, [waits]), "earliest due date")
        if made is None:
            return None
        then = promised(first.problem, [waits], made.places)
    except CannotPlan:
        return None
    kept = _kept(then, len(others.orders), by)
    return GivingWay(number, kept, then.likely) if kept >= LIKELY else None


def _kept(then: Promise, first: int, by: int) -> float:
    """Return the share in which the orders from ``first`` on, all but the last, are done by the minute."""
    ends = simulate(then.problem, then.places)[first:-1].max(axis=0)
    return float(np.mean(ends <= by))


def _behind(problem: Problem, way: GivingWay) -> int:
    due = problem.orders[way.number].due
    return 0 if due is None else max(0, way.likely - due)


def _but(rows: tuple[_Row, ...], number: int) -> tuple[_Row, ...]:
    return (*rows[:number], *rows[number + 1 :])
