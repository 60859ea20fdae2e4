"""Rules of dispatch: whenever somebody is free, the ready task that the rule puts first is started.

The plans are non-delay: nobody waits while there is something that may be started. They are quick, easily
explained, and where the solver begins; it never ends with a worse one.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from .compiled import Compiled, Work
from .machines import Held
from .problem import Objective, Placement, Places, Problem, Span, cost_of

LOOK_AHEAD = 2.0
"""How many average tasks ahead the apparent tardiness cost looks; 2 is the usual figure (Vepsalainen and
Morton 1987, from memory)."""

MOST_SCORED_ANEW = 3000
SCORES_HOLD_FOR = 240
"""With more tasks than that, a score holds for so many minutes before it is reckoned anew."""

MOST_PASSED_OVER = 50
"""So many ready tasks of a kind are tried at an event, though none before them could be started then."""

_Kind = tuple[tuple[int, ...], bool, tuple[int, ...]]
"""Who may do a task, whether it may be split, and its machines: what one cannot be started for, another may
not be either."""

_Ready = tuple[float, int, int]
"""The score of a ready task, the less of what comes after it the more, and its index."""

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


CHANGING = frozenset({"apparent tardiness cost"})
"""The rules whose figure for a task depends on the minute."""


def dispatch(problem: Problem, rule: str) -> Dispatched | None:
    """Return the plan that the rule of that name makes, or None where it runs out of openings.

    Raises:
        KeyError: no rule has that name.
    """
    compiled = Compiled(problem)
    return _dispatched(compiled, rule)


def best_dispatch(compiled: Compiled, stop: Callable[[], bool] = lambda: False) -> Dispatched | None:
    """Return the best plan of all the rules, or None where every one runs out of openings. Once ``stop``
    returns true no further rule is tried where there is a plan."""
    best: Dispatched | None = None
    for rule in rules_for(compiled.problem.objective):
        if best is not None and stop():
            break
        plan = _dispatched(compiled, rule)
        if plan is not None and (best is None or plan.cost < best.cost):
            best = plan
    return best


def rules_for(objective: Objective) -> tuple[str, ...]:
    """Return the names of the rules that serve the objective; due dates say nothing about a makespan."""
    if objective is Objective.MAKESPAN:
        return ("most work remaining", "weighted shortest processing")
    return ("earliest due date", "weighted shortest processing", "apparent tardiness cost")


def played(compiled: Compiled, score: Score, *, changing: bool = False) -> Places | None:
    """Return the plan that comes of starting ready tasks by that score, or None where the openings end
    first. ``changing`` says that a task's score changes while it is ready."""
    flat = _Floor(compiled, score, changing=changing).run()
    return None if flat is None else compiled.places(flat)


def _dispatched(compiled: Compiled, rule: str) -> Dispatched | None:
    places = played(compiled, RULES[rule](compiled), changing=rule in CHANGING)
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

    def __init__(self, compiled: Compiled, score: Score, *, changing: bool) -> None:
        self.compiled = compiled
        self.score = score
        self.changing = changing
        self.placed: list[Placement | None] = [work.task.pinned for work in compiled.works]
        self.free_from = [0] * len(compiled.problem.resources)
        self.pins = pinned_spans(compiled)
        self.held = Held(compiled)
        self.demand = _demand(compiled)
        self.waiting_for = [sum(self.placed[b] is None for b in work.before) for work in compiled.works]
        self.coming: list[tuple[int, int]] = []
        self.ready: dict[_Kind, list[_Ready]] = {}  # a heap each
        self.full: set[int] = set()
        self.scored_at = 0
        self.scores_hold_for = 0 if len(compiled.works) <= MOST_SCORED_ANEW else SCORES_HOLD_FOR
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
        ready_at = work.ready(ends)
        heapq.heappush(self.coming, (ready_at, work.index))
        heapq.heappush(self.events, ready_at)

    def _start_what_can(self, now: int) -> bool:
        """Start what can be started now; return whether something of no minutes has ended already."""
        while self.coming and self.coming[0][0] <= now:
            work = self.compiled.works[heapq.heappop(self.coming)[1]]
            kind = work.resources, work.task.split, work.machines
            heapq.heappush(self.ready.setdefault(kind, []), self._scored(work, now))
        free = {
            number for number, since in enumerate(self.free_from) if since <= now and self._open(number, now)
        }
        if free and self.changing and now - self.scored_at > self.scores_hold_for:
            self._score_anew(now)
        return self._start_first(free, now)

    def _scored(self, work: Work, now: int) -> _Ready:
        return self.score(work, now), -self.compiled.tails[work.index], work.index

    def _score_anew(self, now: int) -> None:
        """A rule may see things differently as time passes."""
        self.scored_at = now
        for queue in self.ready.values():
            queue[:] = [self._scored(self.compiled.works[index], now) for _, _, index in queue]
            heapq.heapify(queue)

    def _start_first(self, free: set[int], now: int) -> bool:
        """Start the ready tasks in turn as long as somebody is free who may do one."""
        left: list[tuple[list[_Ready], _Ready]] = []
        passed: dict[_Kind, int] = {}
        ended = False
        self._note_full(range(len(self.held.counts)), now)
        while free and (kind := self._first_kind(free, passed)) is not None:
            queue = self.ready[kind]
            ready = heapq.heappop(queue)
            work = self.compiled.works[ready[2]]
            chosen = self._choose(work, free, now)
            if chosen is None:
                left.append((queue, ready))
                passed[kind] = passed.get(kind, 0) + 1
                continue
            self._start(work, chosen, now)
            free.discard(chosen)
            self._note_full(work.machines, now)
            ended = ended or not work.minutes_on(chosen)
        for queue, ready in left:
            heapq.heappush(queue, ready)
        return ended

    def _note_full(self, machines: Iterable[int], now: int) -> None:
        """Note which of the machines are all held now: what needs one need not be tried."""
        for machine in machines:
            if self.held.is_full(machine, now):
                self.full.add(machine)
            else:
                self.full.discard(machine)

    def _first_kind(self, free: set[int], passed: Mapping[_Kind, int]) -> _Kind | None:
        """Return the kind whose first ready task is the first of all that somebody free may do."""
        kinds = [
            kind
            for kind, queue in self.ready.items()
            if queue
            and passed.get(kind, 0) < MOST_PASSED_OVER
            and not free.isdisjoint(kind[0])
            and self.full.isdisjoint(kind[2])
        ]
        return min(kinds, key=lambda kind: self.ready[kind][0], default=None)

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
