"""A strip problem as arrays for the search that parts what overlaps (``separate``), and its layouts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from shapely.geometry import Polygon

from drafting.layplan.nofit import Depths, Floats, Ints, Likeness, depths_of, likeness
from drafting.layplan.outline import Outline, at_origin, extent
from drafting.layplan.separate import Bounds, Lie
from drafting.layplan.strip import Layout, Part, Pose, Position, StripProblem, Tie, unlike

#: Corners of an outline in the search: what is added to be spared corners is cloth.
CORNERS = 40


@dataclass(frozen=True, slots=True)
class Shapes:
    """The shapes that a problem's parts may take, each once, and behind them its blocked boxes.

    ``sizes``: length and width, mm. ``areas``: mm2. ``first[part]``: the number of the first shape of a
    part; it takes those of ``poses[part]`` in turn.
    """

    likenesses: tuple[Likeness, ...]
    sizes: Floats
    areas: Floats
    first: tuple[int, ...]
    poses: tuple[tuple[Pose, ...], ...]

    @classmethod
    def of(cls, problem: StripProblem) -> Shapes:
        known: dict[tuple[Pose, ...], int] = {}
        outlines: list[Outline] = []
        poses = tuple(tuple(unlike(part.poses)) for part in problem.parts)
        for kind in poses:
            if kind not in known:
                known[kind] = len(outlines)
                outlines += [pose.outline for pose in kind]
        outlines += [at_origin(box.outline) for box in problem.blocked]
        return cls(
            tuple(likeness(outline, CORNERS) for outline in outlines),
            np.array([extent(outline) for outline in outlines]),
            np.array([Polygon(outline).area for outline in outlines]),
            tuple(known[kind] for kind in poses),
            poses,
        )


def depths(problem: StripProblem, shapes: Shapes) -> Depths:
    """The tables of a problem; the gap is kept between parts, not to what is blocked."""
    count, parts = len(shapes.likenesses), len(shapes.likenesses) - len(problem.blocked)
    gaps = np.zeros((count, count))
    gaps[:parts, :parts] = problem.gap
    return depths_of(shapes.likenesses, gaps)


def lie_of(layout: Layout, problem: StripProblem, shapes: Shapes) -> Lie:
    """Where everything lies in a layout, what is blocked behind the parts."""
    numbers = [
        first
        + next(n for n, choice in enumerate(poses) if len(unlike((choice, part.poses[position.pose]))) == 1)
        for part, position, first, poses in zip(
            problem.parts, layout.positions, shapes.first, shapes.poses, strict=True
        )
    ]
    blocked = len(shapes.likenesses) - len(problem.blocked)
    shape: Ints = np.array([*numbers, *range(blocked, len(shapes.likenesses))], dtype=np.int64)
    corners = [(row.x, row.y) for row in layout.positions] + [(box.x0, box.y0) for box in problem.blocked]
    x, y = np.array(corners).T.copy()
    return Lie(shape, x, y, x + shapes.sizes[shape, 0], y + shapes.sizes[shape, 1])


def layout_of(lie: Lie, problem: StripProblem, shapes: Shapes) -> Layout:
    """The layout of the parts."""
    return Layout(
        tuple(
            Position(part.poses.index(poses[int(shape) - first]), float(x), float(y))
            for part, first, poses, shape, x, y in zip(
                problem.parts, shapes.first, shapes.poses, lie.pose, lie.x, lie.y, strict=False
            )
        )
    )


def bounds_of(problem: StripProblem, shapes: Shapes, start: Layout) -> Bounds:
    """What binds each part. The phase of a lattice is that of the layout to begin with."""
    first: Ints = np.array(shapes.first, dtype=np.int64)
    bands = np.array([_band(part, problem.width) for part in problem.parts])
    along = [
        _lattice(part.tie_x, problem.step_x, row.x)
        for part, row in zip(problem.parts, start.positions, strict=True)
    ]
    across = [
        _lattice(part.tie_y, problem.step_y, row.y)
        for part, row in zip(problem.parts, start.positions, strict=True)
    ]
    # An overlap counts by how large the two are: the larger is the harder to find another place for.
    side = shapes.areas**0.25
    columns = [bands, np.array(along), np.array(across), shapes.sizes]
    low, high, step_x, phase_x, step_y, phase_y, length, width = (
        np.ascontiguousarray(column) for pair in columns for column in pair.T
    )
    return Bounds(
        first,
        first + np.array([len(poses) for poses in shapes.poses]),
        low,
        high,
        step_x,
        phase_x,
        step_y,
        phase_y,
        length,
        width,
        side / side.mean(),
    )


def _band(part: Part, width: float) -> tuple[float, float]:
    """The band in which a part lies; on the fold it is as narrow as the part."""
    if part.on_fold:
        return 0.0, max(extent(pose.outline)[1] for pose in part.poses)
    return part.low, min(part.high, width)


def _lattice(tie: Tie | None, step: float, position: float) -> tuple[float, float]:
    return (0.0, 0.0) if tie is None else (step, position)
