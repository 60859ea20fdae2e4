"""How far two outlines overlap in any displacement, from tables made once for each pair of them.

Displaced by d, an outline overlaps another where d lies inside their no-fit polygon (``minkowski``); how deep
d lies inside is the shortest way by which they part.
Source of the depth as a measure: Imamichi, Yagiura, Nagamochi (2009), An iterated local search algorithm
based on nonlinear programming for the irregular strip packing problem, Discrete Optimization 6, 345-361 (from
memory).

The depth is kept at the nodes of a grid and interpolated; cells near a corner of the no-fit polygon have a
finer grid of their own, for there the depth is not linear. Interpolating errs a little, and so the tables
keep outlines a little further apart than they must be. The sides of the no-fit polygons are kept as well:
from them ``tighten`` reckons exactly.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import sqrt
from typing import Any, NamedTuple

import numpy as np
import shapely
from numba import njit
from numpy.typing import NDArray
from shapely.geometry import Polygon

from drafting.layplan.minkowski import no_fit
from drafting.layplan.outline import Outline, at_origin, extent, simplified
from drafting.layplan.strip import SAME_CORNER

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Singles = NDArray[np.float32]
Links = NDArray[np.int32]

#: Cells of the grid along the side of a square as large as the mean outline.
CELLS = 20

#: Cells of the finer grid along the side of a cell.
FINER = 8

#: Outlines are kept apart by this share of a cell more than asked, for interpolating errs by less.
MARGIN = 0.02

#: A cell has a finer grid if the border of the no-fit polygon comes this near, in cells.
NEAR_BORDER = 1.5

#: The ways to keep or reverse the axes.
_SIGNS = ((1, 1), (-1, -1), (1, -1), (-1, 1))

#: How functions are compiled that are called for every place. They make no arrays, and need not count who
#: holds those that they read: that makes the search six times as fast.
INNER: dict[str, Any] = {"cache": True, "fastmath": True, "forceinline": True, "_nrt": False}


class Depths(NamedTuple):
    """Tables of depth and, for every ordered pair of outlines, where in them a displacement d is looked up.

    In the grid of the pair, in cells, d is at ``turn * d + shift``. ``pairs[a, b]`` has, side by side as they
    are read together and often: turn, 1 / cell with its sign, for x and y; shift, cells, for x and y; how
    many cells along x and y; where the pair's nodes begin in ``coarse``. ``finer``: for each node, where the
    finer grid of the cell above and right of it begins in ``fine``, or -1. ``coarse``, ``fine``: depths, mm.
    ``borders[a, b]``: the first of the pair's rows in ``sides`` and the one after the last. ``sides``: of the
    no-fit polygons, in cells of the grid: start and end, outside on the right. ``cell``: side of a cell, mm.
    """

    pairs: Floats
    coarse: Singles
    finer: Links
    fine: Singles
    borders: Ints
    sides: Floats
    cell: float


class Depth(NamedTuple):
    """A depth, mm, and by how much it grows with the displacement: mm in a mm of x, and of y."""

    depth: float
    along: float
    across: float


class Likeness(NamedTuple):
    """An outline as a base outline with its axes kept (1) or reversed (-1), least x and y at 0 again.

    A piece, the same turned end to end, its pair and that turned share one base, and with it their tables.
    """

    base: Outline
    signs: tuple[int, int]

    @property
    def outline(self) -> Outline:
        return at_origin(_reversed(self.base, self.signs))

    @property
    def moved(self) -> tuple[float, float]:
        """How far it was moved to the origin after its axes were reversed, mm."""
        length, width = extent(self.base)
        return (length if self.signs[0] < 0 else 0.0, width if self.signs[1] < 0 else 0.0)


def likeness(outline: Outline, corners: int) -> Likeness:
    """The likeness of an outline, its base simplified outwards to so many corners."""
    found = {_rounded(at_origin(_reversed(outline, signs))): signs for signs in _SIGNS}
    base = min(found)
    return Likeness(_simplified(base, corners), found[base])


@lru_cache(maxsize=1024)
def _simplified(outline: Outline, corners: int) -> Outline:
    return at_origin(simplified(outline, corners))


def _reversed(outline: Outline, signs: tuple[int, int]) -> Outline:
    ring = tuple((x * signs[0], y * signs[1]) for x, y in outline)
    return ring if signs[0] == signs[1] else ring[::-1]


def _rounded(outline: Outline) -> Outline:
    """With corners that agree to ``SAME_CORNER`` the same, begun at the least."""
    ring = [(round(x, SAME_CORNER), round(y, SAME_CORNER)) for x, y in outline]
    first = ring.index(min(ring))
    return tuple(ring[first:] + ring[:first])


def depths_of(shapes: Sequence[Likeness], gaps: Floats) -> Depths:
    """Tables for these shapes.

    Args:
        shapes: sound, of few corners: the work grows with the square of the number of their bases.
        gaps: for each pair the distance to be kept, mm; shape (n, n), symmetric.
    """
    count = len(shapes)
    cell = sqrt(float(np.mean([Polygon(shape.base).area for shape in shapes]))) / CELLS
    shelf = _Shelf(cell)
    # One more than is used: as long as a line of the cache.
    pairs = np.zeros((count, count, 8))
    borders = np.zeros((count, count, 2), dtype=np.int64)
    for a, one in enumerate(shapes):
        for b, other in enumerate(shapes):
            # Of a and b only how they lie to each other matters; then which of them stays.
            signs = np.array(one.signs)
            apart = (one.signs[0] * other.signs[0], one.signs[1] * other.signs[1])
            still, moving = one.base, other.base
            if moving < still:
                still, moving, signs = moving, still, -signs * apart
            table = shelf.table(still, moving, apart, float(gaps[a, b]))
            shift = (signs * np.subtract(other.moved, one.moved) - table.corner) / cell
            pairs[a, b, :7] = [*(signs / cell), *shift, *(table.nodes - 1), table.start]
            borders[a, b] = table.border
    margin = np.float32(MARGIN * cell)
    coarse, finer, fine, sides = shelf.arrays()
    return Depths(pairs, coarse + margin, finer, fine + margin, borders, sides, cell)


def tables_needed(shapes: Sequence[Likeness]) -> int:
    """How many tables these shapes need: their work, a few milliseconds each."""
    pairs = {
        (*sorted((one.base, other.base)), one.signs[0] * other.signs[0], one.signs[1] * other.signs[1])
        for one in dict.fromkeys(shapes)
        for other in dict.fromkeys(shapes)
    }
    return len(pairs)


class _Table(NamedTuple):
    """Where the depths of a pair of bases are: least displacement, nodes along x and y, first node; sides."""

    corner: Floats
    nodes: Ints
    start: int
    border: tuple[int, int]


class _Shelf:
    """The tables made so far."""

    def __init__(self, cell: float) -> None:
        self.cell = cell
        self._known: dict[tuple[Outline, Outline, tuple[int, int], float], _Table] = {}
        self._coarse: list[Singles] = []
        self._finer: list[Links] = []
        self._fine: list[Singles] = []
        self._sides: list[Floats] = []
        self._begun = self._begun_fine = self._begun_sides = 0

    def table(self, still: Outline, moving: Outline, signs: tuple[int, int], gap: float) -> _Table:
        """The table of a base and another with its axes kept or reversed."""
        key = still, moving, signs, gap
        if key not in self._known:
            self._known[key] = self._tabulated(_edges(no_fit(np.array(still), np.array(moving) * signs, gap)))
        return self._known[key]

    def arrays(self) -> tuple[Singles, Links, Singles, Floats]:
        return (
            np.concatenate(self._coarse),
            np.concatenate(self._finer),
            np.concatenate(self._fine),
            np.concatenate(self._sides),
        )

    def _tabulated(self, edges: Floats) -> _Table:
        low, high = edges[:, :2].min(axis=0), edges[:, :2].max(axis=0)
        corner = low - self.cell
        nodes = np.ceil((high - low) / self.cell).astype(np.int64) + 3
        coarse, links, fine = _tabulate(edges, corner, nodes, self.cell)
        table = _Table(corner, nodes, self._begun, (self._begun_sides, self._begun_sides + len(edges)))
        self._coarse.append(coarse)
        self._finer.append(np.where(links >= 0, links + self._begun_fine, -1).astype(np.int32))
        self._fine.append(fine)
        self._sides.append((edges[:, :4] - [*corner, *corner]) / self.cell)
        self._begun, self._begun_fine = self._begun + len(coarse), self._begun_fine + len(fine)
        self._begun_sides += len(edges)
        return table


def _edges(shape: shapely.Geometry) -> Floats:
    """Rows of start x, start y, end x, end y and 1 / length squared for every edge of a shape's rings.

    What is outside lies on the right.
    """
    rings = [
        np.asarray(ring.coords)
        for part in shapely.get_parts(shapely.orient_polygons(shape))
        for ring in (part.exterior, *part.interiors)
    ]
    sides = np.concatenate([np.column_stack([ring[:-1], ring[1:]]) for ring in rings])
    squares = ((sides[:, 2:] - sides[:, :2]) ** 2).sum(axis=1)
    kept = squares > 0
    rows: Floats = np.column_stack([sides, 1 / np.where(kept, squares, 1)])[kept]
    return rows


@njit(**INNER)
def crossed(edges: Floats, k: int, x: float, y: float) -> bool:
    """Whether a ray from a point to the right crosses an edge: an odd number of them from inside.

    Asked of the ends themselves, a corner on the level of the point counts for one of its two edges; where
    it was the start and the way, rounding could make it count for both.
    """
    x0, y0, x1, y1 = edges[k, 0], edges[k, 1], edges[k, 2], edges[k, 3]
    return bool((y < y0) != (y < y1) and x - x0 < (y - y0) * (x1 - x0) / (y1 - y0))


@njit(cache=True, fastmath=True)
def _signed(edges: Floats, x: float, y: float) -> tuple[float, int]:
    """How deep a point lies inside, negative outside, and the edge that is nearest (or its ends: -1)."""
    least = 1e300
    inside = False
    nearest = -1
    for k in range(len(edges)):
        x0, y0, x1, y1 = edges[k, 0], edges[k, 1], edges[k, 2], edges[k, 3]
        way_x, way_y = x1 - x0, y1 - y0
        px, py = x - x0, y - y0
        along = (px * way_x + py * way_y) * edges[k, 4]
        here = k
        if along < 0:
            along, here = 0.0, -1
        elif along > 1:
            along, here = 1.0, -1
        dx, dy = px - along * way_x, py - along * way_y
        square = dx * dx + dy * dy
        if square < least:
            least, nearest = square, here
        if crossed(edges, k, x, y):
            inside = not inside
    depth = np.sqrt(least)
    return (depth if inside else -depth), nearest


@njit(cache=True, fastmath=True)
def _tabulate(edges: Floats, corner: Floats, nodes: Ints, cell: float) -> tuple[Singles, Links, Singles]:
    """Depths at the nodes, where each cell's finer grid begins or -1, and the finer grids."""
    columns, rows = nodes[0], nodes[1]
    depth = np.empty((columns, rows), np.float32)
    nearest = np.empty((columns, rows), np.int32)
    for i in range(columns):
        for j in range(rows):
            value, edge = _signed(edges, corner[0] + i * cell, corner[1] + j * cell)
            depth[i, j] = value
            nearest[i, j] = edge
    side = FINER + 1
    link = np.full((columns, rows), -1, np.int32)
    count = 0
    for i in range(columns - 1):
        for j in range(rows - 1):
            here = nearest[i, j]
            linear = (
                here >= 0
                and nearest[i + 1, j] == here
                and nearest[i, j + 1] == here
                and nearest[i + 1, j + 1] == here
            )
            deepest = max(depth[i, j], depth[i + 1, j], depth[i, j + 1], depth[i + 1, j + 1])
            least = min(depth[i, j], depth[i + 1, j], depth[i, j + 1], depth[i + 1, j + 1])
            if not linear and least < NEAR_BORDER * cell and deepest > -NEAR_BORDER * cell:
                link[i, j] = count * side * side
                count += 1
    fine = np.empty(count * side * side, np.float32)
    for i in range(columns - 1):
        for j in range(rows - 1):
            if link[i, j] >= 0:
                x, y = corner[0] + i * cell, corner[1] + j * cell
                _detail(edges, x, y, cell, fine[link[i, j] : link[i, j] + side * side])
    return depth.ravel(), link.ravel(), fine


