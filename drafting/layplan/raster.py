"""Outlines as rows of cells: for each row across the strip, the stretches of cells that the outline touches.

A cell counts as taken where the outline, grown by half the gap, enters it at all. Layouts without a shared
cell are therefore sound in true geometry; what the cells waste is won back by sliding (``compact``).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Polygon

from drafting.layplan.outline import extent, moved
from drafting.layplan.strip import Part, Pose, StripProblem

Ints = NDArray[np.intp]

#: Where a length falls on a cell's edge but for the last bits of a float, in cells.
NEAR_EDGE = 1e-6

#: Below any column, also when a column is added.
NONE = -(2**30)

#: A buffer's arcs are drawn inside the true arc; four segments a quarter turn need this much more.
ARC_MARGIN = 1.02


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells of ``dx`` by ``dy`` mm that cover the strip and half a gap around it.

    ``step_x``, ``step_y``: tied parts lie multiples of so many cells apart.
    """

    dx: float
    dy: float
    rows: int
    width: float
    gap: float
    step_x: int = 1
    step_y: int = 1

    @classmethod
    def of(cls, problem: StripProblem, rows: int, columns_per_row: float = 1.0) -> Grid:
        """A grid of about ``rows`` rows whose cells fit the strip and the steps of the problem.

        Args:
            rows: rows wished for over the width of the strip.
            columns_per_row: how many times longer than a cell is wide a row is high.
        """
        wished = (problem.width + problem.gap) / rows
        dy, step_y = _fitted(wished, problem.step_y)
        dx, step_x = _fitted(wished / columns_per_row, problem.step_x)
        count = ceil((problem.width + problem.gap) / dy - NEAR_EDGE)
        return cls(dx, dy, count, problem.width, problem.gap, step_x, step_y)


@dataclass(frozen=True, slots=True)
class Stamp:
    """A pose on a grid: stretch k takes cells ``first[k] <= column < end[k]`` of row ``row[k]``.

    ``offsets``: the rows at which the pose may be put down within the strip.
    ``last[row, column]``: the last taken column at or before this one, ``NONE`` where there is none yet.
    ``shift_x``, ``shift_y``: how far within a cell the pose lies beyond the cell's corner, mm.
    ``phase_x``, ``phase_y``: cells of its tie's offset, or None where it is not tied.
    """

    row: Ints
    first: Ints
    end: Ints
    offsets: Ints
    last: NDArray[np.int32]
    shift_x: float = 0.0
    shift_y: float = 0.0
    phase_x: int | None = None
    phase_y: int | None = None

    @property
    def rows(self) -> int:
        return int(self.last.shape[0])

    @property
    def columns(self) -> int:
        return int(self.last.shape[1])


def stamp(pose: Pose, grid: Grid, part: Part) -> Stamp:
    """Lay a pose of a part on a grid, counting every cell that it touches once grown by half the gap."""
    phase_x, shift_x = _split(part.tie_x.offset if part.tie_x else 0.0, grid.dx)
    phase_y, shift_y = _split(part.tie_y.offset if part.tie_y else part.low, grid.dy)
    grown = Polygon(moved(pose.outline, shift_x, shift_y))
    if grid.gap > 0:
        grown = grown.buffer(grid.gap / 2 * ARC_MARGIN, quad_segs=4)
    length, height = extent(pose.outline)
    row_count = ceil((height + shift_y + grid.gap) / grid.dy - NEAR_EDGE)
    bands = _bands(row_count, grid, length + shift_x)
    parts, rows = shapely.get_parts(shapely.intersection(grown, bands), return_index=True)
    solid = shapely.area(parts) > 0
    bounds = shapely.bounds(parts[solid]) + grid.gap / 2
    first = np.floor(bounds[:, 0] / grid.dx + NEAR_EDGE).astype(np.intp).clip(min=0)
    end = np.ceil(bounds[:, 2] / grid.dx - NEAR_EDGE).astype(np.intp)
    last = _last_taken(rows[solid], first, end, row_count)
    return Stamp(
        rows[solid],
        first,
        end,
        _offsets(height, shift_y, grid, part),
        last,
        shift_x,
        shift_y,
        phase_x if part.tie_x else None,
        phase_y if part.tie_y else None,
    )


def _split(offset: float, cell: float) -> tuple[int, float]:
    """An offset as whole cells and what remains of it, mm."""
    cells = floor(offset / cell + NEAR_EDGE)
    return cells, max(offset - cells * cell, 0.0)


def _last_taken(rows: Ints, first: Ints, end: Ints, row_count: int) -> NDArray[np.int32]:
    taken = np.full((row_count, int(end.max())), NONE, dtype=np.int32)
    for row, start, stop in zip(rows.tolist(), first.tolist(), end.tolist(), strict=True):
        taken[row, start:stop] = np.arange(start, stop, dtype=np.int32)
    last: NDArray[np.int32] = np.maximum.accumulate(taken, axis=1)
    return last


def _bands(count: int, grid: Grid, length: float) -> NDArray[np.object_]:
    """A box for each row, from half a gap below the outline upwards."""
    low = np.arange(count) * grid.dy - grid.gap / 2
    # The grown outline stands out a little beyond half the gap; the outer rows take that too.
    high = low + grid.dy
    low[0] -= grid.dy
    high[-1] += grid.dy
    beyond = grid.gap + grid.dx
    boxes: NDArray[np.object_] = shapely.box(
        np.full(count, -beyond), low, np.full(count, length + beyond), high
    )
    return boxes


def _offsets(height: float, shift: float, grid: Grid, part: Part) -> Ints:
    if part.on_fold:
        return np.zeros(1, dtype=np.intp)
    first = max(0, ceil((part.low - shift) / grid.dy - NEAR_EDGE))
    top = min(grid.width, part.high)
    last = min(floor((top - height - shift) / grid.dy + NEAR_EDGE), grid.rows - 1)
    offsets: Ints = np.arange(first, max(last, first) + 1, dtype=np.intp)
    return offsets


def _fitted(wished: float, step: float) -> tuple[float, int]:
    """A cell size near the wished one of which the step is a whole multiple, and that multiple."""
    if step <= 0:
        return wished, 1
    cells = max(1, round(step / wished))
    return step / cells, cells
