"""Sliding the parts of a sound layout together in true geometry, as far as the gap lets them.

The free way of one outline towards another is least at an end of a stretch where an edge of one faces an
edge of the other: the distance between two straight edges changes linearly along it (plane geometry).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

from drafting.layplan.outline import Outline
from drafting.layplan.raster import ARC_MARGIN
from drafting.layplan.strip import Layout, Position, StripProblem

Floats = NDArray[np.float64]

#: Stretches shorter than this, and overlaps less deep, are touching, mm.
TOUCH = 1e-7

#: Parts slide up to this much less than they could, so that rounding never makes them overlap, mm.
KEEP_OFF = 1e-6

#: Rounds of left and down after which a layout hardly moves any more.
ROUNDS = 4


@dataclass(frozen=True, slots=True)
class _Faces:
    """The edges of an outline that face one way along an axis, low end first.

    Across the axis an edge runs from ``low`` to ``high``; there it is at ``at_low`` and ``at_high`` along it.
    """

    low: Floats
    high: Floats
    at_low: Floats
    at_high: Floats

    def moved(self, along: float, across: float) -> _Faces:
        return _Faces(self.low + across, self.high + across, self.at_low + along, self.at_high + along)


def compact(layout: Layout, problem: StripProblem) -> Layout:
    """Slide every part to the left and towards y = 0, round after round, until the length stays.

    A part that is tied along an axis is not moved along it, nor a part on the fold away from it.
    """
    best = layout
    for _ in range(ROUNDS):
        layout = _slide(best, problem, axis=0)
        layout = _slide(layout, problem, axis=1)
        layout = _slide(layout, problem, axis=0)
        if layout.length(problem) >= best.length(problem) - TOUCH:
            break
        best = layout
    return best


def _slide(layout: Layout, problem: StripProblem, *, axis: int) -> Layout:
    """One pass along an axis, the nearest part to its beginning first."""
    positions = list(layout.positions)
    shapes = _Shapes(problem, positions, axis)
    for part in np.argsort(shapes.boxes[: len(positions), 0], kind="stable").tolist():
        bound = problem.parts[part]
        if bound.tie_x if axis == 0 else bound.tie_y or bound.on_fold:
            continue
        start = float(shapes.boxes[part, 0]) - (bound.low if axis == 1 else 0.0)
        way = min([start, *(shapes.free_way(part, other) for other in shapes.in_the_way(part))])
        if way < start:
            way -= KEEP_OFF
        if way > KEEP_OFF:
            shapes.slide(part, way)
            x, y = positions[part].x, positions[part].y
            x, y = (x - way, y) if axis == 0 else (x, y - way)
            positions[part] = Position(positions[part].pose, x, y)
    return Layout(tuple(positions))


class _Shapes:
    """The parts of a layout as they slide along one axis, and behind them what is blocked.

    ``boxes``: for each of them (along least, along most, across least, across most), mm.
    """

    def __init__(self, problem: StripProblem, positions: list[Position], axis: int) -> None:
        known: dict[int, tuple[_Faces, _Faces, Floats]] = {}
        self._fronts: list[_Faces] = []
        self._backs: list[_Faces] = []
        self._margin = problem.gap * ARC_MARGIN
        rows = []
        for part, position in zip(problem.parts, positions, strict=True):
            outline = part.poses[position.pose].outline
            if id(outline) not in known:
                known[id(outline)] = _shape_of(outline, problem.gap, axis)
            front, back, box = known[id(outline)]
            along, across = (position.x, position.y) if axis == 0 else (position.y, position.x)
            self._fronts.append(front.moved(along, across))
            self._backs.append(back.moved(along, across))
            rows.append(box + np.array([along, along, across, across]))
        for blocked in problem.blocked:
            front, back, box = _shape_of(blocked.outline, 0.0, axis)
            self._fronts.append(front)
            self._backs.append(back)
            rows.append(box)
        self.boxes: Floats = np.array(rows)

    def in_the_way(self, part: int) -> list[int]:
        """Parts that a part might meet: beside it across the axis, and not wholly beyond it."""
        box, boxes, margin = self.boxes[part], self.boxes, self._margin
        near = (
            (boxes[:, 2] - margin < box[3] - TOUCH)
            & (boxes[:, 3] + margin > box[2] + TOUCH)
            & (boxes[:, 0] - margin < box[1])
        )
        near[part] = False
        found: list[int] = np.flatnonzero(near).tolist()
        return found

    def free_way(self, part: int, other: int) -> float:
        """How far the part may slide before it meets the other; infinite where it never does."""
        return _least_way(self._fronts[part], self._backs[other])

    def slide(self, part: int, way: float) -> None:
        self._fronts[part] = self._fronts[part].moved(-way, 0.0)
        self._backs[part] = self._backs[part].moved(-way, 0.0)
        self.boxes[part, :2] -= way


def _shape_of(outline: Outline, gap: float, axis: int) -> tuple[_Faces, _Faces, Floats]:
    """The front of an outline that slides, its back (grown by the gap) that another meets, and its box."""
    points = np.array(outline, dtype=np.float64)
    along, across = points[:, axis], points[:, 1 - axis]
    box = np.array([along.min(), along.max(), across.min(), across.max()])
    front = _faces_of(outline, axis, forward=False)
    return front, _faces_of(_grown(outline, gap), axis, forward=True), box


def _grown(outline: Outline, gap: float) -> Outline:
    if gap <= 0:
        return outline
    grown = Polygon(outline).buffer(gap * ARC_MARGIN, quad_segs=4)
    return tuple((x, y) for x, y in grown.exterior.normalize().coords[:-1])


def _faces_of(outline: Outline, axis: int, *, forward: bool) -> _Faces:
    """The edges of an outline that face forward (or backward) along the axis."""
    ring = np.array(outline, dtype=np.float64)
    if Polygon(outline).exterior.is_ccw != (axis == 0):
        ring = ring[::-1]
    along, across = ring[:, axis], ring[:, 1 - axis]
    ends_along, ends_across = np.roll(along, -1), np.roll(across, -1)
    # Counter-clockwise in (along, across), an edge that climbs has the inside behind it and faces forward.
    facing = ends_across > across if forward else ends_across < across
    if not forward:
        along, ends_along, across, ends_across = ends_along, along, ends_across, across
    return _Faces(across[facing], ends_across[facing], along[facing], ends_along[facing])


def _least_way(front: _Faces, back: _Faces) -> float:
    """Least distance along the axis from the back of the one to the front of the other, where they face."""
    low = np.maximum(front.low[:, None], back.low[None, :])
    high = np.minimum(front.high[:, None], back.high[None, :])
    least = float("inf")
    facing = high - low > TOUCH
    if not facing.any():
        return least
    mine, others = np.nonzero(facing)
    ways = [
        _at(front, mine, level) - _at(back, others, level)
        for level in (low[mine, others], high[mine, others])
    ]
    # Where both ends are behind, the other has already been passed and is no obstacle.
    ahead = (ways[0] > -TOUCH) | (ways[1] > -TOUCH)
    if ahead.any():
        least = float(np.minimum(ways[0], ways[1])[ahead].min())
    return max(least, 0.0)


def _at(faces: _Faces, index: NDArray[np.intp], level: Floats) -> Floats:
    """Where the edges are along the axis at a level across it."""
    low, high = faces.low[index], faces.high[index]
    start, end = faces.at_low[index], faces.at_high[index]
    result: Floats = start + (end - start) * (level - low) / (high - low)
    return result
