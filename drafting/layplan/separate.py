"""Moving overlapping parts apart within a strip of given length: guided local search.

Each part that overlaps another is put where it overlaps least, among places drawn at random over the strip
and near where it lies, the best of them improved step by step. What overlaps again and again weighs more and
more, so that sooner or later one of the two goes elsewhere.
Sources, from memory: Egeblad, Nielsen, Odgaard (2007), Fast neighborhood search for two- and
three-dimensional nesting problems, European Journal of Operational Research 183, 1249-1266, of the weights;
Gardeyn, Vanden Berghe, Wauters (2025), on sparrow, of drawing places and of the pace at which weights grow.

Compiled by numba; every function works on arrays of all parts.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numba import njit
from numpy.typing import NDArray

from drafting.layplan.nofit import INNER, Depths, Floats, Ints, depth_at

#: Places drawn over the strip and near the present one for each move; the best three are improved.
DRAWN, DRAWN_NEAR = 30, 20

#: Steps of improving, as shares of the part's lesser side: first, where the best place is chosen, last.
FIRST_STEP, MIDDLE_STEP, LAST_STEP = 0.1, 0.01, 0.0005

#: A step that gained grows by the first, one that did not shrinks by the second.
LONGER, SHORTER = 1.1, 0.6

#: Every overlap counts so many cells more than it is deep: a few deep ones are easier to end than many.
TOUCHING = 0.4

#: A weight grows by the first for any overlap, by the second besides for the deepest; else it shrinks.
GROWS, GROWS_BY_DEPTH, SHRINKS = 1.2, 0.8, 0.95

#: An overlap that became less by this share is progress.
PROGRESS = 0.98

#: Costs more than any place.
FAR = 1e300

#: Boxes are looked at this much larger, in cells: by more than the depths are (``nofit.MARGIN``).
MARGIN_OF_BOXES = 0.1

#: A value this near to a bound is on it, mm.
ON_LATTICE = 1e-6

_SEEDED = 88_172_645_463_325_252

#: The state of the generator of chance numbers: one of them, not 0.
Chance = NDArray[np.uint64]


#: What is called now and then, and what is called for every place.
_outer: Any = njit(cache=True, fastmath=True)
_inner: Any = njit(**INNER)


class Bounds(NamedTuple):
    """What each part is bound to.

    ``first``, ``last``: its poses are those from the first up to before the last. ``low``, ``high``: the band
    across the strip, mm. ``step_x``, ``step_y``: it lies whole steps from ``phase_x``, ``phase_y``, mm; 0
    where it is free. ``length``, ``width``: of each pose, mm. ``scale[a, b]``: how much an overlap of two
    poses counts.
    """

    first: Ints
    last: Ints
    low: Floats
    high: Floats
    step_x: Floats
    phase_x: Floats
    step_y: Floats
    phase_y: Floats
    length: Floats
    width: Floats
    scale: Floats


class Lie(NamedTuple):
    """Where everything lies, what is fixed behind the parts: pose, least and greatest x and y, mm."""

    pose: Ints
    x: Floats
    y: Floats
    right: Floats
    top: Floats


class Scene(NamedTuple):
    """All that the search looks at. ``lie``, ``weights``, ``losses``, ``near`` and ``chance`` change.

    ``end``: of the strip, mm. ``losses[a, b]``: what the overlap of two things counts, before its weight.
    ``near``: room for the numbers of those that a part comes near to.
    """

    end: float
    lie: Lie
    bounds: Bounds
    depths: Depths
    weights: Floats
    losses: Floats
    near: Ints
    chance: Chance

    @classmethod
    def of(cls, lie: Lie, bounds: Bounds, depths: Depths, seed: int) -> Scene:
        things = len(lie.x)
        pairs = np.zeros((2, things, things))
        # The state of the generator must not be 0.
        chance = np.array([_SEEDED + seed], dtype=np.uint64)
        return cls(0.0, lie, bounds, depths, pairs[0], pairs[1], np.zeros(things + 1, np.int64), chance)


class Place(NamedTuple):
    """A place for a part, and what its overlaps would cost there."""

    pose: int
    x: float
    y: float
    cost: float


@_outer
def separate(scene: Scene, patience: int, times: int) -> float:
    """Part what overlaps within the strip; what is left of the overlaps, 0 if nothing is.

    It leaves off when so many passes (``patience``) brought no progress, so many times over; everything then
    lies as in the best that was found.
    """
    lie, losses = scene.lie, scene.losses
    parts = len(scene.bounds.first)
    scene.weights[:] = 1.0
    losses[:] = 0.0
    _lay(lie.pose.copy(), lie.x.copy(), lie.y.copy(), scene)
    left = least = losses[:parts].sum()
    poses, xs, ys = lie.pose.copy(), lie.x.copy(), lie.y.copy()
    for time in range(times):
        begun, stale = least, 0
        while left > 0 and stale < patience:
            _pass(scene)
            left = losses[:parts].sum()
            stale = 0 if left < PROGRESS * least else stale + 1
            if left < least:
                least = left
                poses[:], xs[:], ys[:] = lie.pose, lie.x, lie.y
            _weigh(scene)
        if left <= 0:
            return 0.0
        _lay(poses, xs, ys, scene)
        left = least
        if time > 0 and least >= PROGRESS * begun:
            break
    return float(least)


@_outer
def _lay(poses: Ints, xs: Floats, ys: Floats, scene: Scene) -> None:
    """Put every part at its place, or the nearest that its bounds allow, and reckon all overlaps."""
    parts = len(scene.bounds.first)
    for part in range(parts):
        _put(part, _bound(part, poses[part], xs[part], ys[part], scene), scene)
    for part in range(parts):
        _look(part, scene)


@_outer
def _pass(scene: Scene) -> None:
    """Move each part that overlaps another once, in any order."""
    order = np.flatnonzero(scene.losses[: len(scene.bounds.first)].sum(axis=1) > 0)
    for n in range(len(order) - 1, 0, -1):
        other = int(_chance(scene.chance) * (n + 1))
        order[n], order[other] = order[other], order[n]
    for n in range(len(order)):
        part = int(order[n])
        if scene.losses[part].sum() > 0:
            _move(part, scene)


@_outer
def _weigh(scene: Scene) -> None:
    """What overlaps weighs more from now on, the deeper the more; what does not weighs less again."""
    losses, weights = scene.losses, scene.weights
    deepest = losses.max()
    for part in range(len(losses)):
        for other in range(len(losses)):
            if losses[part, other] > 0:
                weights[part, other] *= GROWS + GROWS_BY_DEPTH * losses[part, other] / deepest
            else:
                weights[part, other] = max(1.0, weights[part, other] * SHRINKS)


@_inner
def _move(part: int, scene: Scene) -> None:
    """Put a part at the best place found, if its weighted overlaps are less there than where it lies."""
    lie = scene.lie
    present = _priced(part, Place(lie.pose[part], lie.x[part], lie.y[part], 0.0), FAR, scene)
    best, second, third = present, _nowhere(), _nowhere()
    for n in range(DRAWN + DRAWN_NEAR):
        place = _drawn(part, n >= DRAWN, third.cost, scene)
        if place.cost < best.cost:
            best, second, third = place, best, second
        elif place.cost < second.cost:
            second, third = place, second
        elif place.cost < third.cost:
            third = place
    best = _improved(part, best, FIRST_STEP, MIDDLE_STEP, scene)
    for other in (second, third):
        if other.cost < FAR:
            place = _improved(part, other, FIRST_STEP, MIDDLE_STEP, scene)
            if place.cost < best.cost:
                best = place
    best = _improved(part, best, 2 * MIDDLE_STEP, LAST_STEP, scene)
    if best.cost < present.cost:
        _put(part, best, scene)
        _look(part, scene)


@_inner
def _nowhere() -> Place:
    return Place(0, 0.0, 0.0, FAR)


@_inner
def _drawn(part: int, nearby: bool, bar: float, scene: Scene) -> Place:
    """A place drawn by chance, in any of the part's poses, over the strip or near where it lies."""
    bounds, chance = scene.bounds, scene.chance
    first, last = bounds.first[part], bounds.last[part]
    pose = first + int(_chance(chance) * (last - first))
    if nearby:
        x = scene.lie.x[part] + (_chance(chance) - 0.5) * bounds.length[pose] / 2
        y = scene.lie.y[part] + (_chance(chance) - 0.5) * bounds.width[pose] / 2
    else:
        low, high = bounds.low[part], bounds.high[part]
        x = _chance(chance) * (scene.end - bounds.length[pose])
        y = low + _chance(chance) * (high - bounds.width[pose] - low)
    place: Place = _priced(part, _bound(part, pose, x, y, scene), bar, scene)
    return place