@njit(cache=True, fastmath=True)
def _detail(edges: Floats, x: float, y: float, cell: float, out: Singles) -> None:
    """Depths at the nodes of the finer grid of the cell whose least corner is x, y."""
    side = FINER + 1
    # Only edges that come near can be nearest or be crossed on the way from the cell's corner.
    middle, _ = _signed(edges, x + cell / 2, y + cell / 2)
    reach = abs(middle) + 1.5 * cell
    near = np.empty((len(edges), 5), np.float64)
    count = 0
    for k in range(len(edges)):
        x0, y0, x1, y1 = edges[k, 0], edges[k, 1], edges[k, 2], edges[k, 3]
        if (
            min(x0, x1) < x + cell / 2 + reach
            and max(x0, x1) > x + cell / 2 - reach
            and min(y0, y1) < y + cell / 2 + reach
            and max(y0, y1) > y + cell / 2 - reach
        ):
            near[count] = edges[k]
            count += 1
    for i in range(side):
        for j in range(side):
            px, py = x + i * cell / FINER, y + j * cell / FINER
            depth, _ = _signed(near[:count], px, py)
            inside = False
            for k in range(len(edges)):
                if crossed(edges, k, px, py):
                    inside = not inside
            out[i * side + j] = abs(depth) if inside else -abs(depth)


