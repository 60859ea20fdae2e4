"""Polylines as finishing trims them: lengthened, cut where they meet, mirrored.

All functions return new lists. "Near" arguments choose among several meetings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from drafting.geometry import NEAR, Path, Point, cross, distance, perpendicular, unit
from drafting.geometry.rings import as_array, as_points
from drafting.geometry.vector import made
from drafting.pattern import FINE

_SHARP_JOINT = -0.5  # cosine of the turn inside an edge beyond which its joint is not mitred but cut off

Polyline = list[Point]


def outward(tangent: Point) -> Point:
    """The unit normal to the right of a direction of travel: outward, on a counter-clockwise outline."""
    return perpendicular(tangent) * -1.0


def offset(path: Path, by: float) -> Polyline:
    """The polyline ``by`` mm to the right of a path; it may cross itself where the path bends tightly."""
    return offsets([(path, by)])[0]


def offsets(wanted: Sequence[tuple[Path, float]]) -> list[Polyline]:
    """The same for several paths, each with how far from it, mm: their joints are reckoned together."""
    lines = [_without_repeats(path.flatten(FINE)) for path, _ in wanted]
    bent = [(line, by) for line, (_, by) in zip(lines, wanted, strict=True) if by and len(line) > 2]
    joints = iter(_joints(bent))
    found = []
    for line, (path, by) in zip(lines, wanted, strict=True):
        if by and len(line) > 1:
            start, end = line[0] + outward(path.start_tangent) * by, line[-1] + outward(path.end_tangent) * by
            found.append([start, *(next(joints) if len(line) > 2 else ()), end])
        else:
            found.append(line)
    return found


def _joints(lines: Sequence[tuple[Polyline, float]]) -> list[Polyline]:
    """Where the offsets of neighbouring chords meet; both their ends where a joint is too sharp for that.

    In arrays, all lines in one: curves have hundreds of chords. What it finds from line to line is left out.
    """
    if not lines:
        return []
    at = as_array([point for line, _ in lines for point in line])
    along = at[1:] - at[:-1]
    # From one line to the next there may be no way at all.
    size = np.maximum(np.hypot(along[:, 0], along[:, 1]), NEAR)
    right = np.stack((along[:, 1], -along[:, 0]), axis=1) / size[:, None]
    before, after, joint = right[:-1], right[1:], at[1:-1]
    widths = np.repeat([by for _, by in lines], [len(line) for line, _ in lines])[1:-1, None]
    together = (before * after).sum(axis=1)
    sharp = together < _SHARP_JOINT
    met = as_points(joint + (before + after) * (widths / (1.0 + np.where(sharp, 0.0, together))[:, None]))
    found, first = [], 0
    for line, _ in lines:
        last = first + len(line) - 2
        inner = met[first:last]
        for k in np.flatnonzero(sharp[first:last])[::-1].tolist():
            ends = joint[first + k] + np.stack((before[first + k], after[first + k])) * widths[first + k]
            inner[k : k + 1] = as_points(ends)
        found.append(inner)
        first = last + 2
    return found


def _without_repeats(points: Sequence[Point]) -> Polyline:
    kept = [points[0]]
    kept.extend(b for a, b in pairwise(points) if distance(a, b) > NEAR)
    return kept


def lengthened(line: Polyline, by: float) -> Polyline:
    """The polyline run on straight at its end."""
    return [*line, line[-1] + _last_direction(line) * by]


def lengthened_back(line: Polyline, by: float) -> Polyline:
    """The polyline run on straight before its start."""
    return lengthened(line[::-1], by)[::-1]


def _last_direction(line: Polyline) -> Point:
    for a, b in zip(line[-2::-1], line[:0:-1], strict=True):
        if distance(a, b) > NEAR:
            return unit(b - a)
    return Point(0.0, 0.0)


def mirrored_line(line: Polyline, a: Point, b: Point) -> Polyline:
    """The polyline mirrored over the line through two points, the direction of that reckoned but once."""
    ux, uy = unit(b - a)
    mirrored_at = []
    for x, y in line:
        along = 2 * ((x - a[0]) * ux + (y - a[1]) * uy)
        mirrored_at.append(made(Point, (2 * a[0] - x + ux * along, 2 * a[1] - y + uy * along)))
    return mirrored_at


def without_loops(line: Polyline) -> Polyline:
    """The polyline without what lies between two passes of one place: an offset's tail at a tight bend."""
    if shapely.is_simple(shapely.linestrings(as_array(line))):
        return line
    kept, at = [line[0]], 0
    while at < len(line) - 1:
        crossed = _first_crossing(kept[-1], line[at + 1], line[at + 2 :])
        kept.append(crossed.point if crossed else line[at + 1])
        at += crossed.on_second + 2 if crossed else 1
    return kept


