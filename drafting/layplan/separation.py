"""A packer that shortens the strip a little and parts what overlaps then (``separate``), again and again.

It begins with the quick fill. While it succeeds it shortens by more and more, else by less; stuck, it lets
a few neighbours in one of the layouts that it nearly parted change places and tries again. After so many
failures it presses the shortest layout together in small steps, then goes on. Where it fails it draws the
best and what is nearly parted tight (``tighten``): that takes out the margin of the tables. Unlike the engine
it holds parts to the fold, to a band and to the lattice of a repeat, and keeps clear of what is blocked.
"""

from __future__ import annotations

from bisect import insort
from typing import NamedTuple

import numpy as np

from drafting.layplan.bound import Shapes, bounds_of, depths, layout_of, lie_of
from drafting.layplan.nofit import Floats, Ints, tables_needed
from drafting.layplan.search import quick_fill
from drafting.layplan.separate import ON_LATTICE, Scene, separate
from drafting.layplan.strip import Layout, Part, Pose, Report, StripProblem
from drafting.layplan.tighten import tightened

#: Seconds that one table takes, and the share of the time that all may take: else it is not worth beginning.
A_TABLE, TABLING = 0.007, 0.5

#: Shares of the length by which it is cut: at first, least and most, and least when pressing.
FIRST_CUT, LEAST_CUT, MOST_CUT, LEAST_PRESS = 0.01, 0.001, 0.02, 0.00002

#: What is drawn tight must be shorter by this share than what was reported.
GAINED = 1e-6

#: A cut that succeeded grows by the first; one that failed shrinks by the second.
LONGER, SHORTER = 1.15, 0.5

#: Passes without progress, and how many times over, before an attempt is given up; then when pressing.
PATIENCE, PRESS_PATIENCE = (200, 3), (50, 1)

#: Weights change at a pace from this up to 1, drawn for each attempt: what suits some shapes hinders others.
LEAST_PACE = 0.5

#: Failures one after another after which the best is pressed together.
FAILURES = 25

#: At most so many parts change places at once: more seldom comes right again.
STIRRED = 6

#: Spread of the choice among the layouts nearly parted, as a share of them; small keeps to the best.
SPREAD = 0.25


class Separation:
    """A ``StripPacker`` of our own. It counts attempts, not seconds; a report that raises stops it.

    It finds nothing where the shapes are so many that their tables would take most of the seconds.
    """

    def __init__(self, attempts: int = 10_000_000) -> None:
        self.attempts = attempts

    def pack(self, problem: StripProblem, *, seconds: float, seed: int, report: Report) -> None:
        if not problem.parts:
            return
        shapes = Shapes.of(problem)
        if tables_needed(shapes.likenesses) * A_TABLE <= TABLING * seconds:
            _Run(problem, shapes, seed, report).run(self.attempts)


class _Found(NamedTuple):
    """Where everything lies, the length for which it was sought, and what is left of its overlaps."""

    left: float
    length: float
    pose: Ints
    x: Floats
    y: Floats