@njit(**INNER)
def depth_at(tables: Depths, a: int, b: int, dx: float, dy: float) -> Depth:
    """How deep outline b, displaced by dx, dy from outline a, overlaps it; 0 where it does not."""
    pairs = tables.pairs
    u, v = pairs[a, b, 0] * dx + pairs[a, b, 2], pairs[a, b, 1] * dy + pairs[a, b, 3]
    if u <= 0 or v <= 0 or u >= pairs[a, b, 4] or v >= pairs[a, b, 5]:
        return Depth(0.0, 0.0, 0.0)
    rows = int(pairs[a, b, 5]) + 1
    i, j = int(u), int(v)
    u, v = u - i, v - j
    at = int(pairs[a, b, 6]) + i * rows + j
    link = tables.finer[at]
    if link < 0:
        found = _between(tables.coarse, at, rows, u, v)
        cells_x, cells_y = pairs[a, b, 0], pairs[a, b, 1]
    else:
        i, j = int(u * FINER), int(v * FINER)
        at = link + i * (FINER + 1) + j
        found = _between(tables.fine, at, FINER + 1, u * FINER - i, v * FINER - j)
        cells_x, cells_y = pairs[a, b, 0] * FINER, pairs[a, b, 1] * FINER
    if found.depth <= 0:
        return Depth(0.0, 0.0, 0.0)
    return Depth(found.depth, found.along * cells_x, found.across * cells_y)


@njit(**INNER)
def _between(values: Singles, at: int, rows: int, u: float, v: float) -> Depth:
    """Interpolated in the cell whose least node is the one there, u and v of a side from it."""
    least, up = float(values[at]), float(values[at + 1])
    along, both = float(values[at + rows]), float(values[at + rows + 1])
    low, high = least * (1 - v) + up * v, along * (1 - v) + both * v
    return Depth(low * (1 - u) + high * u, high - low, (up - least) * (1 - u) + (both - along) * u)
