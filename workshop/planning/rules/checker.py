"""Is a plan one that people could follow? Asked without any of the code that makes plans.

Nothing here uses the rules of dispatch, the solver or their openings, so that a mistake there cannot hide
itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from .problem import Order, Placement, Problem, Resource, Span, Task


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a plan; ``field`` is the path of the task in it."""

    field: str
    message: str


def faults(problem: Problem, places: Sequence[Sequence[Placement]]) -> tuple[Fault, ...]:
    """Return everything that makes the plan impossible; nothing for a feasible plan."""
    if [len(row) for row in places] != [len(order.tasks) for order in problem.orders]:
        return (Fault("tasks", "does not have one placement for each task of the problem"),)
    found: list[Fault] = []
    for number, (order, row) in enumerate(zip(problem.orders, places, strict=True)):
        for index, (task, place) in enumerate(zip(order.tasks, row, strict=True)):
            field = f"tasks[{number}][{index}]"
            found += [Fault(field, message) for message in _task_faults(problem, order, task, place)]
            found += [Fault(field, message) for message in _order_faults(task, place, row)]
    found += _overlaps(places)
    found += _machine_faults(problem, places)
    return tuple(found)


def _task_faults(problem: Problem, order: Order, task: Task, place: Placement) -> Iterator[str]:
    if task.pinned is not None:
        if place != task.pinned:
            yield "is pinned and was moved"
        return
    if place.resource not in task.resources:
        yield f"'{place.resource}' cannot do this task"
        return
    wanted = task.minutes_on(place.resource)
    if not place.spans or (wanted and any(span.end <= span.start for span in place.spans)):
        yield "has no span, or an empty one"
        return
    lasts = sum(span.end - span.start for span in place.spans)
    if lasts != wanted:
        yield f"lasts {lasts} minutes instead of {wanted}"
    if place.start < max(order.release, task.release):
        yield f"starts at {place.start}, before its release {max(order.release, task.release)}"
    resource = next(resource for resource in problem.resources if resource.name == place.resource)
    yield from _opening_faults(resource, task, place.spans)


def _opening_faults(resource: Resource, task: Task, spans: Sequence[Span]) -> Iterator[str]:
    for span in spans:
        if resource.open is not None and not any(
            o.start <= span.start and span.end <= o.end for o in resource.open
        ):
            yield f"works from {span.start} to {span.end}, when '{resource.name}' is not there"
    if len(spans) > 1 and not task.split:
        yield "is split and may not be"
    for before, after in pairwise(spans):
        if after.start < before.end:
            yield "has spans out of order"
        elif _open_between(resource, before.end, after.start):
            yield f"pauses from {before.end} to {after.start} while '{resource.name}' is there"


def _open_between(resource: Resource, start: int, end: int) -> bool:
    if resource.open is None:
        return end > start
    return any(max(opening.start, start) < min(opening.end, end) for opening in resource.open)


def _order_faults(task: Task, place: Placement, row: Sequence[Placement]) -> Iterator[str]:
    if task.pinned is not None:
        return
    for before in task.after:
        if place.spans and row[before].spans and place.start < row[before].end + task.wait:
            waited = f" and {task.wait} minutes were waited" if task.wait else ""
            yield f"starts at {place.start}, before task {before} has ended ({row[before].end}){waited}"


def _overlaps(places: Sequence[Sequence[Placement]]) -> Iterator[Fault]:
    taken: dict[str, list[tuple[Span, str]]] = {}
    for number, row in enumerate(places):
        for index, place in enumerate(row):
            taken.setdefault(place.resource, []).extend(
                (span, f"tasks[{number}][{index}]") for span in place.spans if span.start < span.end
            )
    for resource, rows in sorted(taken.items()):
        latest, holder = -1, ""
        for span, field in sorted(rows):
            if span.start < latest:
                yield Fault(field, f"overlaps {holder} on '{resource}' at minute {span.start}")
            if span.end > latest:
                latest, holder = span.end, field


def _machine_faults(problem: Problem, places: Sequence[Sequence[Placement]]) -> Iterator[Fault]:
    """Yield each task during which more of a machine would be held than there are.

    Tasks that are pinned together are facts, not a fault of the plan.
    """
    for machine in problem.machines:
        held = [
            (place.start, place.end, task.pinned is not None, f"tasks[{number}][{index}]")
            for number, (order, row) in enumerate(zip(problem.orders, places, strict=True))
            for index, (task, place) in enumerate(zip(order.tasks, row, strict=True))
            if machine.name in task.machines and place.spans and place.start < place.end
        ]
        for start, _, _, field in held:
            at_once = [row for row in held if row[0] <= start < row[1]]
            if len(at_once) > machine.count and not all(pinned for _, _, pinned, _ in at_once):
                yield Fault(
                    field,
                    f"is the {len(at_once)}th at minute {start} to need '{machine.name}', "
                    f"of which there are {machine.count}",
                )
