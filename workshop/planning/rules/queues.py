"""Orders queued before the scarcest thing that they need: a machine, or the people who alone may do a task.

Where one thing holds everything up, what matters of an order is how long it keeps that thing, not how much
work it is altogether. The queue is that of the apparent tardiness cost, reckoned for that thing alone: weight
for minutes there, discounted by the slack that is left. Each order is then placed whole, in its turn, where
its tasks end first.

Source of the rule: Vepsalainen and Morton 1987, from memory; of looking at the bottleneck first, Adams, Balas
and Zawack 1988, from memory.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from .compiled import Compiled, Work
from .dispatch import Dispatched
from .lane import Lane
from .problem import FURTHEST_MINUTE, WEIGHT_STEPS, Resource, Span, tidy
from .search import Limit
from .table import Table

NAME = "queued before the scarcest"
SHARE = 0.4
MOST_THINGS = 3
"""So many of the scarcest things have queues."""

LOOK_AHEAD = (1.2, 2.4, 0.6, 0.3)
"""How far ahead the apparent tardiness cost looks, in average stays at the thing times the root of the number
of orders, the most promising first: further where most will be late, nearer where what is due soon matters.
Found on generated workshops of 24 to 1,000 orders."""

Minutes = NDArray[np.float64]


@dataclass(frozen=True)
class Thing:
    """What is scarce: ``minutes`` of it that each order takes, shape (orders,), how many of it there are, and
    who of its people is there most: on their time it is used."""

    minutes: Minutes
    count: int
    resource: int

    @property
    def pressure(self) -> float:
        """Return for how many minutes each of it is needed in all."""
        return float(self.minutes.sum()) / self.count


def best_queued(compiled: Compiled, known: Dispatched, limit: Limit) -> Dispatched:
    """Return the best of the known plan and those of the queues: the first of them may take all the time,
    others begin as long as SHARE of it is not over."""
    best, begin_until = known, limit.share(SHARE)
    for number, queue in enumerate(_queues(compiled)):
        if number and begin_until.is_over():
            break
        made = _placed_in_turn(compiled, known, queue, limit.is_over)
        best = best if made is None or best.cost <= made.cost else made
    return best


def _placed_in_turn(
    compiled: Compiled, known: Dispatched, queue: Sequence[int], stop: Callable[[], bool]
) -> Dispatched | None:
    """Return the plan in which each order is placed where its tasks end first, around what is pinned and what
    came before it; None where the openings or the time end first."""
    table = Table(compiled, known.places)
    table.take_out(queue)
    if not all(not stop() and table.put_in(number) for number in queue):
        return None
    return Dispatched(NAME, compiled.places(table.flat), tidy(sum(map(table.late, queue)) / WEIGHT_STEPS))


def _queues(compiled: Compiled) -> Iterator[list[int]]:
    """Yield the orders queued, before the scarcest things first."""
    things = sorted(_things(compiled), key=lambda thing: -thing.pressure)[:MOST_THINGS]
    for thing in things:
        for look_ahead in LOOK_AHEAD:
            yield _queue(compiled, thing, look_ahead)


def _things(compiled: Compiled) -> list[Thing]:
    loose = [work for work in compiled.works if work.task.pinned is None]
    groups = dict.fromkeys(work.resources for work in loose)
    things = [_thing(compiled, _only_for(loose, group), len(group)) for group in groups]
    for number, machine in enumerate(compiled.problem.machines):
        things.append(_thing(compiled, [work for work in loose if number in work.machines], machine.count))
    return [thing for thing in things if thing.pressure]


def _only_for(works: Sequence[Work], group: Sequence[int]) -> list[Work]:
    """Return what nobody outside of the group may do."""
    return [work for work in works if set(group).issuperset(work.resources)]


def _thing(compiled: Compiled, works: Sequence[Work], count: int) -> Thing:
    people = sorted({number for work in works for number in work.resources})
    resource = max(people, key=lambda number: _open_minutes(compiled.problem.resources[number]), default=0)
    return Thing(_taken(compiled, works), count, resource)


def _open_minutes(resource: Resource) -> int:
    spans = (Span(0, FURTHEST_MINUTE),) if resource.open is None else resource.open
    return sum(span.end - span.start for span in spans)


def _taken(compiled: Compiled, works: Sequence[Work]) -> Minutes:
    minutes = np.zeros(len(compiled.problem.orders))
    for work in works:
        minutes[work.order] += work.task.minutes
    return minutes


def _queue(compiled: Compiled, thing: Thing, look_ahead: float) -> list[int]:
    """Return the orders as they leave the thing, the one with the highest apparent tardiness cost next."""
    lane = Lane(compiled.problem.resources[thing.resource].open)
    weight = np.array(compiled.weight, dtype=float)
    due = np.array([FURTHEST_MINUTE if due is None else due for due in compiled.due], dtype=float)
    stay = np.maximum(1.0, thing.minutes)
    slack = due - _earliest_stay(compiled)
    ahead = look_ahead * max(1, lane.start(round(thing.pressure))) / math.sqrt(len(weight))
    left, queue, gone = np.arange(len(weight)), [], 0.0
    worth = np.log(np.maximum(weight, 1e-9) / stay)
    while len(left):
        now = lane.start(round(gone / thing.count))
        place = int(np.argmax(worth[left] - np.maximum(0.0, slack[left] - now) / ahead))
        queue.append(int(left[place]))
        gone += thing.minutes[left[place]]
        left = np.delete(left, place)
    return queue


def _earliest_stay(compiled: Compiled) -> Minutes:
    """Return the minutes from each order's first task to its last, were everything its own."""
    first = np.full(len(compiled.problem.orders), float(FURTHEST_MINUTE))
    last: Minutes = np.zeros(len(first))
    for work, (start, end) in zip(compiled.works, compiled.heads, strict=True):
        first[work.order] = min(first[work.order], start)
        last[work.order] = max(last[work.order], end)
    stay: Minutes = last - first
    return stay
