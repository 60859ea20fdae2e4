"""How far two outlines overlap in any displacement, from tables made once for each pair of them.

Displaced by d, an outline overlaps another where d lies inside their no-fit polygon, the Minkowski sum of the
one and the other turned about the origin; how deep d lies inside is the shortest way by which they part.
Source of the no-fit polygon from convex parts: Agarwal, Flato, Halperin (2002), Polygon decomposition for
efficient construction of Minkowski sums, Computational Geometry 21, 39-61 (from memory); of the depth as a
measure: Imamichi, Yagiura, Nagamochi (2009), An iterated local search algorithm based on nonlinear
programming for the irregular strip packing problem, Discrete Optimization 6, 345-361 (from memory).

The depth is kept at the nodes of a grid and interpolated; cells near a corner of the no-fit polygon have a
finer grid of their own, for there the depth is not linear.
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
from shapely.geometry import MultiPoint, Polygon

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

#: How far the corners of what is grown by the gap may stand out, in gaps: straight edges, few of them.
MITRE = 1.5

#: How functions are compiled that are called for every place. They make no arrays, and need not count who
#: holds those that they read: that makes the search six times as fast.
INNER: dict[str, Any] = {"cache": True, "fastmath": True, "forceinline": True, "_nrt": False}


class Depths(NamedTuple):
    """Tables of depth and, for every ordered pair of outlines, where in them a displacement d is looked up.

    In the grid of the pair, in cells, d is at ``turn * d + shift``. ``turn[a, b]``: 1 / cell, for each axis
    with its sign; ``shift[a, b]``: cells; ``nodes[a, b]``: nodes along x and along y; ``start[a, b]``: where
    they begin in ``coarse``. ``finer``: for each node, where the finer grid of the cell above and right of it
    begins in ``fine``, or -1. ``coarse``, ``fine``: depths, mm. ``cell``: side of a cell, mm.
    """

    turn: Floats
    shift: Floats
    nodes: Ints
    start: Ints
    coarse: Singles
    finer: Links
    fine: Singles
    cell: float


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
    turn, shift = np.zeros((count, count, 2)), np.zeros((count, count, 2))
    nodes, start = np.zeros((count, count, 2), dtype=np.int64), np.zeros((count, count), dtype=np.int64)
    for a, one in enumerate(shapes):
        for b, other in enumerate(shapes):
            # Of a and b only how they lie to each other matters; then which of them stays.
            signs = np.array(one.signs)
            apart = (one.signs[0] * other.signs[0], one.signs[1] * other.signs[1])
            still, moving = one.base, other.base
            if moving < still:
                still, moving, signs = moving, still, -signs * apart
            table = shelf.table(still, moving, apart, float(gaps[a, b]))
            turn[a, b] = signs / cell
            shift[a, b] = (signs * np.subtract(other.moved, one.moved) - table.corner) / cell
            nodes[a, b], start[a, b] = table.nodes, table.start
    margin = np.float32(MARGIN * cell)
    coarse, finer, fine = shelf.arrays()
    return Depths(turn, shift, nodes, start, coarse + margin, finer, fine + margin, cell)


def tables_needed(shapes: Sequence[Likeness]) -> int:
    """How many tables these shapes need: their work, a few milliseconds each."""
    pairs = {
        (*sorted((one.base, other.base)), one.signs[0] * other.signs[0], one.signs[1] * other.signs[1])
        for one in dict.fromkeys(shapes)
        for other in dict.fromkeys(shapes)
    }
    return len(pairs)


class _Table(NamedTuple):
    """Where the depths of a pair of bases are: least displacement, nodes along x and y, first node."""

    corner: Floats
    nodes: Ints
    start: int


class _Shelf:
    """The tables made so far."""

    def __init__(self, cell: float) -> None:
        self.cell = cell
        self._known: dict[tuple[Outline, Outline, tuple[int, int], float], _Table] = {}
        self._parts: dict[Outline, list[Floats]] = {}
        self._coarse: list[Singles] = []
        self._finer: list[Links] = []
        self._fine: list[Singles] = []
        self._begun = self._begun_fine = 0

    def table(self, still: Outline, moving: Outline, signs: tuple[int, int], gap: float) -> _Table:
        """The table of a base and another with its axes kept or reversed."""
        key = still, moving, signs, gap
        if key not in self._known:
            sums = no_fit(self._convex(still), [part * signs for part in self._convex(moving)], gap)
            self._known[key] = self._tabulated(_edges(sums))
        return self._known[key]

    def arrays(self) -> tuple[Singles, Links, Singles]:
        return np.concatenate(self._coarse), np.concatenate(self._finer), np.concatenate(self._fine)

    def _convex(self, outline: Outline) -> list[Floats]:
        if outline not in self._parts:
            self._parts[outline] = convex_parts(outline)
        return self._parts[outline]

    def _tabulated(self, edges: Floats) -> _Table:
        ends = edges[:, :2] + edges[:, 2:4]
        low, high = np.minimum(edges[:, :2], ends).min(axis=0), np.maximum(edges[:, :2], ends).max(axis=0)
        corner = low - self.cell
        nodes = np.ceil((high - low) / self.cell).astype(np.int64) + 3
        coarse, links, fine = _tabulate(edges, corner, nodes, self.cell)
        table = _Table(corner, nodes, self._begun)
        self._coarse.append(coarse)
        self._finer.append(np.where(links >= 0, links + self._begun_fine, -1).astype(np.int32))
        self._fine.append(fine)
        self._begun, self._begun_fine = self._begun + len(coarse), self._begun_fine + len(fine)
        return table


def no_fit(first: Sequence[Floats], second: Sequence[Floats], gap: float) -> shapely.Geometry:
    """The displacements of the second by which it comes nearer to the first than the gap."""
    sums = [
        MultiPoint((one[:, None] - other[None]).reshape(-1, 2)).convex_hull
        for one in first
        for other in second
    ]
    found = shapely.union_all(sums)
    return found.buffer(gap, join_style="mitre", mitre_limit=MITRE) if gap > 0 else found


def convex_parts(outline: Outline) -> list[Floats]:
    """Convex outlines that make up one: triangles, joined over their sides as long as they stay convex."""
    triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(Polygon(outline)))
    rings = [_counter_clockwise(np.asarray(triangle.exterior.coords)[:3]) for triangle in triangles]
    loops: list[list[tuple[float, float]]] = [[(float(x), float(y)) for x, y in ring] for ring in rings]
    joined = True
    while joined:
        joined = False
        owner = {side: n for n, loop in enumerate(loops) for side in _sides(loop)}
        for (start, end), one in owner.items():
            other = owner.get((end, start))
            if other is None or other == one:
                continue
            together = _joined(loops[one], loops[other], start, end)
            if _is_convex(together):
                loops[one] = together
                del loops[other]
                joined = True
                break
    return [np.array(loop) for loop in loops]


def _counter_clockwise(ring: Floats) -> Floats:
    (ax, ay), (bx, by), (cx, cy) = ring
    return ring if (bx - ax) * (cy - ay) > (by - ay) * (cx - ax) else ring[::-1]


def _sides(
    loop: list[tuple[float, float]],
) -> list[tuple[tuple[float, float], tuple[float, float]]]:
    return list(zip(loop, [*loop[1:], loop[0]], strict=True))


def _joined(
    one: list[tuple[float, float]],
    other: list[tuple[float, float]],
    start: tuple[float, float],
    end: tuple[float, float],
) -> list[tuple[float, float]]:
    """Both loops without the side from start to end of the first, end to start of the second."""
    at, there = one.index(end), other.index(start)
    return [*one[at:], *one[:at], *(other[there:] + other[:there])[1:-1]]


def _is_convex(loop: list[tuple[float, float]]) -> bool:
    ring = np.array(loop)
    after, behind = np.roll(ring, -1, axis=0) - ring, ring - np.roll(ring, 1, axis=0)
    turns = behind[:, 0] * after[:, 1] - behind[:, 1] * after[:, 0]
    return bool((turns >= -1e-9).all())


def _edges(shape: shapely.Geometry) -> Floats:
    """Rows of start x, start y, way x, way y and 1 / length squared for every edge of a shape's rings."""
    rings = [
        np.asarray(ring.coords)
        for part in shapely.get_parts(shape)
        for ring in (part.exterior, *part.interiors)
    ]
    starts = np.concatenate([ring[:-1] for ring in rings])
    ways = np.concatenate([np.diff(ring, axis=0) for ring in rings])
    squares = (ways**2).sum(axis=1)
    kept = squares > 0
    rows: Floats = np.column_stack([starts, ways, 1 / np.where(kept, squares, 1)])[kept]
    return rows


