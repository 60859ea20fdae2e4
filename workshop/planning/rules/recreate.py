"""A better plan by taking some orders out and putting them back another way, as long as that costs less.

That is what a large workshop has, where a model of everything would not be built in time. The orders of a
try lie near one another in time. The idea is published as ruin and recreate (Schrimpf and others 2000, from
memory).
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Sequence

from .compiled import Compiled
from .dispatch import Dispatched
from .problem import WEIGHT_STEPS, Objective, Placement, tidy
from .search import Chance, seeded
from .table import Table

NAME = "improved plan"
TRIES_AN_ORDER = 60
"""The search gives up after this many tries an order without a better plan."""

MOST_TAKEN_OUT = 8
PUT_BACK_SHARE = 0.3
"""The share of tries that put moved work back where people know it to be."""


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
    table = Table(compiled, first.places, known)
    numbers = range(len(table.works))
    rearrange(table, numbers, chance=seeded(seed), stop=stop)
    late = tidy(sum(table.late(number) for number in numbers) / WEIGHT_STEPS)
    return Dispatched(NAME, compiled.places(table.flat), late)


def rearrange(table: Table, numbers: Sequence[int], *, chance: Chance, stop: Callable[[], bool]) -> None:
    """Take some of these orders out and put them back, again and again, as long as the plan on the table
    compares no worse.

    Ends when ``stop`` returns true, or after TRIES_AN_ORDER tries for each order without a better plan.
    """
    search = _Search(table, numbers)
    idle, most = 0, TRIES_AN_ORDER * max(2, len(search.movable))
    while search.movable and idle < most and not stop():
        idle = 0 if search.try_one(chance) else idle + 1


class _Search:
    """The orders that may move: when each begins, what it costs, and which lie elsewhere than people know."""

    def __init__(self, table: Table, numbers: Sequence[int]) -> None:
        self.table = table
        self.movable = [number for number in numbers if table.loose(number)]
        self.late: dict[int, int] = {}
        self.starts: dict[int, int] = {}
        self.moved: set[int] = set()
        self._look_at(self.movable)

    def try_one(self, chance: Chance) -> bool:
        """Take some orders out and put them back; keep that where it compares no worse. Return whether it is
        better."""
        put_back = bool(self.moved) and chance.random() < PUT_BACK_SHARE
        numbers = self._near(chance, sorted(self.moved) if put_back else self.movable)
        before = self.table.figure(numbers)
        taken = self.table.take_out(numbers)
        turn = self._in_turn(numbers, chance)
        done = all(self.table.put_in(number, as_known=put_back) for number in turn)
        after = self.table.figure(numbers) if done else None
        if after is None or after > before:
            self.table.restore(taken)
            return False
        self._look_at(numbers)
        return after < before

    def _look_at(self, numbers: Iterable[int]) -> None:
        for number in numbers:
            self.starts[number] = self.table.starts_at(number)
            self.late[number] = self.table.late(number)
            if self.table.moved(number):
                self.moved.add(number)
            else:
                self.moved.discard(number)

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
            due = self.table.compiled.due
            turn.sort(
                key=lambda number: (due[number] is None, (due[number] or 0) * chance.uniform(0.8, 1.25))
            )
        return turn
