"""A better list: what the rules of dispatch put in line, changed a little at a time and kept where it costs
less.

The floor starts ready tasks in the order of a list of turns, one figure a task. Pulling an order forward or
pushing one back, and playing the floor through again, takes milliseconds; it gives the solver a far better
plan to begin with than any rule, and is what a large workshop has when there is no time for more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from .compiled import Compiled, Work
from .dispatch import Dispatched, Score, played
from .problem import Places, cost_of
from .search import Chance, seeded

NAME = "improved list"
TRIES_AN_ORDER = 60
"""The search gives up after this many tries an order without a better plan."""


def improve(compiled: Compiled, known: Dispatched, *, seed: int, stop: Callable[[], bool]) -> Dispatched:
    """Return the best plan found by changing the turns of a known one; never a worse one.

    Ends when ``stop`` returns true, or after TRIES_AN_ORDER tries for each order that found nothing better.
    """
    chance = seeded(seed)
    turns = [float(place.start) for row in known.places for place in row]
    # Equal starts are told apart, so that the same list always plays the same plan.
    turns = [turn + index / (len(turns) + 1) for index, turn in enumerate(turns)]
    members = _members(compiled)
    best, idle = known, 0
    while idle < TRIES_AN_ORDER * max(2, len(members)) and not stop():
        tried = _changed(turns, members, chance)
        places = _played(compiled, tried)
        cost = None if places is None else cost_of(compiled.problem, places)
        idle += 1
        if places is not None and cost is not None and cost <= best.cost:
            if cost < best.cost:
                idle = 0
            best, turns = Dispatched(NAME, places, cost), tried
    return best


def _members(compiled: Compiled) -> list[list[int]]:
    members: list[list[int]] = [[] for _ in compiled.problem.orders]
    for work in compiled.works:
        members[work.order].append(work.index)
    return members


def _changed(turns: Sequence[float], members: Sequence[Sequence[int]], chance: Chance) -> list[float]:
    """Return the turns with one order's tasks, or the last of them, moved by any distance, or two orders
    exchanged."""
    changed = list(turns)
    first = chance.choice(members)
    if chance.random() < 0.4 and len(members) > 1:
        _exchange(changed, first, chance.choice(members))
        return changed
    moved = first[chance.randrange(len(first)) :] if chance.random() < 0.5 else first
    target = chance.choice(turns) + chance.uniform(-0.5, 0.5)
    shift = target - turns[moved[0]]
    for index in moved:
        changed[index] += shift
    return changed


def _exchange(turns: list[float], one: Sequence[int], other: Sequence[int]) -> None:
    shift = turns[other[0]] - turns[one[0]]
    for index in one:
        turns[index] += shift
    if other is not one:
        for index in other:
            turns[index] -= shift


def _played(compiled: Compiled, turns: Sequence[float]) -> Places | None:
    return played(compiled, _by_turn(turns))


def _by_turn(turns: Sequence[float]) -> Score:
    def score(work: Work, now: int) -> float:
        return turns[work.index]

    return score
