"""Bottom-left fill: each part in turn goes as far to the left as it can, then as near to y = 0 as it can.

Holes between parts are used. Parts lie on a grid of cells (``raster``); for a row offset the leftmost sound
column is found by pushing the stamp past the last taken cell that it meets, until it meets none. The first
part of a tied group goes where it likes; it sets the phase of the lattice on which the others must lie.
The method is plain geometry; the name is that of the cutting and packing literature.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import ceil, floor
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from drafting.layplan.outline import extent
from drafting.layplan.raster import Grid, Ints, Stamp, stamp
from drafting.layplan.strip import ABSOLUTE, Box, Layout, Part, Pose, Position, StripProblem

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
    ``right``: columns taken by parts. ``complete``: no part was left out for want of room.
    ``reached[stamp]``: for each offset of a stamp, a column left of which it cannot lie, for good.
    ``phases[axis, group]``: of the tied groups of which a part lies there, the column (axis 0) or row
    (axis 1) of their lattice.
    """

    last: NDArray[np.int32]
    reached: dict[int, Ints] = field(default_factory=dict)
    right: int = 0
    complete: bool = True
    places: tuple[Place, ...] = ()
    phases: dict[tuple[int, int], int] = field(default_factory=dict)

    def copy(self) -> Ground:
        return Ground(
            self.last.copy(), dict(self.reached), self.right, self.complete, self.places, dict(self.phases)
        )


