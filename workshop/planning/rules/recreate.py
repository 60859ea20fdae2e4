"""A better plan by taking some orders out and putting them back another way, as long as that costs less.

The rest of the plan stays where it is, so that a try costs as much as the few orders it moves and not as
much as the whole workshop: that is what a large one has, where a model of everything would not be built in
time. The orders of a try lie near one another in time. The idea is published as ruin and recreate (Schrimpf
and others 2000, from memory).

Plans are compared by ``Figure``: lateness first, then how much differs from the plan that people know, then
how soon fittings can be, then how even the load is.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from .compiled import Compiled, Work
from .dispatch import Dispatched
from .lane import Lane
from .machines import Held
from .problem import WEIGHT_STEPS, Objective, Placement, Places, Span, minutes_late, tidy
from .search import Chance, seeded

NAME = "improved plan"
TRIES_AN_ORDER = 60
"""The search gives up after this many tries an order without a better plan."""

MOST_TAKEN_OUT = 8
PUT_BACK_SHARE = 0.3
"""The share of tries that put moved work back where people know it to be."""

LEAST_MOVE = 240
"""Minutes from which another start counts as a move; what shifts by less is the same half day."""


class Figure(NamedTuple):
    """What a plan is compared by, the least first."""

    late: int
    moved: int
    eager: int
    uneven: int


def is_moved(known: Placement | None, place: Placement) -> bool:
    """Tell whether the placement is another one than what people know."""
    if known is None:
        return False
    return known.resource != place.resource or abs(known.start - place.start) >= LEAST_MOVE


def recreate(
    compiled: Compiled,
    first: Dispatched,
    *,
    seed: int,
    stop: Callable[[], bool],
    known: Sequence[Placement | None] | None = None,
) -> Dispatched:
    """Return the best plan found from the first one; never one that compares worse.

    ``known`` is where people know each task to be, flat; None where they know nothing of it.

    Ends when ``stop`` returns true, or after TRIES_AN_ORDER tries for each order without a better plan.
    """
    if compiled.problem.objective is not Objective.TARDINESS or not compiled.works:
        return first
    table = _Table(compiled, first.places, known)
    chance = seeded(seed)
    idle, most = 0, TRIES_AN_ORDER * max(2, len(table.movable))
    while table.movable and idle < most and not stop():
        idle = 0 if table.try_one(chance) else idle + 1
    late = tidy(table.figure().late / WEIGHT_STEPS)
    return Dispatched(NAME, compiled.places(table.flat), late)


class _Table:
    """The plan on the table: who is taken when, and what each order costs as it lies."""

    def __init__(self, compiled: Compiled, places: Places, known: Sequence[Placement | None] | None) -> None:
        self.compiled = compiled
        self.flat = [place for row in places for place in row]
        self.known = known or [None] * len(self.flat)
        self.lanes = [Lane(resource.open) for resource in compiled.problem.resources]
        self.held = Held(compiled)  # holds what is pinned
        self.works: list[list[Work]] = [[] for _ in compiled.problem.orders]
        for index in compiled.sequence:
            self.works[compiled.works[index].order].append(compiled.works[index])
        self.firsts = [min(work.index for work in works) for works in self.works]
        self._spans: dict[int, tuple[Span, ...]] = {}
        self.load = [0] * len(self.lanes)
        self.there = [max(1, lane.worked(_last_end(self.flat))) for lane in self.lanes]
        for work in compiled.works:
            self._lay(work, self.flat[work.index])
        self.movable = [
            number
            for number, works in enumerate(self.works)
            if any(work.task.pinned is None for work in works)
        ]
        self.late = [self._late(number) for number in range(len(self.works))]
        self.starts = [min(self.flat[work.index].start for work in works) for works in self.works]

    def figure(self) -> Figure:
        """Return the figure of the whole plan."""
        return self._figure(range(len(self.works)))

    def try_one(self, chance: Chance) -> bool:
        """Take some orders out and put them back; keep that where it compares no worse. Return whether it is
        better."""
        moved = self._moved_orders() if chance.random() < PUT_BACK_SHARE else []
        numbers = self._near(chance, moved or self.movable)
        before = self._figure(numbers)
        kept = {work.index: self.flat[work.index] for number in numbers for work in self._loose(number)}
        self._take_out(numbers)
        done = all(self._put_in(number, as_known=bool(moved)) for number in self._in_turn(numbers, chance))
        after = self._figure(numbers) if done else None
        if after is None or after > before:
            self._restore(kept)
            return False
        for number in numbers:
            self.starts[number] = min(self.flat[work.index].start for work in self.works[number])
            self.late[number] = self._late(number)
        return after < before

    def _loose(self, number: int) -> list[Work]:
        return [work for work in self.works[number] if work.task.pinned is None]

    def _figure(self, numbers: Iterable[int]) -> Figure:
        """Return what the orders contribute; the load is always that of the whole plan."""
        late = moved = eager = 0
        for number in numbers:
            late += self._late(number)
            for work in self.works[number]:
                moved += is_moved(self.known[work.index], self.flat[work.index])
                eager += self.flat[work.index].end if work.task.eager else 0
        uneven = sum(load * load // there for load, there in zip(self.load, self.there, strict=True))
        return Figure(late, moved, eager, uneven)

    def _late(self, number: int) -> int:
        order = self.compiled.problem.orders[number]
        first = self.firsts[number]
        ends = [self.flat[first + step].end for step in range(len(order.tasks))]
        return self.compiled.weight[number] * minutes_late(order, ends)

    def _moved_orders(self) -> list[int]:
        return [
            number
            for number in self.movable
            if any(is_moved(self.known[w.index], self.flat[w.index]) for w in self.works[number])
        ]

    def _near(self, chance: Chance, among: Sequence[int]) -> list[int]:
        """Return one to MOST_TAKEN_OUT orders that begin about the same time, one of them late if any is."""
        late = [number for number in among if self.late[number]]
        first = chance.choice(late if late and chance.random() < 0.7 else among)
        # What could change places with it lies anywhere from now to where it lies.
        at = self.starts[first] * chance.uniform(0.3, 1.2)
        size = chance.randint(0, MOST_TAKEN_OUT - 1)
        near = heapq.nsmallest(size, self.movable, key=lambda number: abs(self.starts[number] - at))
        return [first, *(number for number in near if number != first)]

    def _in_turn(self, numbers: Sequence[int], chance: Chance) -> list[int]:
        """Return the orders in which they are put back: shuffled, or about by their due and weight."""
        turn = list(numbers)
        chance.shuffle(turn)
        if chance.random() < 0.5:
            due = self.compiled.due
            turn.sort(
                key=lambda number: (due[number] is None, (due[number] or 0) * chance.uniform(0.8, 1.25))
            )
        return turn

    def _take_out(self, numbers: Iterable[int]) -> None:
        for number in numbers:
            for work in self.works[number]:
                self._lift(work)

    def _put_in(self, number: int, *, as_known: bool) -> bool:
        """Place the order's tasks in turn, each where it ends first, or where people know it to be; return
        whether all found a place."""
        for work in self.works[number]:
            if work.task.pinned is None:
                found = (self._as_known(work) if as_known else None) or self._soonest(work)
                if found is None:
                    return False
                self._lay(work, self.compiled.placement(work.index, *found))
        return True

    def _restore(self, kept: dict[int, Placement]) -> None:
        for index in kept:
            self._lift(self.compiled.works[index])
        for index, place in kept.items():
            self._lay(self.compiled.works[index], place)

    def _ready(self, work: Work) -> int:
        return work.ready(self.flat[before].end for before in work.before)

    def _soonest(self, work: Work) -> tuple[int, int] | None:
        """Return the resource and the start with which the task ends first; of equals, who has least to
        do."""
        ready, best = self._ready(work), None
        for resource, minutes in work.offers:
            found = self._first(work, resource, minutes, ready)
            if found is not None:
                start, end = found
                offer = (end, self.load[resource] / self.there[resource], resource, start)
                best = offer if best is None else min(best, offer)
        return None if best is None else (best[2], best[3])

    def _first(self, work: Work, resource: int, minutes: int, ready: int) -> tuple[int, int] | None:
        """Return the first start and end of the task on that resource from the minute on."""
        lane = self.lanes[resource]
        at = lane.worked(ready)
        while (gap := next(lane.gaps(at, minutes, split=work.task.split), None)) is not None:
            start, end = lane.start(gap.start), lane.end(gap.end)
            later = self.held.freed(work, start, end) if work.machines else None
            if later is None:
                return start, end
            at = lane.worked(later)
        return None

    def _as_known(self, work: Work) -> tuple[int, int] | None:
        """Return where people know the task to be, where that is free and not before it is ready."""
        known = self.known[work.index]
        resource = None if known is None else self.compiled.number_of.get(known.resource)
        if known is None or resource not in work.resources or known.start < self._ready(work):
            return None
        lane, minutes = self.lanes[resource], work.minutes_on(resource)
        end = self.compiled.openings[resource].end(known.start, minutes, split=work.task.split)
        at = lane.worked(known.start)
        if end is None or not lane.is_free(Span(at, at + minutes)):
            return None
        return (resource, known.start) if self.held.freed(work, known.start, end) is None else None

    def _lay(self, work: Work, place: Placement) -> None:
        """Put the task on the table there."""
        resource = self.compiled.number_of[place.resource]
        self.flat[work.index] = place
        self._spans[work.index] = self._worked(resource, place)
        for span in self._spans[work.index]:
            self.lanes[resource].take(span)
            self.load[resource] += span.end - span.start
        if work.task.pinned is None:
            self.held.hold(work, place.start, place.end)

    def _lift(self, work: Work) -> None:
        """Take the task off the table; one that is pinned, or is off it already, stays as it is."""
        if work.task.pinned is not None or work.index not in self._spans:
            return
        place = self.flat[work.index]
        resource = self.compiled.number_of[place.resource]
        for span in self._spans.pop(work.index):
            self.lanes[resource].give_back(span)
            self.load[resource] -= span.end - span.start
        self.held.release(work, place.start, place.end)

    def _worked(self, resource: int, place: Placement) -> tuple[Span, ...]:
        lane = self.lanes[resource]
        spans = (Span(lane.worked(span.start), lane.worked(span.end)) for span in place.spans)
        return tuple(span for span in spans if span.start < span.end)


def _last_end(flat: Sequence[Placement]) -> int:
    return max((place.end for place in flat), default=0)
