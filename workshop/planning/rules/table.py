"""A plan laid on a table, from which orders are taken and put back: what the searches share.

The rest of the plan stays where it is, so that a try costs as much as the few orders it moves and not as
much as the whole workshop.

Plans are compared by ``Figure``: lateness first, then how much differs from the plan that people know, then
how soon fittings can be, then how even the load is, then how much time is in hand where it is least.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from .compiled import Compiled, Work
from .lane import Lane
from .machines import Held
from .problem import FURTHEST_MINUTE, Placement, Places, Span, minutes_late

LEAST_MOVE = 240
"""Minutes from which another start counts as a move; what shifts by less is the same half day."""

DAY = 1440
TIGHTEST = 10**9
"""Large enough that a minute in hand makes a difference in whole numbers."""


class Figure(NamedTuple):
    """What a plan is compared by, the least first."""

    late: int
    moved: int
    eager: int
    uneven: int
    tight: int


class Table:
    """The plan on the table: who is taken when, and what each order costs as it lies.

    ``places`` is a whole plan; ``known`` is where people know each task to be, flat, None where they know
    nothing of it.
    """

    def __init__(
        self, compiled: Compiled, places: Places, known: Sequence[Placement | None] | None = None
    ) -> None:
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

    def starts_at(self, number: int) -> int:
        """Return when the first of the order's tasks begins."""
        return min(self.flat[work.index].start for work in self.works[number])

    def loose(self, number: int) -> list[Work]:
        """Return the tasks of the order that are not pinned."""
        return [work for work in self.works[number] if work.task.pinned is None]

    def figure(self, numbers: Iterable[int]) -> Figure:
        """Return what the orders contribute; the load is always that of the whole plan."""
        late = moved = eager = tight = 0
        for number in numbers:
            late += self.late(number)
            tight += self._tight(number)
            for work in self.works[number]:
                moved += self._is_moved(work)
                eager += self.flat[work.index].end if work.task.eager else 0
        uneven = sum(load * load // there for load, there in zip(self.load, self.there, strict=True))
        return Figure(late, moved, eager, uneven, tight)

    def moved(self, number: int) -> bool:
        """Tell whether one of the order's tasks lies elsewhere than people know it to be."""
        return any(self._is_moved(work) for work in self.works[number])

    def late(self, number: int) -> int:
        """Return what the order costs as it lies, in thousandths."""
        return self.compiled.weight[number] * minutes_late(
            self.compiled.problem.orders[number], self._ends(number)
        )

    def take_out(self, numbers: Iterable[int]) -> dict[int, Placement]:
        """Take the orders off the table, all but what is pinned; return where their tasks lay."""
        taken = [work for number in numbers for work in self.loose(number)]
        for work in taken:
            self._lift(work)
        return {work.index: self.flat[work.index] for work in taken}

    def put_in(self, number: int, *, as_known: bool = False) -> bool:
        """Place the order's tasks in turn, each where it ends first, or where people know it to be; return
        whether all found a place."""
        for work in self.loose(number):
            found = (self._as_known(work) if as_known else None) or self._soonest(work)
            if found is None:
                return False
            self._lay(work, self.compiled.placement(work.index, *found))
        return True

    def restore(self, taken: Mapping[int, Placement]) -> None:
        """Lay tasks again where they were, whatever became of them."""
        for index in taken:
            self._lift(self.compiled.works[index])
        for index, place in taken.items():
            self._lay(self.compiled.works[index], place)

    def _ends(self, number: int) -> list[int]:
        first = self.firsts[number]
        return [self.flat[index].end for index in range(first, first + len(self.works[number]))]

    def _tight(self, number: int) -> int:
        """Return the more the less time the order has in hand: a day less weighs most where there are few."""
        due = self.compiled.due[number]
        in_hand = FURTHEST_MINUTE if due is None else max(0, due - max(self._ends(number)))
        return TIGHTEST // (in_hand + DAY)

    def _is_moved(self, work: Work) -> bool:
        known, place = self.known[work.index], self.flat[work.index]
        if known is None:
            return False
        return known.resource != place.resource or abs(known.start - place.start) >= LEAST_MOVE

    def _ready(self, work: Work) -> int:
        return work.ready(self.flat[before].end for before in work.before)

    def _soonest(self, work: Work) -> tuple[int, int] | None:
        """Return the resource and the start with which the task ends first; of equals, who has least to
        do."""
        ready, best = self._ready(work), None
        for resource, minutes in work.offers:
            found = self._first(work, resource, minutes, ready, None if best is None else best[0])
            if found is not None:
                start, end = found
                offer = (end, self.load[resource] / self.there[resource], resource, start)
                best = offer if best is None else min(best, offer)
        return None if best is None else (best[2], best[3])

    def _first(
        self, work: Work, resource: int, minutes: int, ready: int, latest: int | None
    ) -> tuple[int, int] | None:
        """Return the first start and end of the task on that resource from the minute on; None where it
        cannot end by the latest."""
        lane = self.lanes[resource]
        at = lane.worked(ready)
        until = None if latest is None else lane.worked(latest)
        while (gap := lane.gap(at, minutes, split=work.task.split, until=until)) is not None:
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
