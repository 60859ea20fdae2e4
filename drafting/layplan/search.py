"""Local search over the order in which a strip is filled, by late acceptance hill climbing.

A move swaps two parts of the order, shifts one, or holds one to a pose; it is kept where the layout is no
longer than the present one or than the one ``MEMORY`` moves ago.
Source: Burke and Bykov (2017), The late acceptance hill-climbing heuristic, European Journal of Operational
Research 258, 70-78 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf

import numpy as np

from drafting.layplan.boxes import boxes_in_rows
from drafting.layplan.compact import compact
from drafting.layplan.fill import Filler, Ground, by_length, by_size, by_width
from drafting.layplan.raster import Grid, Ints
from drafting.layplan.strip import Layout, Report, StripProblem

#: Length of the memory of late acceptance, in moves.
MEMORY = 60

#: Rows of cells over the strip: coarse for many parts, fine for a garment or two.
FEW_PARTS, FINE_ROWS, COARSE_ROWS = 60, 160, 96

#: Cells along the strip for each across it: lengths are what is saved.
COLUMNS_PER_ROW = 2.0

#: Moves after which the search that may turn parts and the one that may not take turns.
TURN = 50

#: A quick fill of very many parts uses this many rows.
MANY_PARTS, QUICK_ROWS = 250, 64


@dataclass(frozen=True, slots=True)
class _Trial:
    """An order filled: the pose each part is held to (-1 for any), the last ground, what was learnt.

    The first ``same`` parts lie as in the trial that this one began from. Lower ``score`` is better.
    """

    order: tuple[int, ...]
    held: tuple[int, ...]
    same: int
    ground: Ground
    learnt: tuple[dict[int, Ints], ...]
    score: float


def quick_fill(problem: StripProblem) -> Layout:
    """The best of a few plain fills: a sound layout in a fraction of a second, the same every time.

    Where parts may be turned they are also filled all one way, so that the freedom never costs cloth.
    """
    many = len(problem.parts) > MANY_PARTS
    filler = Filler(problem, Grid.of(problem, QUICK_ROWS if many else FINE_ROWS, COLUMNS_PER_ROW))
    orders = [order(problem) for order in ((by_length,) if many else (by_length, by_size, by_width))]
    found = []
    for pose in _holds(problem):
        filled = [layout for order in orders if (layout := filler.fill(order, pose=pose))]
        best = min(filled, key=lambda layout: layout.length(problem), default=boxes_in_rows(problem))
        found.append(best if many else compact(best, problem))
    return min(found, key=lambda layout: layout.length(problem))


def _holds(problem: StripProblem) -> tuple[int, ...]:
    """The poses to hold all parts to, in turn: the first, and any where one may be turned."""
    return (0, -1) if any(len(part.poses) > 1 for part in problem.parts) else (0,)


class FillSearch:
    """A ``StripPacker`` of our own, for what the engine cannot do: parts on the fold or tied, flaws.

    It counts moves, not seconds: it stops after ``moves``, or when a report raises. Where parts may be
    turned it searches by turns with all parts one way and with any; the second takes over what the first
    found better. So twice the moves never give a longer layout than the same search for parts that may not
    be turned.
    """

    def __init__(self, moves: int = 10_000_000) -> None:
        self.moves = moves

    def pack(self, problem: StripProblem, *, seconds: float, seed: int, report: Report) -> None:
        if not problem.parts:
            return
        rows = FINE_ROWS if len(problem.parts) <= FEW_PARTS else COARSE_ROWS
        filler = Filler(problem, Grid.of(problem, rows, COLUMNS_PER_ROW))
        report = _OnlyBetter(problem, report)
        climbs = [_Climb(problem, filler, seed, report, hold=hold) for hold in _holds(problem)]
        if any(climb.best.score == inf for climb in climbs):
            return  # a part found no place on the lattice of its group
        for _ in range(0, self.moves, TURN * len(climbs)):
            for before, climb in zip((climbs[0], *climbs), climbs, strict=False):
                climb.take_over(before.best)
                climb.run(TURN)


class _OnlyBetter:
    """Passes on what is shorter than all before, whichever climb found it."""

    def __init__(self, problem: StripProblem, report: Report) -> None:
        self._problem, self._report = problem, report
        self._best = inf

    def __call__(self, layout: Layout) -> None:
        length = layout.length(self._problem)
        if length < self._best:
            self._best = length
            self._report(layout)


class _Climb:
    """One late acceptance climb. ``hold``: the pose that its parts begin with, -1 for any."""

    def __init__(
        self, problem: StripProblem, filler: Filler, seed: int, report: Report, *, hold: int
    ) -> None:
        self.problem = problem
        self.filler = filler
        self.random = np.random.default_rng(seed)
        self.report = report
        self.hold = hold
        self.grounds = [filler.empty()]
        self.current = self.best = self._start()
        if self.best.score < inf:
            self._adopt(self.best)
            self.report(self._layout(self.best))
        self._memory = [self.current.score] * MEMORY
        self._moved = 0

    def _start(self) -> _Trial:
        held = (self.hold,) * len(self.problem.parts)
        orders = [tuple(order(self.problem)) for order in (by_length, by_size, by_width)]
        return min((self._trial(order, held) for order in orders), key=lambda trial: trial.score)

    def take_over(self, other: _Trial) -> None:
        """Go on from another climb's best where that is better than anything found here."""
        if other.score < self.best.score:
            unlearnt: tuple[dict[int, Ints], ...] = ({},) * len(other.order)
            self.current = self.best = self._adopt(replace(other, same=0, learnt=unlearnt))

    def run(self, moves: int) -> None:
        for _ in range(moves):
            at = self._moved % MEMORY
            trial = self._neighbour(self.current, max(self._memory[at], self.current.score))
            if trial is not None:
                self.current = self._adopt(trial)
                self._keep(trial)
            self._memory[at] = min(self._memory[at], self.current.score)
            self._moved += 1

    def _neighbour(self, current: _Trial, bar: float) -> _Trial | None:
        """A changed order, if its score is at or below the bar."""
        order, held = list(current.order), list(current.held)
        first, second = (int(n) for n in self.random.integers(len(order), size=2))
        kind = self.random.random()
        if kind < 0.15 and self.hold == -1:
            poses = len(self.problem.parts[order[first]].poses)
            held[order[first]] = int(self.random.integers(-1, poses))
            second = first
        elif kind < 0.6:
            order[first], order[second] = order[second], order[first]
        else:
            order.insert(second, order.pop(first))
        trial = self._trial(tuple(order), tuple(held), same=min(first, second), bar=bar)
        return trial if trial.score <= bar else None

    def _trial(
        self, order: tuple[int, ...], held: tuple[int, ...], *, same: int = 0, bar: float = inf
    ) -> _Trial:
        """Fill in this order after the first ``same`` parts; beyond the bar the score is infinite."""
        ground = self.grounds[same].copy()
        limit = None if bar == inf else int(bar)
        learnt: list[dict[int, Ints]] = []
        for part in order[same:]:
            self.filler.put(ground, part, limit=limit, pose=held[part])
            if not ground.complete:
                return _Trial(order, held, same, ground, (), inf)
            learnt.append(dict(ground.reached))
        return _Trial(order, held, same, ground, tuple(learnt), self._score(ground))

    def _adopt(self, trial: _Trial) -> _Trial:
        """Make the grounds before each step of the trial, from which its neighbours resume."""
        del self.grounds[trial.same + 1 :]
        for place, learnt in zip(trial.ground.places[trial.same :], trial.learnt, strict=True):
            ground = self.grounds[-1].copy()
            self.filler.put_again(ground, place)
            ground.reached = learnt
            self.grounds.append(ground)
        return trial

    def _score(self, ground: Ground) -> float:
        """Columns taken; of equals, that whose parts lie further left is nearer to a better one."""
        mean = sum(place.column for place in ground.places) / len(ground.places)
        return ground.right + mean / (2 * ground.right)

    def _keep(self, trial: _Trial) -> None:
        """Report the trial's layout, slid together, if it is the best yet."""
        if trial.score < self.best.score:
            self.best = trial
            self.report(self._layout(trial))

    def _layout(self, trial: _Trial) -> Layout:
        return compact(self.filler.layout(trial.ground), self.problem)
