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

from drafting.layplan.minkowski import MITRE
from drafting.layplan.nofit import INNER, Depths, Floats, Ints, depth_at

#: Places drawn over the strip and near the present one for each move; the best three are improved.
DRAWN, DRAWN_NEAR = 30, 20

#: Steps of improving, as shares of the part's lesser side: first, where the best place is chosen, last.
FIRST_STEP, MIDDLE_STEP, LAST_STEP = 0.1, 0.01, 0.0005

#: A step that gained grows by the first, one that did not shrinks by the second.
LONGER, SHORTER = 1.1, 0.6

#: Every overlap counts so many cells more than it is deep: a few deep ones are easier to end than many.
TOUCHING = 0.1

#: Shares by which a weight grows for any overlap, besides for the deepest, and shrinks without one.
GROWS, GROWS_BY_DEPTH, SHRINKS = 0.2, 0.8, 0.05

#: An overlap that became less by this share is progress.
PROGRESS = 0.98

#: Costs more than any place.
FAR = 1e300

#: Boxes are looked at this much larger, in cells: by more than the depths are (``nofit.MARGIN``).
MARGIN_OF_BOXES = 0.1

#: Bins along the strip and across it, by which is known what may come near.
BINS = 64

#: A value this near to a bound is on it, mm.
ON_LATTICE = 1e-6

_SEEDED = 88_172_645_463_325_252

#: The state of the generator of chance numbers: one of them, not 0.
Chance = NDArray[np.uint64]

#: Sets of things: one bit for each.
Sets = NDArray[np.uint64]

#: The number of a word's only bit is found by the top six bits of its product with the first.
_ONE_BIT = 0x03F79D71B4CB0A89
_NUMBERS = np.zeros(64, dtype=np.int64)
for _bit in range(64):
    _NUMBERS[(_ONE_BIT << _bit) % 2**64 >> 58] = _bit


#: What is called now and then, and what is called for every place.
_outer: Any = njit(cache=True, fastmath=True)
_inner: Any = njit(**INNER)