class Filler:
    """Fills the strip of one problem on one grid, part by part in any order."""

    def __init__(self, problem: StripProblem, grid: Grid) -> None:
        self.problem = problem
        self.grid = grid
        self._stamps: list[Stamp] = []
        self._choices = self._make_stamps()
        # A part may end in the half gap beyond the strip by less than a row.
        self._rows = max((int(mark.offsets[-1]) + mark.rows for mark in self._stamps), default=0)
        self._blocked_right = max((self._cells(box)[1].stop for box in problem.blocked), default=0)
        self._columns = max(self._first_guess(), self._blocked_right + 1)

    def _make_stamps(self) -> list[list[int]]:
        """For each part, which stamps its poses are; equal poses of parts bound alike share one."""
        known: dict[tuple[Pose, Part], int] = {}
        choices: list[list[int]] = []
        for part in self.problem.parts:
            choices.append([])
            for pose in part.poses:
                number = known.setdefault((pose, replace(part, poses=())), len(known))
                if number == len(self._stamps):
                    self._stamps.append(stamp(pose, self.grid, part))
                choices[-1].append(number)
        return choices

    def empty(self) -> Ground:
        """Nothing but what is blocked."""
        taken = np.full((self._rows, self._columns), -1, dtype=np.int32)
        for box in self.problem.blocked:
            rows, columns = self._cells(box)
            taken[rows, columns] = np.arange(columns.start, columns.stop, dtype=np.int32)
        absolute = {(axis, ABSOLUTE): 0 for axis in (0, 1)}
        return Ground(np.maximum.accumulate(taken, axis=1), phases=absolute)

    def _cells(self, box: Box) -> tuple[slice, slice]:
        """Rows and columns that a box enters."""
        half, grid = self.grid.gap / 2, self.grid
        top, right = (ceil((box.y1 + half) / grid.dy), ceil((box.x1 + half) / grid.dx))
        rows = slice(max(floor((box.y0 + half) / grid.dy), 0), min(max(top, 0), self._rows))
        return rows, slice(max(floor((box.x0 + half) / grid.dx), 0), max(right, 0))

    def fill(self, order: Sequence[int], *, pose: int = -1) -> Layout | None:
        """Put down all parts in this order; None where one finds no place on the lattice of its group.

        Args:
            order: indexes of the problem's parts, each once.
            pose: hold every part to this pose; -1 for any.
        """
        ground = self.empty()
        for part in order:
            ground = self.put(ground, part, pose=pose)
        return self.layout(ground) if ground.complete else None

    def put(self, ground: Ground, part: int, *, limit: int | None = None, pose: int = -1) -> Ground:
        """Put one part down where its right end comes least far; changes and returns the ground.

        Args:
            ground: what is taken so far.
            part: index of the part.
            limit: leave the part out, the ground then incomplete, if it cannot end at or before this column.
            pose: hold the part to this pose; -1 for any.
        """
        best = (_FAR, 0, 0, 0)
        bound = self.problem.parts[part]
        for index, number in enumerate(self._choices[part]):
            if pose not in (-1, index):
                continue
            mark = self._stamps[number]
            self._make_room(ground, mark)
            bar = min(_FAR if limit is None else limit, best[0]) - mark.columns
            column, offset = self._settle(ground, number, bar, self._lattice(ground, bound, mark))
            if column <= bar:
                best = min(best, (column + mark.columns, column, offset, index))
        right, column, offset, pose = best
        if right == _FAR:
            ground.complete = False
            return ground
        self._lay(ground, Place(part, pose, column, offset))
        return ground

    def layout(self, ground: Ground) -> Layout:
        """The positions of a complete ground, mm."""
        return Layout(tuple(self._position(place) for place in sorted(ground.places)))

    def put_again(self, ground: Ground, place: Place) -> None:
        """Put a part where it is known to fit; what had been learnt of the ground is forgotten."""
        self._make_room(ground, self._stamp_of(place))
        self._lay(ground, place)
        ground.reached = {}

    def _stamp_of(self, place: Place) -> Stamp:
        return self._stamps[self._choices[place.part][place.pose]]

    def _position(self, place: Place) -> Position:
        mark = self._stamp_of(place)
        x, y = place.column * self.grid.dx + mark.shift_x, place.row * self.grid.dy + mark.shift_y
        return Position(place.pose, x, y)

    def _lay(self, ground: Ground, place: Place) -> None:
        mark = self._stamp_of(place)
        self._take(ground, mark, place.column, place.row)
        ground.right = max(ground.right, place.column + mark.columns)
        ground.places = (*ground.places, place)
        bound = self.problem.parts[place.part]
        if bound.tie_x and mark.phase_x is not None:
            phase = (place.column - mark.phase_x) % self.grid.step_x
            ground.phases.setdefault((0, bound.tie_x.group), phase)
        if bound.tie_y and mark.phase_y is not None:
            phase = (place.row - mark.phase_y) % self.grid.step_y
            ground.phases.setdefault((1, bound.tie_y.group), phase)

    def _lattice(self, ground: Ground, part: Part, mark: Stamp) -> tuple[int | None, int | None]:
        """Column and row of the lattice on which a part must lie; None for an axis along which it is free."""
        column = row = None
        if part.tie_x and mark.phase_x is not None and (0, part.tie_x.group) in ground.phases:
            column = (ground.phases[0, part.tie_x.group] + mark.phase_x) % self.grid.step_x
        if part.tie_y and mark.phase_y is not None and (1, part.tie_y.group) in ground.phases:
            row = (ground.phases[1, part.tie_y.group] + mark.phase_y) % self.grid.step_y
        return column, row

    def _settle(
        self, ground: Ground, number: int, bar: int, lattice: tuple[int | None, int | None]
    ) -> tuple[int, int]:
        """The least column, and the least offset at that column, where the stamp meets nothing.

        Stops early once nothing can come to lie at or before ``bar``; then a column beyond it is returned.
        """
        mark = self._stamps[number]
        columns = ground.last.shape[1]
        flat = ground.last.ravel()
        corner = mark.row * columns + mark.end - 1
        known = ground.reached.get(number)
        reached = np.zeros(len(mark.offsets), dtype=np.intp) if known is None else known.copy()
        reached = self._on_lattice(reached, lattice[0])
        able = reached <= bar
        if lattice[1] is not None:
            able &= (mark.offsets - lattice[1]) % self.grid.step_y == 0
        active = np.flatnonzero(able)
        best, best_at = _FAR, 0
        while len(active):
            start = (mark.offsets[active] * columns + reached[active])[:, None]
            pushed = (flat.take(start + corner) + 1 - mark.first).max(axis=1)
            pushed = self._on_lattice(np.maximum(pushed, reached[active]), lattice[0])
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

    def _on_lattice(self, columns: Ints, phase: int | None) -> Ints:
        step = self.grid.step_x
        return columns if phase is None else columns + (phase - columns) % step

    def _take(self, ground: Ground, mark: Stamp, column: int, offset: int) -> None:
        # The last taken column of two sets of cells is the greater of their last taken columns.
        region = ground.last[offset : offset + mark.rows, column:]
        under, beyond = region[:, : mark.columns], region[:, mark.columns :]
        np.maximum(under, mark.last + np.int32(column), out=under)
        np.maximum(beyond, mark.last[:, -1:] + np.int32(column), out=beyond)

    def _make_room(self, ground: Ground, mark: Stamp) -> None:
        """Make the ground longer if the stamp might not fit behind everything that lies there."""
        needed = max(ground.right, self._blocked_right) + mark.columns + self.grid.step_x + 1
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
