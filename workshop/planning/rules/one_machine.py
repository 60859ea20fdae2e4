"""One person, each order one task, nothing to wait for: then a plan is a sequence, and sequences are quick
to try.

An iterated descent over insertions: what moving each task to each place saves is reckoned at once, as an
array of shape (places, places).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from .compiled import Compiled
from .dispatch import Dispatched
from .problem import Objective, cost_of
from .search import Chance, seeded

NAME = "improved sequence"
Whole = NDArray[np.int64]
RESTARTS = 400
"""The search gives up after this many disturbed sequences without a better one."""

EXCHANGES = (2, 6)
"""The least and the most random exchanges that disturb a sequence before the next descent."""


@dataclass(frozen=True, slots=True)
class Line:
    """Tasks that follow one another without a pause from minute ``start`` on."""

    start: int
    minutes: Sequence[int]
    due: Sequence[int]
    weight: Sequence[int]

    def late(self, task: int, end: int) -> int:
        """Return the weighted minutes late of a task that ends then."""
        return self.weight[task] * max(0, end - self.due[task])

    def cost(self, sequence: Sequence[int]) -> int:
        """Return the weighted minutes late of the sequence."""
        ends = accumulate((self.minutes[task] for task in sequence), initial=self.start)
        return sum(self.late(task, end) for task, (_, end) in zip(sequence, pairwise(ends), strict=True))


def line_of(compiled: Compiled) -> Line | None:
    """Return the problem as a line, or None where it is not one."""
    problem, works = compiled.problem, compiled.works
    releases = {work.release for work in works}
    if (
        problem.objective is not Objective.TARDINESS
        or len(problem.resources) != 1
        or problem.resources[0].open is not None
        or len(works) != len(problem.orders)
        or len(releases) != 1
        or any(
            work.task.pinned or work.task.wait or work.machines or work.task.due is not None for work in works
        )
        or any(due is None for due in compiled.due)
    ):
        return None
    return Line(
        start=releases.pop(),
        minutes=[work.task.minutes for work in works],
        due=[due for due in compiled.due if due is not None],
        weight=compiled.weight,
    )


def improve_sequence(
    compiled: Compiled, line: Line, known: Dispatched, *, seed: int, stop: Callable[[], bool]
) -> Dispatched:
    """Return the best plan found by changing the sequence of a known one; never a worse one."""
    chance = seeded(seed)
    best = descend(line, sorted(range(len(line.minutes)), key=lambda task: known.places[task][0].start))
    lowest, idle = line.cost(best), 0
    while idle < RESTARTS and lowest > 0 and not stop():
        tried = descend(line, _disturbed(best, chance))
        cost = line.cost(tried)
        idle = idle + 1 if cost >= lowest else 0
        if cost <= lowest:
            best, lowest = tried, cost
    made = _placed(compiled, line, best)
    return made if made.cost < known.cost else known


def descend(line: Line, sequence: Sequence[int]) -> list[int]:
    """Return a sequence that no move of one task betters, reached from this one by the best move each
    time."""
    at = list(sequence)
    while True:
        gain, origin, target = _best_move(line, at)
        if gain <= 0:
            return at
        at.insert(target, at.pop(origin))


def _best_move(line: Line, sequence: Sequence[int]) -> tuple[int, int, int]:
    """Return the most that moving one task saves, from which place and to which; nothing where none saves."""
    saved = _savings(line, np.array(sequence))
    origin, target = divmod(int(saved.argmax()), len(sequence))
    gain = int(saved[origin, target])
    return (gain, origin, target) if gain > 0 else (0, 0, 0)


def _savings(line: Line, sequence: Whole) -> Whole:
    """Return what is saved by moving the task at each place (rows) to each other place (columns).

    Those between shift by its minutes, forward or back; the sums over them run along the rows.
    """
    minutes, due, weight = (
        np.array(values, dtype=np.int64)[sequence] for values in (line.minutes, line.due, line.weight)
    )
    ends = line.start + np.cumsum(minutes)
    late = weight * np.maximum(0, ends - due)
    sooner = late - weight * np.maximum(0, ends - minutes[:, None] - due)
    later = late - weight * np.maximum(0, ends + minutes[:, None] - due)
    forward = np.cumsum(np.triu(sooner, 1), axis=1)
    back = np.cumsum(np.tril(later, -1)[:, ::-1], axis=1)[:, ::-1]
    own_due, own_weight = due[:, None], weight[:, None]
    put_after = late[:, None] - own_weight * np.maximum(0, ends - own_due)
    put_before = late[:, None] - own_weight * np.maximum(0, ends - minutes + minutes[:, None] - own_due)
    found: Whole = np.triu(forward + put_after, 1) + np.tril(back + put_before, -1)
    return found


def _disturbed(sequence: Sequence[int], chance: Chance) -> list[int]:
    changed = list(sequence)
    for _ in range(chance.randint(*EXCHANGES)):
        one, other = chance.randrange(len(changed)), chance.randrange(len(changed))
        changed[one], changed[other] = changed[other], changed[one]
    return changed


def _placed(compiled: Compiled, line: Line, sequence: Sequence[int]) -> Dispatched:
    starts = accumulate((line.minutes[task] for task in sequence), initial=line.start)
    start_of = dict(zip(sequence, starts, strict=False))
    places = compiled.places([compiled.placement(task, 0, start_of[task]) for task in range(len(sequence))])
    return Dispatched(NAME, places, cost_of(compiled.problem, places))
