"""A new plan of all open work, written back to the tasks."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django.db import transaction

from workshop.errors import Refusal
from workshop.people.models import Workshop
from workshop.people.services.log import write_log
from workshop.planning.models import Task
from workshop.planning.queries.moves import REPLAN, move_words
from workshop.planning.queries.week import left_in_turn
from workshop.planning.rules.compiled import Compiled
from workshop.planning.rules.errors import PlanningError
from workshop.planning.rules.moves import KnownPlace, moves
from workshop.planning.rules.problem import Placement, Plan
from workshop.planning.rules.promise import pinned_to
from workshop.planning.rules.solver import make_plan
from workshop.planning.services.floor import Floor, on_floor, open_work, standing

SECONDS = 8.0
FIRM_SHARE = 0.8
"""The share of the time in which what is agreed is planned, where something else is drafted too."""


class CannotPlanWorkshop(Refusal):
    """There is work that nobody can do in the hours that there are."""


@dataclass(frozen=True, slots=True)
class Move:
    """A task that a new plan put elsewhere, and the sentence that says why."""

    task_id: int
    words: str


@dataclass(frozen=True, slots=True)
class Replanned:
    """What a new plan came to."""

    planned: int
    moved: tuple[Move, ...]
    late_garment_ids: tuple[int, ...]
    conflicts: tuple[str, ...]
    optimal: bool


def replan(
    *,
    workshop: Workshop,
    now: datetime,
    seconds: float = SECONDS,
    seed: int = 0,
    cancelled: Callable[[], bool] | None = None,
) -> Replanned:
    """Plan all open tasks of the workshop from now on and write who does them when.

    What is under way stays with who does it; what the owner pinned stays where it is; what is done is done.
    The rest stays where it was, as long as nothing is less late elsewhere. What nobody has agreed to yet is
    planned beside what is agreed, and moves nothing of it.
    The search runs outside of any transaction: a task that somebody begins, ends or pins meanwhile is left
    as they left it.

    Raises:
        CannotPlanWorkshop: some task fits in nobody's hours, however far ahead one looks.
    """
    floor, plan = _plan(workshop, now, seconds, seed, cancelled)
    moved = _write(workshop, floor, plan, now)
    late = tuple(
        garment.pk
        for garment, order, row in zip(floor.garments, floor.problem.orders, plan.places, strict=True)
        if order.due is not None and max(place.end for place in row) > order.due
    )
    return Replanned(sum(map(len, floor.rows)), moved, late, tuple(floor.conflicts), plan.optimal)


def _plan(
    workshop: Workshop, now: datetime, seconds: float, seed: int, cancelled: Callable[[], bool] | None
) -> tuple[Floor, Plan]:
    def planned(floor: Floor) -> tuple[Floor, Plan]:
        return floor, _make(floor, seconds, seed, cancelled)

    try:
        return on_floor(workshop, now, planned)
    except PlanningError as refusal:
        raise CannotPlanWorkshop(_words(workshop, refusal, now)) from None


def _make(floor: Floor, seconds: float, seed: int, cancelled: Callable[[], bool] | None) -> Plan:
    """Plan what is agreed, then the rest around it."""
    problem, firm = floor.problem, set(floor.firm)
    stands = [standing(floor, row) for row in floor.rows]
    if len(firm) in {0, len(problem.orders)}:
        return make_plan(problem, seconds=seconds, seed=seed, cancelled=cancelled, standing=stands)
    agreed = [place for place in range(len(problem.orders)) if place in firm]
    first = make_plan(
        replace(problem, orders=tuple(problem.orders[place] for place in agreed)),
        seconds=FIRM_SHARE * seconds,
        seed=seed,
        cancelled=cancelled,
        standing=[stands[place] for place in agreed],
    )
    placed = dict(zip(agreed, first.places, strict=True))
    orders = tuple(
        pinned_to(order, placed[place]) if place in placed else order
        for place, order in enumerate(problem.orders)
    )
    return make_plan(
        replace(problem, orders=orders),
        seconds=(1 - FIRM_SHARE) * seconds,
        seed=seed,
        cancelled=cancelled,
        standing=stands,
    )


def _words(workshop: Workshop, refusal: PlanningError, now: datetime) -> str:
    """Return the refusal in the owner's words instead of a path into the problem."""
    found = re.match(r"orders\[(\d+)\](?:\.tasks\[(\d+)\])?", refusal.field)
    garments = open_work(workshop, now)
    if found is None or int(found[1]) >= len(garments):
        return "The hours of the people do not hold the open work; open longer, or give somebody more hours."
    garment = garments[int(found[1])]
    tasks = left_in_turn(garment)
    what = f"'{tasks[int(found[2])].title}' of {garment.title}" if found[2] else garment.title
    return f"{what} fits in nobody's hours; give someone that skill or more hours, or open longer."


