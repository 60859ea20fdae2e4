"""Bottom-left fill: each part in turn goes as far to the left as it can, then as near to y = 0 as it can.

Holes between parts are used. Parts lie on a grid of cells (``raster``); for a row offset the leftmost sound
column is found by pushing the stamp past the last taken cell that it meets, until it meets none.
The method is plain geometry; the name is that of the cutting and packing literature.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from drafting.layplan.outline import extent
from drafting.layplan.raster import Grid, Ints, Stamp, stamp
from drafting.layplan.strip import Layout, Pose, Position, StripProblem

#: Larger than any column.
_FAR = np.iinfo(np.intp).max


class Place(NamedTuple):
    """Where a part lies on the grid: in which pose, at which column and row."""

    part: int
    pose: int
    column: int
    row: int


@dataclass(slots=True)
class Ground:
    """What is taken of the strip after some parts were put down.

    ``last[row, column]``: the last taken column at or before this one, or -1.
    ``right``: columns taken. ``complete``: no part was left out for want of room.
    ``reached[stamp]``: for each offset of a stamp, a column left of which it cannot lie, for good.
    """

    last: NDArray[np.int32]
    reached: dict[int, Ints] = field(default_factory=dict)
    right: int = 0
    complete: bool = True
    places: tuple[Place, ...] = ()

    def copy(self) -> Ground:
        return Ground(self.last.copy(), dict(self.reached), self.right, self.complete, self.places)


class Filler:
    """Fills the strip of one problem on one grid, part by part in any order."""

    def __init__(self, problem: StripProblem, grid: Grid) -> None:
        self.problem = problem
        self.grid = grid
        self._stamps: list[Stamp] = []
        self._choices = self._make_stamps()
        # A part may end in the half gap beyond the strip by less than a row.
        self._rows = max((int(mark.offsets[-1]) + mark.rows for mark in self._stamps), default=0)
        self._columns = self._first_guess()

    def _make_stamps(self) -> list[list[int]]:
        """For each part, which stamps its poses are; equal poses share one."""
        known: dict[tuple[Pose, bool], int] = {}
        choices: list[list[int]] = []
        for part in self.problem.parts:
            choices.append([])
            for pose in part.poses:
                number = known.setdefault((pose, part.on_fold), len(known))
                if number == len(self._stamps):
                    self._stamps.append(stamp(pose, self.grid, on_fold=part.on_fold))
                choices[-1].append(number)
        return choices

    def empty(self) -> Ground:
        return Ground(np.full((self._rows, self._columns), -1, dtype=np.int32))

    def fill(self, order: Sequence[int]) -> Layout:
        """Put down all parts in this order.

        Args:
            order: indexes of the problem's parts, each once.
        """
        ground = self.empty()
        for part in order:
            ground = self.put(ground, part)
        return self.layout(ground)

    def put(self, ground: Ground, part: int, *, limit: int | None = None, pose: int = -1) -> Ground:
        """Put one part down where its right end comes least far; changes and returns the ground.

        Args:
            ground: what is taken so far.
            part: index of the part.
            limit: leave the part out, the ground then incomplete, if it cannot end at or before this column.
            pose: hold the part to this pose; -1 for any.
        """
        best = (_FAR, 0, 0, 0)
        for index, number in enumerate(self._choices[part]):
            if pose not in (-1, index):
                continue
            mark = self._stamps[number]
            self._make_room(ground, mark)
            bar = min(_FAR if limit is None else limit, best[0]) - mark.columns
            column, offset = self._settle(ground, number, bar)
            if column <= bar:
                best = min(best, (column + mark.columns, column, offset, index))
        right, column, offset, pose = best
        if right == _FAR:
            ground.complete = False
            return ground
        ground.right = max(ground.right, right)
        self._take(ground, self._stamps[self._choices[part][pose]], column, offset)
        place = Place(part, pose, column, offset)
        ground.places = (*ground.places, place)
        return ground

    def layout(self, ground: Ground) -> Layout:
        """The positions of a complete ground, mm."""
        return Layout(
            tuple(
                Position(place.pose, place.column * self.grid.dx, place.row * self.grid.dy)
                for place in sorted(ground.places)
            )
        )

    def put_again(self, ground: Ground, place: Place) -> None:
        """Put a part where it is known to fit; what had been learnt of the ground is forgotten."""
        mark = self._stamps[self._choices[place.part][place.pose]]
        self._make_room(ground, mark)
        self._take(ground, mark, place.column, place.row)
        ground.right = max(ground.right, place.column + mark.columns)
        ground.places = (*ground.places, place)
        ground.reached = {}

    def _settle(self, ground: Ground, number: int, bar: int) -> tuple[int, int]:
        """The least column, and the least offset at that column, where the stamp meets nothing.

        Stops early once nothing can come to lie at or before ``bar``; then a column beyond it is returned.
        """
        mark = self._stamps[number]
        columns = ground.last.shape[1]
        flat = ground.last.ravel()
        corner = mark.row * columns + mark.end - 1
        reached = ground.reached.get(number)
        reached = np.zeros(len(mark.offsets), dtype=np.intp) if reached is None else reached.copy()
        active = np.flatnonzero(reached <= bar)
        best, best_at = _FAR, 0
        while len(active):
            start = (mark.offsets[active] * columns + reached[active])[:, None]
            pushed = (flat.take(start + corner) + 1 - mark.first).max(axis=1)
            pushed = self._on_step(np.maximum(pushed, reached[active]))
            settled = pushed == reached[active]
            if settled.any():
                here = active[settled]
                least = int(reached[here].min())
                if least < best or (least == best and int(here[reached[here] == least][0]) < best_at):
                    best, best_at = least, int(here[reached[here] == least][0])
            reached[active] = pushed
            moving = active[~settled]
            active = moving[reached[moving] <= min(bar, best)]
        ground.reached[number] = reached
        return best, int(mark.offsets[best_at])

    def _on_step(self, columns: Ints) -> Ints:
        step = self.grid.step_x
        return columns if step == 1 else -(-columns // step) * step

    def _take(self, ground: Ground, mark: Stamp, column: int, offset: int) -> None:
        # The last taken column of two sets of cells is the greater of their last taken columns.
        region = ground.last[offset : offset + mark.rows, column:]
        under, beyond = region[:, : mark.columns], region[:, mark.columns :]
        np.maximum(under, mark.last + np.int32(column), out=under)
        np.maximum(beyond, mark.last[:, -1:] + np.int32(column), out=beyond)

    def _make_room(self, ground: Ground, mark: Stamp) -> None:
        """Make the ground longer if the stamp might not fit behind everything that lies there."""
        needed = ground.right + mark.columns + self.grid.step_x + 1
        rows, columns = ground.last.shape
        if needed <= columns:
            return
        self._columns = max(needed, columns * 3 // 2)
        longer = np.empty((rows, self._columns), dtype=np.int32)
        longer[:, :columns] = ground.last
        longer[:, columns:] = ground.last[:, -1:]
        ground.last = longer

    def _first_guess(self) -> int:
        """Columns for parts that fill half of the strip."""
        sizes = [extent(part.poses[0].outline) for part in self.problem.parts]
        area = sum(length * height for length, height in sizes)
        longest = max((max(size) for size in sizes), default=0.0)
        return int((1.2 * area / self.problem.width + 2 * longest) / self.grid.dx) + self.grid.step_x + 8


def by_size(problem: StripProblem) -> list[int]:
    """Order of the parts from large to small by the product of their sides; equal ones stay as they were."""
    return sorted(range(len(problem.parts)), key=lambda n: -_side_product(problem, n))


def by_length(problem: StripProblem) -> list[int]:
    """Order of the parts from long to short along the strip; equal ones stay as they were."""
    return sorted(range(len(problem.parts)), key=lambda n: -extent(problem.parts[n].poses[0].outline)[0])


def by_width(problem: StripProblem) -> list[int]:
    """Order of the parts from wide to narrow across the strip; equal ones stay as they were."""
    return sorted(range(len(problem.parts)), key=lambda n: -extent(problem.parts[n].poses[0].outline)[1])


def _side_product(problem: StripProblem, part: int) -> float:
    length, width = extent(problem.parts[part].poses[0].outline)
    return length * width
