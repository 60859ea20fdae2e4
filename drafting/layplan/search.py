"""Local search over the order in which a strip is filled, by late acceptance hill climbing.

A move swaps two parts of the order, shifts one, or holds one to a pose; it is kept where the layout is no
longer than the present one or than the one ``MEMORY`` moves ago.
Source: Burke and Bykov (2017), The late acceptance hill-climbing heuristic, European Journal of Operational
Research 258, 70-78 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

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
    """The best of a few plain fills: a sound layout in a fraction of a second, the same every time."""
    rows = QUICK_ROWS if len(problem.parts) > MANY_PARTS else FINE_ROWS
    filler = Filler(problem, Grid.of(problem, rows, COLUMNS_PER_ROW))
    orders = (by_length, by_size, by_width) if len(problem.parts) <= MANY_PARTS else (by_length,)
    layouts = [filler.fill(order(problem)) for order in orders]
    best = min(layouts, key=lambda layout: layout.length(problem))
    return compact(best, problem) if len(problem.parts) <= MANY_PARTS else best


class FillSearch:
    """A ``StripPacker`` of our own, for what the engine cannot do: parts on the fold, repeats to match.

    It counts moves, not seconds: it stops after ``moves``, or when a report raises.
    """

    def __init__(self, moves: int = 10_000_000) -> None:
        self.moves = moves

    def pack(self, problem: StripProblem, *, seconds: float, seed: int, report: Report) -> None:
        if not problem.parts:
            return
        rows = FINE_ROWS if len(problem.parts) <= FEW_PARTS else COARSE_ROWS
        climb = _Climb(problem, Filler(problem, Grid.of(problem, rows, COLUMNS_PER_ROW)), seed, report)
        climb.run(self.moves)


class _Climb:
    def __init__(self, problem: StripProblem, filler: Filler, seed: int, report: Report) -> None:
        self.problem = problem
        self.filler = filler
        self.random = np.random.default_rng(seed)
        self.report = report
        self.grounds = [filler.empty()]
        self.best_length = float("inf")
        self.best_score = float("inf")

    def run(self, moves: int) -> None:
        free = (-1,) * len(self.problem.parts)
        starts = [tuple(order(self.problem)) for order in (by_length, by_size, by_width)]
        trials = [self._trial(order, free) for order in starts]
        current = self._adopt(min(trials, key=lambda trial: trial.score))
        self._keep(current)
        memory = [current.score] * MEMORY
        for move in range(moves):
            trial = self._neighbour(current, max(memory[move % MEMORY], current.score))
            if trial is not None:
                current = self._adopt(trial)
                self._keep(current)
            memory[move % MEMORY] = min(memory[move % MEMORY], current.score)

    def _neighbour(self, current: _Trial, bar: float) -> _Trial | None:
        """A changed order, if its score is at or below the bar."""
        order, held = list(current.order), list(current.held)
        first, second = (int(n) for n in self.random.integers(len(order), size=2))
        kind = self.random.random()
        if kind < 0.15:
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
        self, order: tuple[int, ...], held: tuple[int, ...], *, same: int = 0, bar: float = float("inf")
    ) -> _Trial:
        """Fill in this order after the first ``same`` parts; beyond the bar the score is infinite."""
        ground = self.grounds[same].copy()
        limit = None if bar == float("inf") else int(bar)
        learnt: list[dict[int, Ints]] = []
        for part in order[same:]:
            self.filler.put(ground, part, limit=limit, pose=held[part])
            if not ground.complete:
                return _Trial(order, held, same, ground, (), float("inf"))
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
        """Report the trial's layout, slid together, if it is the shortest yet."""
        if trial.score >= self.best_score:
            return
        self.best_score = trial.score
        layout = compact(self.filler.layout(trial.ground), self.problem)
        length = layout.length(self.problem)
        if length < self.best_length:
            self.best_length = length
            self.report(layout)
