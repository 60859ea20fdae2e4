"""What is to be planned, and what a plan is.

Every time is a whole number of minutes since the problem's zero. A problem is checked once, when it is
built, so that the rules which work on it need not ask again.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from typing import NamedTuple

from .errors import BadProblem

FURTHEST_MINUTE = 100_000_000
"""About 190 years; far beyond any plan, and small enough that no sum overflows the solver's integers."""

HEAVIEST = 10_000
MOST_MACHINES = 1_000
WEIGHT_STEPS = 1_000
"""Weights are read to three decimals, so that the solver can count them as whole thousandths."""


class Objective(StrEnum):
    """What a plan is judged by."""

    TARDINESS = "tardiness"
    MAKESPAN = "makespan"


class Noise(NamedTuple):
    """How real minutes differ from the estimate: log-normal, ``median`` x estimate at even odds.

    ``spread`` is the standard deviation of the logarithm of real minutes over the estimate; 0 is exact.
    """

    median: float = 1.0
    spread: float = 0.0


EXACT = Noise()


class Span(NamedTuple):
    """Minutes from ``start`` up to, not including, ``end``."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Resource:
    """A person or machine that does one task at a time; ``open`` None is always open.

    ``spread`` is for simulations: the deviation of the logarithm of a factor, 1 on average, in all that the
    resource does: how far its pace is not known.
    """

    name: str
    open: tuple[Span, ...] | None = None
    spread: float = 0.0


@dataclass(frozen=True, slots=True)
class Machine:
    """What is scarce beside people: ``count`` of a kind, each for one task at a time, always there."""

    name: str
    count: int = 1


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one task lies: on one resource, in one span or, where it was split, in several."""

    resource: str
    spans: tuple[Span, ...]

    @property
    def start(self) -> int:
        return self.spans[0].start

    @property
    def end(self) -> int:
        return self.spans[-1].end


@dataclass(frozen=True, slots=True)
class Task:
    """One piece of work, done by one of ``resources``.

    ``after`` holds indexes of tasks of the same order that must have ended. A ``split`` task may pause at
    the end of an opening and goes on, as the very next thing, in the next; any other stays within one
    opening. ``release`` holds the task back beyond its order's. A ``pinned`` task lies where it lies: it is
    under way or somebody decided so, and then openings, releases and its own predecessors do not move it.
    ``noise`` is for simulations; a plan takes the estimate. ``each``, where it is given, is what the task
    takes each of ``resources``, in their order; ``minutes`` is then the least of them. The task holds one of
    each of ``machines`` from its start to its end, over its pauses too. A ``due`` of its own (a fitting that
    is booked) costs the order's weight for each minute that the task ends after it. An ``eager`` task (the
    last before a fitting that is not booked) ends as soon as may be where nothing is late for it. ``wait`` is
    how long a task waits for somebody outside once what it comes after has ended (a fitting that is not
    booked), in minutes of the clock; a simulation draws it, log-normal about that with ``wait_spread``.
    """

    name: str
    minutes: int
    resources: tuple[str, ...]
    after: tuple[int, ...] = ()
    split: bool = False
    release: int = 0
    pinned: Placement | None = None
    noise: Noise = EXACT
    each: tuple[int, ...] = ()
    machines: tuple[str, ...] = ()
    due: int | None = None
    eager: bool = False
    wait: int = 0
    wait_spread: float = 0.0

    def minutes_on(self, resource: str) -> int:
        """Return what the task takes that resource; of one that may not do it, the least."""
        if not self.each or resource not in self.resources:
            return self.minutes
        return self.each[self.resources.index(resource)]


@dataclass(frozen=True, slots=True)
class Order:
    """Tasks that are due together; ``due`` None is never late. ``weight`` is the cost of a minute late.

    ``spread`` is for simulations, as that of a resource: how far a garment is harder than its estimate knows.
    """

    name: str
    tasks: tuple[Task, ...]
    release: int = 0
    due: int | None = None
    weight: float = 1
    spread: float = 0.0


@dataclass(frozen=True, slots=True)
class Problem:
    """Everything a plan depends on. Raises BadProblem, naming the field, when it contradicts itself."""

    objective: Objective
    resources: tuple[Resource, ...]
    orders: tuple[Order, ...]
    machines: tuple[Machine, ...] = ()

    def __post_init__(self) -> None:
        _check_resources(self.resources)
        _check_machines(self.machines)
        known = {resource.name: resource for resource in self.resources}
        for number, order in enumerate(self.orders):
            _check_order(order, f"orders[{number}]", known)
        _check_needs(self)
        _check_pins(self)