@_inner
def _improved(part: int, place: Place, step: float, last: float, scene: Scene) -> Place:
    """The place reached by steps along an axis or aslant while they gain; steps as shares of the part."""
    bounds, chance = scene.bounds, scene.chance
    pose, x, y, cost = place.pose, place.x, place.y, place.cost
    size = min(bounds.length[pose], bounds.width[pose])
    step, last = step * size, last * size
    reach, about_x, about_y, count = -1.0, x, y, 0
    while step > last and cost > 0:
        # Rounded to a lattice, a step may become longer by up to one of the lattice's own.
        stride = step + max(bounds.step_x[part], bounds.step_y[part])
        if abs(x - about_x) + stride > reach or abs(y - about_y) + stride > reach:
            reach, about_x, about_y = 2 * stride, x, y
            count = _gather(part, Place(pose, x, y, cost), reach, scene)
        turn = _chance(chance)
        ux, uy = 1.0, 0.0
        if turn < 1 / 3:
            ux, uy = 0.0, 1.0
        elif turn < 2 / 3:
            angle = _chance(chance) * 2 * np.pi
            ux, uy = np.cos(angle), np.sin(angle)
        # On a lattice a step shorter than its own would lead nowhere.
        ux *= max(step, bounds.step_x[part])
        uy *= max(step, bounds.step_y[part])
        one, two = _bound(part, pose, x + ux, y + uy, scene), _bound(part, pose, x - ux, y - uy, scene)
        cost_one = _cost(part, one, count, cost, scene)
        cost_two = _cost(part, two, count, min(cost_one, cost), scene)
        if cost_two < min(cost_one, cost):
            x, y, cost, step = two.x, two.y, cost_two, step * LONGER
        elif cost_one < cost:
            x, y, cost, step = one.x, one.y, cost_one, step * LONGER
        else:
            step *= SHORTER
    return Place(pose, x, y, cost)