def _first_crossing(a: Point, b: Point, later: Polyline) -> Meeting | None:
    """Where a chord first crosses a polyline, seen from its start; None where it does not."""
    met = [
        Meeting(point, 0, j)
        for j, (c, d) in enumerate(pairwise(later))
        if (point := _crossing(a, b, c, d)) is not None
    ]
    return min(met, key=lambda one: distance(a, one.point), default=None)


@dataclass(frozen=True, slots=True)
class Meeting:
    """A point where two polylines meet, and the segment of each on which it lies."""

    point: Point
    on_first: int
    on_second: int

    def head(self, first: Polyline) -> Polyline:
        """The first polyline up to the meeting."""
        return [*first[: self.on_first + 1], self.point]

    def tail(self, second: Polyline) -> Polyline:
        """The second polyline from the meeting on."""
        return [self.point, *second[self.on_second + 1 :]]


def meeting(first: Polyline, second: Polyline, near: Point, reach: float) -> Meeting | None:
    """Return where two polylines meet, closest to ``near`` and within ``reach``; None where they do not."""
    best: Meeting | None = None
    closest = reach
    second_near = [(j, c, d, _box(c, d)) for j, c, d in _segments_near(second, near, reach)]
    for i, a, b in _segments_near(first, near, reach):
        left, lower, right, upper = _box(a, b)
        for j, c, d, box in second_near:
            if left > box[2] or right < box[0] or lower > box[3] or upper < box[1]:
                continue
            point = _crossing(a, b, c, d)
            if point is not None and distance(point, near) <= closest:
                best, closest = Meeting(point, i, j), distance(point, near)
    return best


def first_meeting(first: Polyline, a: Point, b: Point) -> Meeting | None:
    """Return where a polyline first comes upon a stretch; None where it does not."""
    left, lower, right, upper = _box(a, b)
    for i, (c, d) in enumerate(pairwise(first)):
        if max(c[0], d[0]) < left or min(c[0], d[0]) > right:
            continue
        if max(c[1], d[1]) < lower or min(c[1], d[1]) > upper:
            continue
        point = _crossing(c, d, a, b)
        if point is not None:
            return Meeting(point, i, 0)
    return None


def _box(a: Point, b: Point) -> tuple[float, float, float, float]:
    """Left, lower, right and upper end of a chord, so much wider that no touching is missed."""
    (ax, ay), (bx, by) = a, b
    left, right = (ax, bx) if ax < bx else (bx, ax)
    lower, upper = (ay, by) if ay < by else (by, ay)
    return left - NEAR, lower - NEAR, right + NEAR, upper + NEAR


def _segments_near(line: Polyline, near: Point, reach: float) -> list[tuple[int, Point, Point]]:
    """Segments whose box comes within ``reach`` of a point."""
    return [
        (i, a, b)
        for i, (a, b) in enumerate(pairwise(line))
        if min(a.x, b.x) - reach <= near.x <= max(a.x, b.x) + reach
        and min(a.y, b.y) - reach <= near.y <= max(a.y, b.y) + reach
    ]


def _crossing(a: Point, b: Point, c: Point, d: Point) -> Point | None:
    u, v, w = b - a, d - c, c - a
    turn = cross(u, v)
    if abs(turn) < 1e-12:
        return None
    s, t = cross(w, v) / turn, cross(w, u) / turn
    slack = 1e-9
    if -slack <= s <= 1 + slack and -slack <= t <= 1 + slack:
        return a + u * s
    return None