Places = tuple[tuple[Placement, ...], ...]
"""One placement a task, in the order of the problem: ``places[order][task]``."""


@dataclass(frozen=True, slots=True)
class Plan:
    """A feasible plan: what it costs, what no plan can beat, and where each task lies."""

    places: Places
    objective: float
    bound: float
    optimal: bool
    seconds: float


def cost_of(problem: Problem, places: Sequence[Sequence[Placement]]) -> float:
    """Return the objective of the placements: weighted minutes late, or the last end.

    Exact to a thousandth, as weights are; whole when all weights are.
    """
    if problem.objective is Objective.MAKESPAN:
        return max((place.end for row in places for place in row), default=0)
    late = (
        weight_steps(order) * minutes_late(order, [place.end for place in row])
        for order, row in zip(problem.orders, places, strict=True)
    )
    return tidy(sum(late) / WEIGHT_STEPS)


def minutes_late(order: Order, ends: Sequence[int]) -> int:
    """Return by how much the order, and each task with a due of its own, ends after its due; 0 where not."""
    whole = 0 if order.due is None else max(0, max(ends, default=0) - order.due)
    own = (
        max(0, end - task.due) for task, end in zip(order.tasks, ends, strict=True) if task.due is not None
    )
    return whole + sum(own)


def weight_steps(order: Order) -> int:
    """Return the order's weight in whole thousandths."""
    return round(order.weight * WEIGHT_STEPS)


def tidy(value: float) -> float:
    """Return a whole value as an int, so that it is written without a decimal point."""
    return int(value) if float(value).is_integer() else value


def _check_resources(resources: Sequence[Resource]) -> None:
    seen: set[str] = set()
    for number, resource in enumerate(resources):
        field = f"resources[{number}]"
        if resource.name in seen:
            raise BadProblem(
                f"{field}.name", f"'{resource.name}' is named twice; give each resource its own name"
            )
        seen.add(resource.name)
        _check_openings(resource.open, f"{field}.open")


def _check_machines(machines: Sequence[Machine]) -> None:
    for number, machine in enumerate(machines):
        field = f"machines[{number}]"
        if machine.name in {other.name for other in machines[:number]}:
            raise BadProblem(
                f"{field}.name", f"'{machine.name}' is named twice; give each kind of machine its own name"
            )
        if not 1 <= machine.count <= MOST_MACHINES:
            raise BadProblem(f"{field}.count", f"must be from 1 to {MOST_MACHINES}, not {machine.count}")


def _check_needs(problem: Problem) -> None:
    known = {machine.name for machine in problem.machines}
    for number, order in enumerate(problem.orders):
        for index, task in enumerate(order.tasks):
            field = f"orders[{number}].tasks[{index}].machines"
            if len(set(task.machines)) != len(task.machines):
                raise BadProblem(field, "names a machine twice; a task needs one of a kind at most")
            for name in task.machines:
                if name not in known:
                    raise BadProblem(field, f"'{name}' is not among the machines")


def _check_openings(openings: Sequence[Span] | None, field: str) -> None:
    last = 0
    for number, span in enumerate(openings or ()):
        where = f"{field}[{number}]"
        _check_minute(span.start, where)
        _check_minute(span.end, where)
        if span.end <= span.start:
            raise BadProblem(where, f"ends at {span.end}, not after its start {span.start}")
        if span.start < last:
            raise BadProblem(
                where, f"starts at {span.start}, before the opening before it has ended ({last})"
            )
        last = span.end


def _check_order(order: Order, field: str, known: dict[str, Resource]) -> None:
    _check_minute(order.release, f"{field}.release")
    if order.due is not None and abs(order.due) > FURTHEST_MINUTE:
        raise BadProblem(f"{field}.due", f"{order.due} is more than {FURTHEST_MINUTE} minutes away")
    _check_weight(order.weight, f"{field}.weight")
    if not order.tasks:
        raise BadProblem(f"{field}.tasks", "is empty; an order needs at least one task")
    for number, task in enumerate(order.tasks):
        where = f"{field}.tasks[{number}]"
        _check_task(task, where, known, siblings=len(order.tasks), number=number)
        _check_fits(task, where, known, release=max(order.release, task.release))
    _check_sequence(order.tasks, field)


def _check_weight(weight: float, field: str) -> None:
    if not math.isfinite(weight) or not 0 <= weight <= HEAVIEST:
        raise BadProblem(field, f"must be from 0 to {HEAVIEST}, not {weight}")
    if abs(weight * WEIGHT_STEPS - round(weight * WEIGHT_STEPS)) > 1e-6:
        raise BadProblem(field, f"{weight} has more than three decimals; round it")


