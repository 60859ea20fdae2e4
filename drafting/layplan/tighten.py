"""Drawing a layout tight: all parts move at once, each a little, as far as their true outlines let them.

Two parts may lie to each other in any way outside their no-fit polygon (``nofit``). Around the way in which
they do lie, a convex stretch is found that no side of it enters. Each part kept within reach of where it
lies, and each pair within its stretch, the shortest strip is a linear program; what overlaps a little is
parted by it as well. A few such steps lead to where nothing gives any more.
Source, from memory: Li, Milenkovic (1995), Compaction and separation algorithms for non-convex polygons and
their applications, European Journal of Operational Research 84, 539-561.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numba import njit

from drafting.layplan.nofit import Depths, Floats, crossed
from drafting.layplan.separate import Bounds, Lie

#: How far a part may move in one step, as a share of the mean side of the boxes around the parts.
REACH = 0.05

#: Steps are taken until one gains less than this share, at most so many: most is gained by the first.
GAIN, STEPS = 1e-3, 8

#: A stretch has at most so many sides; the first of them are those of a box.
SIDES, OF_THE_BOX = 24, 4

#: A distance below this is none, in cells.
TOUCH = 1e-9

#: Parts are kept so much further apart that rounding never makes them overlap, mm.
KEEP_OFF = 1e-6

#: The solver may turn in circles: it is given up after so many steps of its own for each part.
PIVOTS = 50


class Tight(NamedTuple):
    """Where everything lies, mm, and the length of the strip that the parts take, mm."""

    x: Floats
    y: Floats
    length: float


def tightened(lie: Lie, bounds: Bounds, depths: Depths, longest: float) -> Tight | None:
    """The layout drawn tight, or nothing where the parts cannot be parted within the longest strip, mm.

    Parts keep their poses; one on a lattice keeps its place along it.
    """
    parts = len(bounds.first)
    pose = lie.pose[:parts]
    reach = REACH * float(np.mean([bounds.length[pose], bounds.width[pose]]))
    tight, length = None, float((lie.x[:parts] + bounds.length[pose]).max())
    for _ in range(STEPS):
        further = _step(lie, bounds, depths, reach, longest)
        if further is None:
            break
        tight, lie = further, lie._replace(x=further.x, y=further.y)
        if tight.length > length * (1 - GAIN):
            break
        length = tight.length
    return tight


def _step(lie: Lie, bounds: Bounds, depths: Depths, reach: float, longest: float) -> Tight | None:
    """One step: the linear program, in which all ways are from where things lie and counted in reaches."""
    from ortools.linear_solver import pywraplp  # noqa: PLC0415 - a tenth of a second that can wait

    parts = len(bounds.first)
    limits = _limits(lie, bounds, depths, 2 * reach)
    if limits is None:
        return None
    solver = pywraplp.Solver.CreateSolver("GLOP")
    solver.SetSolverSpecificParametersAsString(f"max_number_of_iterations: {PIVOTS * parts}")
    lengths, widths = bounds.length[lie.pose[:parts]], bounds.width[lie.pose[:parts]]
    ends = lie.x[:parts] + lengths
    free_x = _free(lie.x[:parts], 0.0, longest - lengths, bounds.step_x, reach)
    free_y = _free(lie.y[:parts], bounds.low, bounds.high - widths, bounds.step_y, reach)
    along, across = (
        [solver.NumVar(low, high, "") for low, high in (free / reach).tolist()] for free in (free_x, free_y)
    )
    end = solver.NumVar(-solver.infinity(), (longest - ends.max()) / reach, "")
    for way, behind in zip(along, ((ends - ends.max()) / reach).tolist(), strict=True):
        row = solver.Constraint(behind, solver.infinity())
        row.SetCoefficient(end, 1.0)
        row.SetCoefficient(way, -1.0)
    for one, other, share_x, share_y, least in limits.tolist():
        row = solver.Constraint(least / reach, solver.infinity())
        for ways, share in ((along, share_x), (across, share_y)):
            row.SetCoefficient(ways[int(one)], -share)
            if other < parts:
                row.SetCoefficient(ways[int(other)], share)
    solver.Minimize(end)
    if solver.Solve() != pywraplp.Solver.OPTIMAL:
        return None
    x, y = lie.x.copy(), lie.y.copy()
    for places, ways, free in ((x, along, free_x), (y, across, free_y)):
        moved = reach * np.array([way.solution_value() for way in ways])
        places[:parts] += np.clip(moved, free[:, 0], free[:, 1])
    return Tight(x, y, float((x[:parts] + lengths).max()))


def _free(place: Floats, low: Floats | float, high: Floats, step: Floats, reach: float) -> Floats:
    """How far each part may move along an axis, at least and at most, mm: shape (parts, 2)."""
    held = step > 0
    least = np.where(held, 0.0, np.clip(low - place, -reach, 0.0))
    most = np.where(held, 0.0, np.clip(high - place, 0.0, reach))
    return np.column_stack([least, most])


@njit(cache=True)
def _limits(lie: Lie, bounds: Bounds, depths: Depths, reach: float) -> Floats | None:
    """Rows of a part, another thing, along, across and least, mm.

    Where the other moves from the part by dx, dy within reach, and along * dx + across * dy is at least
    ``least`` in each of their rows, the two are clear.

    Nothing where two overlap too deep to be parted within it.
    """
    parts, things = len(bounds.first), len(lie.x)
    rows = np.empty((16 * things, 5))
    count = 0
    near = reach / depths.cell
    stretch = np.empty((SIDES, 3))
    for part in range(parts):
        for other in range(part + 1, things):
            pair = depths.pairs[lie.pose[part], lie.pose[other]]
            u = pair[0] * (lie.x[other] - lie.x[part]) + pair[2]
            v = pair[1] * (lie.y[other] - lie.y[part]) + pair[3]
            if u <= -near or v <= -near or u >= pair[4] + near or v >= pair[5] + near:
                continue
            first, last = depths.borders[lie.pose[part], lie.pose[other]]
            sides = _stretch(depths.sides[first:last], u, v, near, stretch)
            if sides == 0:
                return None
            if count + sides > len(rows):
                rows = np.concatenate((rows, np.empty_like(rows)))
            for side in range(OF_THE_BOX, sides):
                along, across, least = stretch[side]
                rows[count] = (
                    float(part),
                    float(other),
                    along * pair[0] * depths.cell,
                    across * pair[1] * depths.cell,
                    (least - along * u - across * v) * depths.cell + KEEP_OFF,
                )
                count += 1
    return rows[:count]


@njit(cache=True)
def _stretch(border: Floats, u: float, v: float, reach: float, stretch: Floats) -> int:
    """Fill in a convex stretch around a point that no side of the border enters; how many sides it has.

    It lies where along * u + across * v is at least ``least`` for each of its rows along, across, least. A
    point inside the border has the stretch of the nearest point on it. 0 where that is out of reach, or the
    stretch would have too many sides.
    """
    stretch[0] = (1.0, 0.0, u - reach)
    stretch[1] = (-1.0, 0.0, -u - reach)
    stretch[2] = (0.0, 1.0, v - reach)
    stretch[3] = (0.0, -1.0, -v - reach)
    if _inside(border, u, v):
        _, out_u, out_v = _nearest(border, u, v, stretch, 0)
        if max(abs(out_u - u), abs(out_v - v)) > reach:
            return 0
        u, v = out_u, out_v
    for count in range(OF_THE_BOX, len(stretch)):
        side, to_u, to_v = _nearest(border, u, v, stretch, count)
        if side < 0:
            return count
        x, y, end_x, end_y = border[side]
        length = np.hypot(end_x - x, end_y - y)
        along, across = (end_y - y) / length, (x - end_x) / length
        far = np.hypot(u - to_u, v - to_v)
        if far > TOUCH and along * (u - x) + across * (v - y) < -TOUCH:
            # Seen from behind: its end alone is what is near.
            along, across = (u - to_u) / far, (v - to_v) / far
        stretch[count] = (along, across, along * to_u + across * to_v)
    return 0


@njit(cache=True)
def _inside(border: Floats, u: float, v: float) -> bool:
    """Whether a point lies inside: a ray to the right crosses an odd number of sides."""
    inside = False
    for side in range(len(border)):
        if crossed(border, side, u, v):
            inside = not inside
    return inside


@njit(cache=True)
def _nearest(border: Floats, u: float, v: float, stretch: Floats, count: int) -> tuple[int, float, float]:
    """Which side of the border is nearest within so many sides of the stretch, or -1, and its nearest point.

    Of two that meet there, it is the one that the point lies further outside of.
    """
    least, most, found = np.inf, -np.inf, -1
    to_u, to_v = 0.0, 0.0
    for side in range(len(border)):
        x, y, end_x, end_y = border[side]
        way_x, way_y = end_x - x, end_y - y
        first, last = 0.0, 1.0
        for row in range(count):
            rise = stretch[row, 0] * way_x + stretch[row, 1] * way_y
            lack = stretch[row, 2] + TOUCH - stretch[row, 0] * x - stretch[row, 1] * y
            if rise > 0:
                first = max(first, lack / rise)
            elif rise < 0:
                last = min(last, lack / rise)
            elif lack > 0:
                last = first
            if first >= last:
                break
        if first >= last:
            continue
        length = np.hypot(way_x, way_y)
        at = min(max(((u - x) * way_x + (v - y) * way_y) / length**2, first), last)
        far = np.hypot(x + at * way_x - u, y + at * way_y - v)
        outside = (way_y * (u - x) - way_x * (v - y)) / length
        if far < least - TOUCH or (far < least + TOUCH and outside > most):
            least, most, found = min(far, least), outside, side
            to_u, to_v = x + at * way_x, y + at * way_y
    return found, to_u, to_v