class Bounds(NamedTuple):
    """What each part is bound to.

    ``first``, ``last``: its poses are those from the first up to before the last. ``low``, ``high``: the band
    across the strip, mm. ``step_x``, ``step_y``: it lies whole steps from ``phase_x``, ``phase_y``, mm; 0
    where it is free. ``length``, ``width``: of each pose, mm. ``side``: of each pose, the root of the side of
    a square as large, as a share of the mean: an overlap of two counts by their product.
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
    side: Floats


class Lie(NamedTuple):
    """Where everything lies, what is fixed behind the parts: pose, least and greatest x and y, mm."""

    pose: Ints
    x: Floats
    y: Floats
    right: Floats
    top: Floats


class Bins(NamedTuple):
    """Which things lie where, as sets of them: one bit for each, in words of 64.

    ``left[bin]``: those whose least x lies in this bin or before; ``right[bin]``: whose greatest x lies in it
    or beyond; ``below``, ``above``: the same of y. ``along``, ``across``: bins in a mm.
    """

    left: Sets
    right: Sets
    below: Sets
    above: Sets
    along: float
    across: float


class Scene(NamedTuple):
    """All that the search looks at. ``lie``, ``bins``, ``weights``, ``losses`` and ``chance`` change.

    ``end``: of the strip, mm. ``pace``: how fast weights change, 1 at most. ``losses[a, b]``: what the
    overlap of two things counts, before its weight. ``reach``: how near boxes of things come whose depths
    count, mm.
    """

    end: float
    pace: float
    lie: Lie
    bins: Bins
    bounds: Bounds
    depths: Depths
    weights: Floats
    losses: Floats
    reach: float
    chance: Chance

    @classmethod
    def of(cls, lie: Lie, bounds: Bounds, depths: Depths, gap: float, seed: int) -> Scene:
        things = len(lie.x)
        weights, losses = np.zeros((2, things, things))
        left, right, below, above = np.zeros((4, BINS, things // 64 + 1), dtype=np.uint64)
        bins = Bins(left, right, below, above, BINS / lie.right.max(), BINS / lie.top.max())
        # The state of the generator must not be 0.
        chance = np.array([_SEEDED + seed], dtype=np.uint64)
        reach = MITRE * gap + MARGIN_OF_BOXES * depths.cell
        return cls(0.0, 1.0, lie, bins, bounds, depths, weights, losses, reach, chance)


class Place(NamedTuple):
    """A place for a part, and what its overlaps would cost there."""

    pose: int
    x: float
    y: float
    cost: float


class Cost(NamedTuple):
    """What overlaps cost at a place, and by how much that grows in a mm of x, and of y."""

    cost: float
    along: float
    across: float


@_outer
def separate(scene: Scene, patience: int, times: int) -> float:
    """Part what overlaps within the strip; what is left of the overlaps, 0 if nothing is.

    It leaves off when so many passes (``patience``) brought no progress, so many times over; everything then
    lies as in the best that was found.
    """
    lie = scene.lie
    scene.weights[:] = 1.0
    scene.losses[:] = 0.0
    _lay(lie.pose.copy(), lie.x.copy(), lie.y.copy(), scene)
    left = least = _left(scene)
    poses, xs, ys = lie.pose.copy(), lie.x.copy(), lie.y.copy()
    for time in range(times):
        begun, stale = least, 0
        while left > 0 and stale < patience:
            _pass(scene)
            left = _left(scene)
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
    for fixed in range(parts, len(scene.lie.x)):
        _mark(fixed, scene)
    for part in range(parts):
        _look(part, scene)


@_outer
def _pass(scene: Scene) -> None:
    """Move each part that overlaps another once, in any order."""
    parts = len(scene.bounds.first)
    order, count = np.empty(parts, np.int64), 0
    for part in range(parts):
        if _overlaps(part, scene) > 0:
            # Put in at any place among those before it.
            place = int(_chance(scene.chance) * (count + 1))
            order[count] = order[place]
            order[place] = part
            count += 1
    for part in order[:count]:
        if _overlaps(part, scene) > 0:
            _move(part, scene)


@_inner
def _left(scene: Scene) -> float:
    """What is left of the overlaps."""
    left = 0.0
    for part in range(len(scene.bounds.first)):
        left += _overlaps(part, scene)
    return left


@_inner
def _overlaps(part: int, scene: Scene) -> float:
    """What the overlaps of a part count, without their weights."""
    found = 0.0
    for other in range(scene.losses.shape[1]):
        found += scene.losses[part, other]
    return found


@_inner
def _weigh(scene: Scene) -> None:
    """What overlaps weighs more from now on, the deeper the more; what does not weighs less again."""
    losses, weights = scene.losses, scene.weights
    deepest = 0.0
    for part in range(losses.shape[0]):
        if _overlaps(part, scene) > 0:
            for other in range(losses.shape[1]):
                deepest = max(deepest, losses[part, other])
    grows = 1 + scene.pace * GROWS
    by_depth = scene.pace * GROWS_BY_DEPTH / max(deepest, 1e-300)
    shrinks = 1 - scene.pace * SHRINKS
    for part in range(losses.shape[0]):
        for other in range(losses.shape[1]):
            loss, weight = losses[part, other], weights[part, other]
            grown, shrunk = weight * (grows + by_depth * loss), max(1.0, weight * shrinks)
            weights[part, other] = grown if loss > 0 else shrunk


@_inner
def _move(part: int, scene: Scene) -> None:
    """Put a part at the best place found, if its weighted overlaps are less there than where it lies."""
    lie = scene.lie
    present = _priced(part, Place(lie.pose[part], lie.x[part], lie.y[part], 0.0), FAR, scene)
    best, second, third = present, _nowhere(), _nowhere()
    # Near places cost less than most; begun with them, the others are given up sooner.
    for n in range(DRAWN_NEAR + DRAWN):
        place = _drawn(part, n < DRAWN_NEAR, third.cost, scene)
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
    """The place reached by steps that gain: down the slope, and where that gains nothing along an axis or
    aslant; steps as shares of the part."""
    bounds, chance = scene.bounds, scene.chance
    pose, x, y = place.pose, place.x, place.y
    size = min(bounds.length[pose], bounds.width[pose])
    step, last = step * size, last * size
    here = _cost(part, place, FAR, scene)
    by_slope = True
    while step > last and here.cost > 0:
        # On a lattice a step shorter than its own would lead nowhere.
        long, wide = max(step, bounds.step_x[part]), max(step, bounds.step_y[part])
        if by_slope:
            ux, uy = _down(here)
        else:
            ux, uy = _any_way(chance)
            if ux * here.along + uy * here.across > 0:
                ux, uy = -ux, -uy
        to = _bound(part, pose, x + ux * long, y + uy * wide, scene)
        there = _cost(part, to, here.cost, scene)
        if there.cost >= here.cost and not by_slope:
            to = _bound(part, pose, x - ux * long, y - uy * wide, scene)
            there = _cost(part, to, here.cost, scene)
        if there.cost < here.cost:
            x, y, here, step, by_slope = to.x, to.y, there, step * LONGER, True
        else:
            step, by_slope = step * SHORTER, not by_slope
    return Place(pose, x, y, here.cost)


@_inner
def _down(here: Cost) -> tuple[float, float]:
    """The way in which a cost falls most, of length 1, or 0 where it does not change."""
    steep = max(np.hypot(here.along, here.across), 1e-300)
    return -here.along / steep, -here.across / steep


@_inner
def _any_way(chance: Chance) -> tuple[float, float]:
    """Along the strip, across it or aslant."""
    turn = _chance(chance)
    if turn < 1 / 3:
        return 0.0, 1.0
    if turn < 2 / 3:
        angle = _chance(chance) * 2 * np.pi
        return np.cos(angle), np.sin(angle)
    return 1.0, 0.0


@_inner
def _priced(part: int, place: Place, bar: float, scene: Scene) -> Place:
    """The place with its cost; at the bar or above it may be too low."""
    return Place(place.pose, place.x, place.y, _cost(part, place, bar, scene).cost)


@_inner
def _cost(part: int, place: Place, bar: float, scene: Scene) -> Cost:
    """The weighted overlaps of a part at a place; it stops at the bar."""
    lie, bins, reach = scene.lie, scene.bins, scene.reach
    left = _bin(place.x - reach, bins.along)
    right = _bin(place.x + scene.bounds.length[place.pose] + reach, bins.along)
    below = _bin(place.y - reach, bins.across)
    above = _bin(place.y + scene.bounds.width[place.pose] + reach, bins.across)
    cost, along, across = 0.0, 0.0, 0.0
    for word in range(bins.left.shape[1]):
        near = (
            bins.left[right, word]
            & bins.right[left, word]
            & bins.below[above, word]
            & bins.above[below, word]
        )
        while near != 0:
            bit = near & (~near + np.uint64(1))
            near ^= bit
            other = (word << 6) + _NUMBERS[(bit * np.uint64(_ONE_BIT)) >> np.uint64(58)]
            if other == part:
                continue
            pose = lie.pose[other]
            found = depth_at(scene.depths, place.pose, pose, lie.x[other] - place.x, lie.y[other] - place.y)
            if found.depth > 0:
                weight = scene.weights[part, other] * _scale(place.pose, pose, scene)
                cost += weight * _counted(found.depth, scene)
                along -= weight * found.along
                across -= weight * found.across
                if cost >= bar:
                    return Cost(cost, along, across)
    return Cost(cost, along, across)


@_inner
def _bin(value: float, bins_in_a_mm: float) -> int:
    return int(max(0.0, min(value * bins_in_a_mm, BINS - 1.0)))


@_inner
def _counted(depth: float, scene: Scene) -> float:
    """The depth of an overlap as it counts."""
    return depth + TOUCHING * scene.depths.cell


@_inner
def _scale(pose: int, other: int, scene: Scene) -> float:
    """How much an overlap of two poses counts."""
    return float(scene.bounds.side[pose] * scene.bounds.side[other])


@_inner
def _look(part: int, scene: Scene) -> None:
    """Reckon the overlaps of a part with all others anew."""
    lie, pose = scene.lie, scene.lie.pose[part]
    for other in range(len(lie.x)):
        if other != part:
            there = lie.pose[other]
            x, y = lie.x[other] - lie.x[part], lie.y[other] - lie.y[part]
            depth = depth_at(scene.depths, pose, there, x, y).depth
            loss = _scale(pose, there, scene) * _counted(depth, scene) if depth > 0 else 0.0
            scene.losses[part, other] = loss
            scene.losses[other, part] = loss


@_inner
def _put(part: int, place: Place, scene: Scene) -> None:
    lie, bounds = scene.lie, scene.bounds
    lie.pose[part], lie.x[part], lie.y[part] = place.pose, place.x, place.y
    lie.right[part] = place.x + bounds.length[place.pose]
    lie.top[part] = place.y + bounds.width[place.pose]
    _mark(part, scene)


@_inner
def _mark(thing: int, scene: Scene) -> None:
    """Enter a thing into the bins, where it was entered elsewhere before or not at all."""
    lie, bins = scene.lie, scene.bins
    left, right = _bin(lie.x[thing], bins.along), _bin(lie.right[thing], bins.along)
    below, above = _bin(lie.y[thing], bins.across), _bin(lie.top[thing], bins.across)
    word = thing >> 6
    bit = np.uint64(1) << np.uint64(thing & 63)
    for at in range(BINS):
        bins.left[at, word] = bins.left[at, word] | bit if at >= left else bins.left[at, word] & ~bit
        bins.right[at, word] = bins.right[at, word] | bit if at <= right else bins.right[at, word] & ~bit
        bins.below[at, word] = bins.below[at, word] | bit if at >= below else bins.below[at, word] & ~bit
        bins.above[at, word] = bins.above[at, word] | bit if at <= above else bins.above[at, word] & ~bit


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
