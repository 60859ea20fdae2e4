"""The day that can be promised for a garment that is only being asked about."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from costing.rules.labour import Group, Operation
from workshop.people.models import Workshop
from workshop.planning.queries.hours import able
from workshop.planning.rules.errors import PlanningError
from workshop.planning.rules.joining import Joined, join
from workshop.planning.rules.problem import Order, Task
from workshop.planning.rules.promise import Promise, promise
from workshop.planning.rules.solver import make_plan
from workshop.planning.services.floor import Floor, read_floor
from workshop.planning.services.replanning import FIRST_DAYS_AHEAD, MOST_DAYS_AHEAD, CannotPlanWorkshop


@dataclass(frozen=True, slots=True)
class DayPromise:
    """The first day on which the garment can be handed over: at even odds, and nine times out of ten.

    It is the day after the work is done, as a due day is.
    """

    even_on: date
    likely_on: date


def promise_day(*, workshop: Workshop, operations: Sequence[Operation], now: datetime) -> DayPromise:
    """Return the day that can be promised for a garment of those operations beside all open work. Writes
    nothing.

    The open work is planned by the best rule of dispatch; the new garment goes between, moving nothing.

    Raises:
        CannotPlanWorkshop: it fits in nobody's hours.
    """
    days_ahead = FIRST_DAYS_AHEAD
    while True:
        try:
            floor = read_floor(workshop, now, days_ahead=days_ahead)
            made = _promise(floor, join(operations))
        except PlanningError:
            if days_ahead >= MOST_DAYS_AHEAD:
                raise CannotPlanWorkshop(
                    "The work fits in nobody's hours; open longer, or give somebody more."
                ) from None
            days_ahead *= 2
        else:
            return DayPromise(
                _day_after(floor, workshop, made.even), _day_after(floor, workshop, made.likely)
            )


def _promise(floor: Floor, asked: Sequence[Joined]) -> Promise:
    planned = make_plan(floor.problem, seconds=0).places if floor.problem.orders else ()
    tasks = tuple(_task(floor, joined, number) for number, joined in enumerate(asked))
    return promise(floor.problem, planned, Order("asked", tasks, due=0))


def _task(floor: Floor, joined: Joined, number: int) -> Task:
    people = able(floor.people.values(), joined.group)
    pace = sum(1 / float(person.speed) for person in people) / max(1, len(people))
    return Task(
        name=joined.title,
        minutes=max(1, math.ceil(joined.minutes * pace)),
        resources=tuple(str(person.pk) for person in people),
        after=(number - 1,) if number else (),
        split=joined.group is not Group.CUT,
    )


def _day_after(floor: Floor, workshop: Workshop, minute: int) -> date:
    return workshop.day_of(floor.axis.instant(minute)) + timedelta(days=1)