def _check_minute(minute: int, field: str) -> None:
    if not 0 <= minute <= FURTHEST_MINUTE:
        raise BadProblem(field, f"must be from 0 to {FURTHEST_MINUTE} minutes, not {minute}")


def _check_task(task: Task, field: str, known: dict[str, Resource], *, siblings: int, number: int) -> None:
    if not 0 <= task.minutes <= FURTHEST_MINUTE:
        raise BadProblem(f"{field}.minutes", f"must be from 0 to {FURTHEST_MINUTE}, not {task.minutes}")
    if task.due is not None and abs(task.due) > FURTHEST_MINUTE:
        raise BadProblem(f"{field}.due", f"{task.due} is more than {FURTHEST_MINUTE} minutes away")
    _check_minute(task.release, f"{field}.release")
    _check_minute(task.wait, f"{field}.wait")
    if not task.resources:
        raise BadProblem(f"{field}.resources", "is empty; name at least one resource that can do the task")
    if len(set(task.resources)) != len(task.resources):
        raise BadProblem(f"{field}.resources", "names a resource twice")
    for name in task.resources:
        if name not in known:
            raise BadProblem(f"{field}.resources", f"'{name}' is not among the resources")
    if task.each and (len(task.each) != len(task.resources) or min(task.each) != task.minutes):
        raise BadProblem(f"{field}.each", "must say what it takes each resource, the least being its minutes")
    for index in task.after:
        if not 0 <= index < siblings:
            raise BadProblem(
                f"{field}.after", f"{index} is not the index of a task of this order (0 to {siblings - 1})"
            )
        if index == number:
            raise BadProblem(f"{field}.after", "a task cannot come after itself")


def _check_fits(task: Task, field: str, known: dict[str, Resource], *, release: int) -> None:
    if task.pinned is not None:
        return
    stays = {name: _longest_stay(known[name].open, release, split=task.split) for name in task.resources}
    longest = max(stays.values())
    if all(task.minutes_on(name) > stay for name, stay in stays.items()):
        room = "in all their openings" if task.split else "in any one opening"
        hint = "" if task.split else "; let it split, or open longer"
        raise BadProblem(
            f"{field}.minutes",
            f"{task.minutes} minutes do not fit: from minute {release} on its resources have at most "
            f"{longest} {room}{hint}",
        )


@lru_cache(maxsize=4096)
def _longest_stay(openings: tuple[Span, ...] | None, release: int, *, split: bool) -> int:
    if openings is None:
        return FURTHEST_MINUTE
    first = bisect_right(openings, release, key=lambda span: span.end)
    lengths = [span.end - max(span.start, release) for span in openings[first:]]
    return sum(lengths) if split else max(lengths, default=0)


def _check_sequence(tasks: Sequence[Task], field: str) -> None:
    try:
        tuple(TopologicalSorter({number: task.after for number, task in enumerate(tasks)}).static_order())
    except CycleError as error:
        around = " after ".join(str(number) for number in reversed(error.args[1]))
        raise BadProblem(f"{field}.tasks", f"'after' runs in a circle: {around}") from None


def _check_pins(problem: Problem) -> None:
    names = {resource.name for resource in problem.resources}
    taken: dict[str, list[tuple[Span, str]]] = {name: [] for name in names}
    for number, order in enumerate(problem.orders):
        for index, task in enumerate(order.tasks):
            if task.pinned is None:
                continue
            field = f"orders[{number}].tasks[{index}].pinned"
            _check_pin(task.pinned, field, names)
            taken[task.pinned.resource] += [
                (span, field) for span in task.pinned.spans if span.start < span.end
            ]
    for rows in taken.values():
        _check_apart(sorted(rows))


def _check_pin(pin: Placement, field: str, names: Iterable[str]) -> None:
    if pin.resource not in names:
        raise BadProblem(f"{field}.resource", f"'{pin.resource}' is not among the resources")
    if not pin.spans:
        raise BadProblem(f"{field}.spans", "is empty")
    if len(pin.spans) == 1 and pin.start == pin.end:
        _check_minute(pin.start, f"{field}.spans[0]")  # a task of no minutes
    else:
        _check_openings(pin.spans, f"{field}.spans")


def _check_apart(rows: Sequence[tuple[Span, str]]) -> None:
    for (before, _), (span, field) in pairwise(rows):
        if span.start < before.end:
            raise BadProblem(field, f"overlaps another pinned task at minute {span.start}")
