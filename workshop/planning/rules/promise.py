"""The day that can be promised: what is planned already stays where it is, and the new order goes between."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from .compiled import Compiled
from .dispatch import dispatch
from .errors import CannotPlan
from .openings import Openings
from .problem import Objective, Order, Placement, Places, Problem

SPREAD = 0.25
"""One standard deviation of a task's real minutes as a share of its estimate, until the workshop's own is
known. Common practice, no source."""

NINETY_PERCENT = 1.2816
"""The standard normal deviate that is not exceeded nine times out of ten (any table of the normal
distribution)."""


@dataclass(frozen=True, slots=True)
class Promise:
    """When an order can be ready, in minutes of the problem.

    ``even`` is the end if every task takes its estimate; ``likely`` allows for the tasks, and those ahead
    of them, taking longer: kept about nine times out of ten.
    """

    even: int
    likely: int
    places: tuple[Placement, ...]


def promise(problem: Problem, places: Places, order: Order, *, spread: float = SPREAD) -> Promise:
    """Return when the order can be ready without moving anything that is planned.

    The margin of ``likely`` is that of a sum of independent durations: z x spread x sqrt(sum of minutes
    squared), over the order's own tasks and whatever is planned before its end on the resources that it
    uses, spent in the openings of the resource that ends it.

    Raises:
        CannotPlan: the order does not fit in the openings.
    """
    fixed = tuple(_pinned(known, row) for known, row in zip(problem.orders, places, strict=True))
    asked = Problem(Objective.TARDINESS, problem.resources, (*fixed, order))
    made = dispatch(asked, "earliest due date")
    if made is None:
        raise CannotPlan(
            f"orders[{len(fixed)}]", "does not fit in the openings beside what is planned already"
        )
    own = made.places[-1]
    last = max(own, key=lambda place: place.end)
    margin = _margin(order, own, asked, made.places, spread)
    likely = _later(asked, last, margin)
    return Promise(even=last.end, likely=likely, places=own)


def _pinned(order: Order, row: Sequence[Placement]) -> Order:
    tasks = (replace(task, pinned=place) for task, place in zip(order.tasks, row, strict=True))
    return replace(order, tasks=tuple(tasks))


def _margin(order: Order, own: Sequence[Placement], asked: Problem, places: Places, spread: float) -> int:
    used = {place.resource for place in own}
    ready = max(place.end for place in own)
    ahead = (
        task.minutes
        for known, row in zip(asked.orders[:-1], places, strict=False)
        for task, place in zip(known.tasks, row, strict=True)
        if place.resource in used and place.start < ready
    )
    squares = sum(minutes**2 for minutes in (*(task.minutes for task in order.tasks), *ahead))
    return math.ceil(NINETY_PERCENT * spread * math.sqrt(squares))


def _later(asked: Problem, last: Placement, margin: int) -> int:
    """Return when ``margin`` further working minutes of the resource have passed, or when it last closes."""
    if margin == 0:
        return last.end
    resource = asked.resources[Compiled(asked).number_of[last.resource]]
    openings = Openings(resource.open)
    start = openings.next_start(last.end, margin, split=True)
    end = None if start is None else openings.end(start, margin, split=True)
    if end is None:
        raise CannotPlan("resources", "the openings end before the margin of a promise; plan further ahead")
    return end
