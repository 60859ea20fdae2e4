"""Polylines as finishing trims them: lengthened, cut where they meet, mirrored.

All functions return new lists. "Near" arguments choose among several meetings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from drafting.geometry import NEAR, Path, Point, cross, distance, mirrored, perpendicular, unit

FLAT = 0.04
"""Curves are flattened to this, mm, before they are offset."""

_SHARP_JOINT = -0.5  # cosine of the turn inside an edge beyond which its joint is not mitred but cut off

Polyline = list[Point]


def outward(tangent: Point) -> Point:
    """The unit normal to the right of a direction of travel: outward, on a counter-clockwise outline."""
    return perpendicular(tangent) * -1.0


def offset(path: Path, by: float) -> Polyline:
    """The polyline ``by`` mm to the right of a path; it may cross itself where the path bends tightly."""
    points = _without_repeats(path.flatten(FLAT))
    if by == 0 or len(points) < 2:
        return points
    line = [points[0] + outward(path.start_tangent) * by]
    normals = [_normal(a, b) for a, b in pairwise(points)]
    for point, before, after in zip(points[1:-1], normals[:-1], normals[1:], strict=True):
        line.extend(_joint(point, before, after, by))
    line.append(points[-1] + outward(path.end_tangent) * by)
    return line


# Curves have hundreds of chords: these two work on plain numbers, which takes a third of the time.


def _normal(a: Point, b: Point) -> tuple[float, float]:
    """The unit normal to the right of a chord."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = hypot(dx, dy)
    return dy / length, -dx / length


def _joint(point: Point, before: tuple[float, float], after: tuple[float, float], by: float) -> Polyline:
    """Where the offsets of two neighbouring chords meet; both ends where the joint is too sharp for that."""
    x, y = point
    together = before[0] * after[0] + before[1] * after[1]
    if together < _SHARP_JOINT:
        return [Point(x + before[0] * by, y + before[1] * by), Point(x + after[0] * by, y + after[1] * by)]
    reach = by / (1.0 + together)
    return [Point(x + (before[0] + after[0]) * reach, y + (before[1] + after[1]) * reach)]


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
    """The polyline mirrored over the line through two points."""
    return [mirrored(point, a, b) for point in line]


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
    second_near = _segments_near(second, near, reach)
    for i, a, b in _segments_near(first, near, reach):
        for j, c, d in second_near:
            point = _crossing(a, b, c, d)
            if point is not None and distance(point, near) <= closest:
                best, closest = Meeting(point, i, j), distance(point, near)
    return best


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