@njit(cache=True, fastmath=True)
def _signed(edges: Floats, x: float, y: float) -> tuple[float, int]:
    """How deep a point lies inside, negative outside, and the edge that is nearest (or its ends: -1)."""
    least = 1e300
    inside = False
    nearest = -1
    for k in range(len(edges)):
        way_x, way_y = edges[k, 2], edges[k, 3]
        px, py = x - edges[k, 0], y - edges[k, 1]
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
        if (py < 0) != (py < way_y) and px < py * way_x / way_y:
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
        x0, y0, x1, y1 = edges[k, 0], edges[k, 1], edges[k, 0] + edges[k, 2], edges[k, 1] + edges[k, 3]
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
                qx, qy = px - edges[k, 0], py - edges[k, 1]
                if (qy < 0) != (qy < edges[k, 3]) and qx < qy * edges[k, 2] / edges[k, 3]:
                    inside = not inside
            out[i * side + j] = abs(depth) if inside else -abs(depth)


@njit(**INNER)
def depth_at(tables: Depths, a: int, b: int, dx: float, dy: float) -> float:
    """How deep outline b, displaced by dx, dy from outline a, overlaps it, mm; 0 where it does not."""
    u = tables.turn[a, b, 0] * dx + tables.shift[a, b, 0]
    v = tables.turn[a, b, 1] * dy + tables.shift[a, b, 1]
    rows = tables.nodes[a, b, 1]
    if u <= 0 or v <= 0 or u >= tables.nodes[a, b, 0] - 1 or v >= rows - 1:
        return 0.0
    i, j = int(u), int(v)
    u, v = u - i, v - j
    at = tables.start[a, b] + i * rows + j
    link = tables.finer[at]
    if link < 0:
        depth = _between(tables.coarse, at, rows, u, v)
    else:
        i, j = int(u * FINER), int(v * FINER)
        at = link + i * (FINER + 1) + j
        depth = _between(tables.fine, at, FINER + 1, u * FINER - i, v * FINER - j)
    return float(max(depth, 0.0))


@njit(**INNER)
def _between(values: Singles, at: int, rows: int, u: float, v: float) -> float:
    """Interpolated in the cell whose least node is the one there, u and v of a side from it."""
    low = values[at] * (1 - v) + values[at + 1] * v
    high = values[at + rows] * (1 - v) + values[at + rows + 1] * v
    return float(low * (1 - u) + high * u)
