"""Rules of dispatch: whenever somebody is free, the ready task that the rule puts first is started.

The plans are non-delay: nobody waits while there is something that may be started. They are quick, easily
explained, and where the solver begins; it never ends with a worse one.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from .compiled import Compiled, Work
from .machines import Held
from .problem import Objective, Placement, Places, Problem, Span, cost_of

LOOK_AHEAD = 2.0
"""How many average tasks ahead the apparent tardiness cost looks; 2 is the usual figure (Vepsalainen and
Morton 1987, from memory)."""

Score = Callable[[Work, int], float]
"""The rule's figure for a task at a minute; the least is started first."""


@dataclass(frozen=True, slots=True)
class Dispatched:
    """The plan that a rule made."""

    rule: str
    places: Places
    cost: float


def earliest_due_date(compiled: Compiled) -> Score:
    """Put first what is due first (Jackson 1955: least greatest lateness on one machine)."""
    due = [math.inf if day is None else float(day) for day in compiled.due_from]
    return lambda work, now: due[work.index]


def weighted_shortest_processing(compiled: Compiled) -> Score:
    """Put first the most weight for the minutes still to do (Smith 1956: least weighted completion on one
    machine)."""
    left = _minutes_left(compiled)
    return lambda work, now: -compiled.weight[work.order] / left[work.index]


def apparent_tardiness_cost(compiled: Compiled) -> Score:
    """Put first the most weight for the minutes still to do, discounted by the slack that is left.

    w / p x exp(-max(0, d - t - p) / (k x mean p)), p the minutes of the task and the longest chain after
    it, k = LOOK_AHEAD. Source: Vepsalainen and Morton 1987, from memory.
    """
    left = _minutes_left(compiled)
    # A workshop with nothing left to do has no mean, and needs none.
    mean = max(1, sum(work.task.minutes for work in compiled.works)) / max(1, len(compiled.works))

    def score(work: Work, now: int) -> float:
        due = compiled.due_from[work.index]
        if due is None:
            return 0.0
        slack = max(0.0, due - now - left[work.index])
        return -compiled.weight[work.order] / left[work.index] * math.exp(-slack / (LOOK_AHEAD * mean))

    return score


def most_work_remaining(compiled: Compiled) -> Score:
    """Put first the task with the longest chain of work behind it: for the shortest plan as a whole."""
    left = _minutes_left(compiled)
    return lambda work, now: -left[work.index]


RULES: Mapping[str, Callable[[Compiled], Score]] = {
    "earliest due date": earliest_due_date,
    "weighted shortest processing": weighted_shortest_processing,
    "apparent tardiness cost": apparent_tardiness_cost,
    "most work remaining": most_work_remaining,
}


def dispatch(problem: Problem, rule: str) -> Dispatched | None:
    """Return the plan that the rule of that name makes, or None where it runs out of openings.

    Raises:
        KeyError: no rule has that name.
    """
    compiled = Compiled(problem)
    return _dispatched(compiled, rule)


def best_dispatch(compiled: Compiled) -> Dispatched | None:
    """Return the best plan of all the rules, or None where every one runs out of openings."""
    plans = [plan for rule in rules_for(compiled.problem.objective) if (plan := _dispatched(compiled, rule))]
    return min(plans, key=lambda plan: plan.cost, default=None)


def rules_for(objective: Objective) -> tuple[str, ...]:
    """Return the names of the rules that serve the objective; due dates say nothing about a makespan."""
    if objective is Objective.MAKESPAN:
        return ("most work remaining", "weighted shortest processing")
    return ("earliest due date", "weighted shortest processing", "apparent tardiness cost")


def played(compiled: Compiled, score: Score) -> Places | None:
    """Return the plan that comes of starting ready tasks by that score, or None where the openings end
    first."""
    flat = _Floor(compiled, score).run()
    return None if flat is None else compiled.places(flat)


def _dispatched(compiled: Compiled, rule: str) -> Dispatched | None:
    places = played(compiled, RULES[rule](compiled))
    return None if places is None else Dispatched(rule, places, cost_of(compiled.problem, places))


def _minutes_left(compiled: Compiled) -> list[int]:
    # What takes no time counts as a minute, so that weight for minutes has a meaning.
    return [
        max(1, work.task.minutes + tail) for work, tail in zip(compiled.works, compiled.tails, strict=True)
    ]