class _Run:
    """One search: where everything lies now, the best, and chance."""

    def __init__(self, problem: StripProblem, shapes: Shapes, seed: int, report: Report) -> None:
        start = quick_fill(problem)
        self.problem, self.shapes, self.report = problem, shapes, report
        self.lie, self.bounds = lie_of(start, problem, shapes), bounds_of(problem, shapes, start)
        self.scene = Scene.of(self.lie, self.bounds, depths(problem, shapes), problem.gap, seed)
        self.random = np.random.default_rng(seed)
        self.best = self._found(0.0, start.length(problem))
        self.reported = self.best.length
        self.drawn: _Found | None = None

    def run(self, attempts: int) -> None:
        cut = FIRST_CUT
        nearly: list[_Found] = []
        for _ in range(attempts):
            if self._part(self.best.length * (1 - cut), PATIENCE, nearly):
                cut, nearly = min(cut * LONGER, MOST_CUT), []
                continue
            cut = max(cut * SHORTER, LEAST_CUT)
            if len(nearly) % FAILURES == 0:
                self._press()
            self._lay(self._one_of(nearly))
            self._stir()

    def _press(self) -> None:
        """Cut the best shorter by less and less, what lies beyond some point moved with its end."""
        cut = LEAST_CUT
        while cut > LEAST_PRESS:
            self._lay(self.best)
            length = self.best.length * (1 - cut)
            beyond = self.lie.x[: len(self.problem.parts)] > self.random.random() * length
            self.lie.x[: len(beyond)][beyond] -= self.best.length - length
            if not self._part(length, PRESS_PATIENCE, []):
                cut *= SHORTER

    def _part(self, length: float, patience: tuple[int, int], nearly: list[_Found]) -> bool:
        """Whether all could be parted in this length: it is the best then, else one of those nearly."""
        pace = self.random.uniform(LEAST_PACE, 1)
        left = separate(self.scene._replace(end=length, pace=pace), *patience)
        reached = float(self.lie.right[: len(self.problem.parts)].max())
        # A part whose lattice has no place before the end lies beyond it.
        if left > 0 or reached > length + ON_LATTICE:
            failed = self._found(left, length)
            insort(nearly, failed, key=lambda found: found.left)
            if self.drawn is not self.best:
                self.drawn = self.best
                self._tighten(self.best)
            self._tighten(failed)
            return False
        self.best = self._found(0.0, reached)
        self._report(reached)
        return True

    def _tighten(self, found: _Found) -> None:
        """Draw one tight and report it, if it is sound then and the shortest."""
        self._lay(found)
        longest = self.reported * (1 - GAINED)
        tight = tightened(self.lie, self.bounds, self.scene.depths, longest)
        if tight is not None:
            self.lie.x[:], self.lie.y[:] = tight.x, tight.y
            self._report(tight.length)

    def _report(self, length: float) -> None:
        """Report how everything lies, if that is the shortest."""
        if length < self.reported:
            self.reported = length
            self.report(layout_of(self.lie, self.problem, self.shapes))

    def _one_of(self, nearly: list[_Found]) -> _Found:
        """One of those nearly parted, which are in the order of what was left: more likely one of little."""
        return nearly[min(len(nearly) - 1, int(abs(self.random.normal(0, SPREAD)) * len(nearly)))]

    def _stir(self) -> None:
        """A few parts that lie next to one another change places, turned as chance has it."""
        parts = len(self.problem.parts)
        corners = np.column_stack([self.lie.x, self.lie.y])[:parts]
        middles = corners + self.shapes.sizes[self.lie.pose[:parts]] / 2
        far = np.hypot(*(middles - middles[self.random.integers(parts)]).T)
        moved = np.argsort(far)[: self.random.integers(1, STIRRED + 1)]
        self.lie.pose[moved] = self.random.integers(self.bounds.first[moved], self.bounds.last[moved])
        places = middles[self.random.permutation(moved)]
        self.lie.x[moved], self.lie.y[moved] = (places - self.shapes.sizes[self.lie.pose[moved]] / 2).T

    def _found(self, left: float, length: float) -> _Found:
        return _Found(left, length, self.lie.pose.copy(), self.lie.x.copy(), self.lie.y.copy())

    def _lay(self, found: _Found) -> None:
        self.lie.pose[:], self.lie.x[:], self.lie.y[:] = found.pose, found.x, found.y


def compile_now() -> None:
    """Compile what is compiled, which takes a quarter of a minute; numba keeps it for later processes."""
    square = ((0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (0.0, 9.0))
    parts = tuple(Part((Pose(0.0, square),)) for _ in range(3))
    Separation(1).pack(StripProblem(20.0, 1.0, parts), seconds=1.0, seed=0, report=_unread)


def _unread(layout: Layout) -> None:
    """Nobody wants these layouts."""


if __name__ == "__main__":
    compile_now()
