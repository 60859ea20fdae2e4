"""A problem as flat lists: what the dispatch rules and the solver both need worked out once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from graphlib import TopologicalSorter

from .openings import Openings
from .problem import FURTHEST_MINUTE, Placement, Places, Problem, Task, weight_steps


@dataclass(frozen=True)
class Work:
    """One task of a problem with its neighbours, resources and machines as flat indexes.

    ``each`` is what it takes on each of ``resources``, in their order.
    """

    index: int
    order: int
    task: Task
    release: int
    before: tuple[int, ...]
    then: tuple[int, ...]
    resources: tuple[int, ...]
    each: tuple[int, ...]
    machines: tuple[int, ...]

    @property
    def offers(self) -> Iterator[tuple[int, int]]:
        """Yield each resource that may do it, with the minutes that it takes there."""
        return zip(self.resources, self.each, strict=True)

    def ready(self, ends: Iterable[int]) -> int:
        """Return the minute from which it may start, were what it comes after to end then."""
        last = max(ends, default=None)
        return self.release if last is None else max(self.release, last + self.task.wait)

    def minutes_on(self, resource: int) -> int:
        """Return what it takes on that resource; on one that may not do it, the least."""
        return next((minutes for number, minutes in self.offers if number == resource), self.task.minutes)


class Compiled:
    """The flat view of a problem; ``works[i]`` is the i-th task counted through the orders."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.openings = [Openings(resource.open) for resource in problem.resources]
        self.works = _works(problem)
        self.due = [order.due for order in problem.orders]
        self.number_of = {resource.name: number for number, resource in enumerate(problem.resources)}
        self.weight = [weight_steps(order) for order in problem.orders]

    @cached_property
    def sequence(self) -> list[int]:
        """Return the tasks so that each comes after those it waits for."""
        return list(TopologicalSorter({work.index: work.before for work in self.works}).static_order())

    @cached_property
    def tails(self) -> list[int]:
        """Return the minutes that the longest chain of tasks after each task takes."""
        tails = [0] * len(self.works)
        for index in reversed(self.sequence):
            tails[index] = max(
                (self.works[then].task.minutes + tails[then] for then in self.works[index].then), default=0
            )
        return tails

    @cached_property
    def due_from(self) -> list[int | None]:
        """Return for each task the earliest due that waits for it: its order's, its own, or one after it."""
        found = [self.due[work.order] if work.task.due is None else work.task.due for work in self.works]
        for index in reversed(self.sequence):
            known = [found[index], *(found[then] for then in self.works[index].then)]
            found[index] = min((due for due in known if due is not None), default=None)
        return found

    @cached_property
    def heads(self) -> list[tuple[int, int]]:
        """Return the earliest start and end of each task, were every resource its own.

        A task that can never be done in its openings after its predecessors starts at FURTHEST_MINUTE.
        """
        heads = [(0, 0)] * len(self.works)
        for index in self.sequence:
            heads[index] = self._head(self.works[index], heads)
        return heads

    def places(self, flat: Sequence[Placement]) -> Places:
        """Return the flat placements grouped by order."""
        rows: list[list[Placement]] = [[] for _ in self.problem.orders]
        for work, place in zip(self.works, flat, strict=True):
            rows[work.order].append(place)
        return tuple(tuple(row) for row in rows)

    def placement(self, index: int, resource: int, start: int) -> Placement:
        """Return the placement of a task that starts then."""
        name = self.problem.resources[resource].name
        minutes = self.works[index].minutes_on(resource)
        return Placement(name, self.openings[resource].pieces(start, minutes))

    def _head(self, work: Work, heads: Sequence[tuple[int, int]]) -> tuple[int, int]:
        task = work.task
        if task.pinned is not None:
            return task.pinned.start, task.pinned.end
        ready = work.ready([heads[before][1] for before in work.before])
        found = []
        for resource, minutes in work.offers:
            start = self.openings[resource].next_start(ready, minutes, split=task.split)
            if start is not None:
                end = self.openings[resource].end(start, minutes, split=task.split)
                assert end is not None
                found.append((start, end))
        if not found:
            return FURTHEST_MINUTE, FURTHEST_MINUTE
        return min(start for start, _ in found), min(end for _, end in found)


def _works(problem: Problem) -> list[Work]:
    number_of = {resource.name: number for number, resource in enumerate(problem.resources)}
    machine_of = {machine.name: number for number, machine in enumerate(problem.machines)}
    works: list[Work] = []
    for number, order in enumerate(problem.orders):
        first = len(works)
        after: list[list[int]] = [[] for _ in order.tasks]
        for index, task in enumerate(order.tasks):
            for before in set(task.after):
                after[before].append(first + index)
        for index, task in enumerate(order.tasks):
            works.append(
                Work(
                    index=first + index,
                    order=number,
                    task=task,
                    release=max(order.release, task.release),
                    before=tuple(first + before for before in sorted(set(task.after))),
                    then=tuple(after[index]),
                    resources=tuple(number_of[name] for name in task.resources),
                    each=task.each or (task.minutes,) * len(task.resources),
                    machines=tuple(machine_of[name] for name in task.machines),
                )
            )
    return works
