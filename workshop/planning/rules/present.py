"""The plan as it stands, carried forward from now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .compiled import Compiled
from .dispatch import played
from .errors import CannotPlan
from .openings import Openings
from .problem import FURTHEST_MINUTE, Order, Places, Problem, Task

Standing = tuple[str | None, int | None]
"""Who is to do a task and from which minute, as the plan has it; None where it has nothing."""


def present_plan(problem: Problem, standing: Sequence[Sequence[Standing]]) -> Places:
    """Return the plan as it stands, carried forward from now: same people, same turns, no idle gaps.

    What it does not hold yet comes after what it holds, first what is due first.

    Raises:
        CannotPlan: it does not fit in the openings.
    """
    orders = tuple(
        replace(
            order,
            tasks=tuple(
                _kept(problem, order, task, name) for task, (name, _) in zip(order.tasks, row, strict=True)
            ),
        )
        for order, row in zip(problem.orders, standing, strict=True)
    )
    starts = [start for row in standing for _, start in row]
    compiled = Compiled(replace(problem, orders=orders))
    latest = max((order.due or 0 for order in problem.orders), default=0)
    due = [latest if order.due is None else order.due for order in problem.orders]
    places = played(
        compiled,
        lambda work, now: (
            float(FURTHEST_MINUTE + due[work.order])
            if (start := starts[work.index]) is None
            else float(start)
        ),
    )
    if places is None:
        raise CannotPlan("resources", "the openings end before the work; plan further ahead")
    return places


def _kept(problem: Problem, order: Order, task: Task, name: str | None) -> Task:
    """Return the task with the person whom the plan names for it, where it fits into that person's time."""
    if task.pinned is not None or name is None or name not in task.resources:
        return task
    spans = next(resource.open for resource in problem.resources if resource.name == name)
    release = max(order.release, task.release)
    minutes = task.minutes_on(name)
    fits = Openings(spans).next_start(release, minutes, split=task.split) is not None
    return replace(task, resources=(name,), minutes=minutes, each=()) if fits else task