class _Floor:
    """The workshop floor, moved from one event to the next.

    Tasks can only start at an event: a release, the end of a task or pin, or the start of an opening.
    """

    def __init__(self, compiled: Compiled, score: Score) -> None:
        self.compiled = compiled
        self.score = score
        self.placed: list[Placement | None] = [work.task.pinned for work in compiled.works]
        self.free_from = [0] * len(compiled.problem.resources)
        self.pins = pinned_spans(compiled)
        self.held = Held(compiled)
        self.demand = _demand(compiled)
        self.waiting_for = [sum(self.placed[b] is None for b in work.before) for work in compiled.works]
        self.coming: list[tuple[int, int]] = []
        self.ready: list[Work] = []
        self.events = sorted(set(self._known_events()))
        heapq.heapify(self.events)

    def run(self) -> list[Placement] | None:
        """Return every task's placement, or None where the openings end before the work."""
        for work in self.compiled.works:
            if self.placed[work.index] is None and not self.waiting_for[work.index]:
                self._await(work)
        last = -1
        while self.events:
            now = heapq.heappop(self.events)
            if now > last:
                last = now
                while self._start_what_can(now):
                    pass
        placed = [place for place in self.placed if place is not None]
        return placed if len(placed) == len(self.placed) else None

    def _known_events(self) -> Iterator[int]:
        yield 0
        for resource in self.compiled.problem.resources:
            yield from (span.start for span in resource.open or ())
        for pins in self.pins:
            yield from (span.end for span in pins)

    def _await(self, work: Work) -> None:
        ends = [place.end for before in work.before if (place := self.placed[before]) is not None]
        ready_at = max([work.release, *ends])
        heapq.heappush(self.coming, (ready_at, work.index))
        heapq.heappush(self.events, ready_at)

    def _start_what_can(self, now: int) -> bool:
        """Start what can be started now; return whether something of no minutes has ended already."""
        while self.coming and self.coming[0][0] <= now:
            self.ready.append(self.compiled.works[heapq.heappop(self.coming)[1]])
        free = {
            number for number, since in enumerate(self.free_from) if since <= now and self._open(number, now)
        }
        if not free or not self.ready:
            return False
        started: set[int] = set()
        for work in sorted(
            self.ready, key=lambda work: (self.score(work, now), -self.compiled.tails[work.index], work.index)
        ):
            chosen = self._choose(work, free, now)
            if chosen is not None:
                self._start(work, chosen, now)
                free.discard(chosen)
                started.add(work.index)
                if not free:
                    break
        if started:
            self.ready = [work for work in self.ready if work.index not in started]
        return any(not self.compiled.works[index].task.minutes for index in started)

    def _open(self, resource: int, now: int) -> bool:
        return self.compiled.openings[resource].end(now, 1, split=True) is not None

    def _choose(self, work: Work, free: set[int], now: int) -> int | None:
        """Return the free resource on which the task ends first; of equals, the one least asked for."""
        best: tuple[int, int, int] | None = None
        for resource, minutes in work.offers:
            if resource in free:
                end = self.compiled.openings[resource].end(now, minutes, split=work.task.split)
                if end is not None and self._clear(work, resource, now, end):
                    offer = (end, self.demand[resource], resource)
                    best = offer if best is None else min(best, offer)
        return None if best is None else best[2]

    def _clear(self, work: Work, resource: int, now: int, end: int) -> bool:
        return clear_of(self.pins[resource], now, end) and self.held.freed(work, now, end) is None

    def _start(self, work: Work, resource: int, now: int) -> None:
        place = self.compiled.placement(work.index, resource, now)
        self.placed[work.index] = place
        self.free_from[resource] = place.end
        self.held.hold(work, place.start, place.end)
        heapq.heappush(self.events, place.end)
        for then in work.then:
            self.waiting_for[then] -= 1
            if not self.waiting_for[then] and self.placed[then] is None:
                self._await(self.compiled.works[then])


def pinned_spans(compiled: Compiled) -> list[list[Span]]:
    """Return, for each resource, what its pinned tasks take of it, in order."""
    found: list[list[Span]] = [[] for _ in compiled.number_of]
    for work in compiled.works:
        if work.task.pinned is not None:
            found[compiled.number_of[work.task.pinned.resource]] += work.task.pinned.spans
    return [sorted(spans) for spans in found]


def clear_of(taken: Sequence[Span], start: int, end: int) -> bool:
    """Tell whether nothing taken overlaps the minutes from ``start`` to ``end``."""
    return all(span.end <= start or end <= span.start for span in taken)


def _demand(compiled: Compiled) -> list[int]:
    demand = [0] * len(compiled.problem.resources)
    for work in compiled.works:
        for resource in work.resources:
            demand[resource] += work.task.minutes
    return demand