@transaction.atomic
def _write(workshop: Workshop, floor: Floor, plan: Plan, now: datetime) -> tuple[Move, ...]:
    read = {task.pk: task for row in floor.rows for task in row}
    held = {task.pk: task for task in Task.objects.select_for_update().filter(pk__in=read).order_by("pk")}
    changed = [
        task
        for row, places in zip(floor.rows, plan.places, strict=True)
        for old, place in zip(row, places, strict=True)
        if (task := held.get(old.pk)) is not None and not _touched(old, task) and _put(task, floor, place)
    ]
    moved = _moved(floor, plan, {task.pk for task in changed})
    Task.objects.bulk_update(changed, ["staff", "planned_start_at", "planned_end_at"])
    if changed:
        write_log(
            workshop=workshop,
            by=None,
            action=REPLAN,
            row=workshop,
            summary=f"Planned the work anew: {len(changed)} tasks placed, {len(moved)} of them moved",
            now=now,
            after={"moved": moved},
        )
    words = move_words(workshop, moved)
    return tuple(Move(row["task"], said) for row, said in zip(moved, words, strict=True))


def _moved(floor: Floor, plan: Plan, changed: Collection[int]) -> list[dict[str, Any]]:
    """Return the moves of the tasks that were written, as the log notes them: keys and times, no names."""
    flat = [task for row in floor.rows for task in row]
    known = [_known_place(floor, task) for task in flat]
    return [
        {
            "task": flat[move.index].pk,
            "from": [flat[move.index].staff_id, _iso(flat[move.index].planned_start_at)],
            "to": [int(move.place.resource), _iso(floor.axis.instant(move.place.start))],
            "cause": move.cause.value,
            "other": None if move.other is None else flat[move.other].pk,
        }
        for move in moves(Compiled(floor.problem), known, plan.places)
        if flat[move.index].pk in changed
    ]


def _known_place(floor: Floor, task: Task) -> KnownPlace | None:
    if task.staff_id is None or task.planned_start_at is None or task.started_at is not None:
        return None
    return KnownPlace(str(task.staff_id), floor.axis.minute_at_or_after(task.planned_start_at))


def _iso(moment: datetime | None) -> str:
    return "" if moment is None else moment.isoformat()


def _touched(old: Task, task: Task) -> bool:
    """Tell whether somebody changed, while the search ran, what it took for given."""
    return any(
        getattr(old, name) != getattr(task, name)
        for name in ("started_at", "done_at", "pinned", "minutes_planned")
    ) or (task.pinned and (old.staff_id, old.planned_start_at) != (task.staff_id, task.planned_start_at))


def _put(task: Task, floor: Floor, place: Placement) -> bool:
    """Write the placement on the task; return whether it differs from what it had."""
    before = (task.staff_id, task.planned_start_at, task.planned_end_at)
    task.staff = floor.people[place.resource]
    begun = task.started_at is not None and task.planned_start_at is not None
    pinned = task.pinned and task.planned_start_at is not None
    if not begun and not (
        pinned and place.start <= floor.axis.minute_at_or_after(task.planned_start_at or floor.axis.zero)
    ):
        task.planned_start_at = task.started_at or floor.axis.instant(place.start)
    task.planned_end_at = floor.axis.instant(place.end)
    return before != (task.staff_id, task.planned_start_at, task.planned_end_at)