@_inner
def _priced(part: int, place: Place, bar: float, scene: Scene) -> Place:
    """The place with its cost; at the bar or above it may be too low."""
    count = _gather(part, place, 0.0, scene)
    return Place(place.pose, place.x, place.y, _cost(part, place, count, bar, scene))


@_inner
def _gather(part: int, place: Place, reach: float, scene: Scene) -> int:
    """The others whose boxes the part comes near to within reach, into ``near``; how many."""
    lie, near = scene.lie, scene.near
    reach += scene.depths.cell * MARGIN_OF_BOXES
    left, right = place.x - reach, place.x + scene.bounds.length[place.pose] + reach
    low, high = place.y - reach, place.y + scene.bounds.width[place.pose] + reach
    count = 0
    for other in range(len(lie.x)):
        near[count] = other
        count += (
            (lie.x[other] < right)
            & (lie.right[other] > left)
            & (lie.y[other] < high)
            & (lie.top[other] > low)
            & (other != part)
        )
    return count


@_inner
def _cost(part: int, place: Place, count: int, bar: float, scene: Scene) -> float:
    """The weighted overlaps of a part at a place with the first so many near; it stops at the bar."""
    cost = 0.0
    for n in range(count):
        other = scene.near[n]
        loss = _loss(place.pose, place.x, place.y, other, scene)
        if loss > 0:
            cost += loss * scene.weights[part, other]
            if cost >= bar:
                break
    return cost


@_inner
def _loss(pose: int, x: float, y: float, other: int, scene: Scene) -> float:
    """What the overlap of a part, lying there, with another counts before its weight."""
    lie, there = scene.lie, scene.lie.pose[other]
    depth = depth_at(scene.depths, pose, there, lie.x[other] - x, lie.y[other] - y)
    return (depth + TOUCHING * scene.depths.cell) * scene.bounds.scale[pose, there] if depth > 0 else 0.0


@_inner
def _look(part: int, scene: Scene) -> None:
    """Reckon the overlaps of a part with all others anew."""
    lie = scene.lie
    for other in range(len(lie.x)):
        if other != part:
            loss = _loss(lie.pose[part], lie.x[part], lie.y[part], other, scene)
            scene.losses[part, other] = loss
            scene.losses[other, part] = loss


@_inner
def _put(part: int, place: Place, scene: Scene) -> None:
    lie, bounds = scene.lie, scene.bounds
    lie.pose[part], lie.x[part], lie.y[part] = place.pose, place.x, place.y
    lie.right[part] = place.x + bounds.length[place.pose]
    lie.top[part] = place.y + bounds.width[place.pose]


@_inner
def _bound(part: int, pose: int, x: float, y: float, scene: Scene) -> Place:
    """The nearest place that a part's bounds allow; its cost is not known."""
    bounds = scene.bounds
    right, top = scene.end - bounds.length[pose], bounds.high[part] - bounds.width[pose]
    x = _within(x, 0.0, right, bounds.step_x[part], bounds.phase_x[part])
    y = _within(y, bounds.low[part], top, bounds.step_y[part], bounds.phase_y[part])
    return Place(pose, x, y, 0.0)


@_inner
def _within(value: float, low: float, high: float, step: float, phase: float) -> float:
    """The nearest value from low to high that is whole steps from the phase, if there is a step.

    Where the lattice has no value in between, the least beyond high.
    """
    value = max(min(value, high), low)
    if step <= 0:
        return value
    value = phase + step * np.round((value - phase) / step)
    if value > high + ON_LATTICE:
        value -= step
    if value < low - ON_LATTICE:
        value += step
    return value


@_inner
def _chance(state: Chance) -> float:
    """A number from 0 to below 1. Source: Marsaglia (2003), Xorshift RNGs (from memory)."""
    x = state[0]
    x ^= x << np.uint64(13)
    x ^= x >> np.uint64(7)
    x ^= x << np.uint64(17)
    state[0] = x
    return float((x >> np.uint64(11)) * (1.0 / 9007199254740992.0))
