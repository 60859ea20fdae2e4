"""The floor for an order that is asked about: what is agreed stays where the present plan has it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TypeVar

from workshop.orders.models import Garment, Stage
from workshop.people.models import Workshop
from workshop.planning.rules.calendar import whole_days
from workshop.planning.rules.errors import PlanningError
from workshop.planning.rules.present import present_plan
from workshop.planning.rules.problem import Places, Problem
from workshop.planning.services.floor import Floor, Floors, standing
from workshop.planning.services.replanning import CannotPlanWorkshop

NOT_BEGUN = (Stage.MEASURE, Stage.DRAFT, Stage.CUT)
"""The stages in which a draft tells all that is to be done on a garment."""

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True)
class Others:
    """The garments of all other orders that are agreed, their problem, and where the plan has them."""

    garments: list[Garment]
    problem: Problem
    places: Places


def others_than(floor: Floor, order_id: int) -> Others:
    """Return what is agreed apart from one order. Raises: PlanningError where it does not fit."""
    numbers = [number for number in floor.firm if floor.garments[number].order_id != order_id]
    problem = replace(floor.problem, orders=tuple(floor.problem.orders[number] for number in numbers))
    places = present_plan(problem, [standing(floor, floor.rows[number]) for number in numbers])
    return Others([floor.garments[number] for number in numbers], problem, places)


def answered(floors: Floors, answer: Callable[[Floor], Made]) -> Made:
    """Return the answer that the floor gives. Raises: CannotPlanWorkshop where it fits in nobody's hours."""
    try:
        return floors.make(answer)
    except PlanningError:
        raise CannotPlanWorkshop(
            "The work fits in nobody's hours; open longer, or give somebody more."
        ) from None


def minute_before(floor: Floor, workshop: Workshop, day: date) -> int:
    """Return the minute by which all is done that is to be handed over on that day: its first."""
    return floor.axis.minute_at_or_before(whole_days(day, day, workshop.zone).start)


def day_after(floor: Floor, workshop: Workshop, minute: int, wished_on: date) -> date:
    """Return the first day on which what is done by that minute can be handed over.

    One that is open; or the wished one, which was agreed to though it be closed.
    """
    day = workshop.day_of(floor.axis.instant(minute)) + timedelta(days=1)
    opens = floor.hours.open_on_or_after(day)
    return wished_on if day <= wished_on < opens else opens
