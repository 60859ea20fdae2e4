"""A line of the outline in parts that can be ruled: straight, or a curve with offsets from its base line."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from math import acos, degrees

import shapely

from drafting.geometry import NEAR, Path, Point, distance, dot, perpendicular, unit
from drafting.output.hand.plan import Offset, through
from drafting.output.hand.tape import Tape

_TRUE = 1.4
"""mm: how near, besides half a mark of the tape, the ruled line keeps to the draft's."""

_STRAIGHT = 0.4
"""mm: less than a chalk line is wide (common practice, no source)."""

_CORNER_DEG = 8.0
_STEEP_DEG = 50.0
_SHORTEST = 25.0
_FINEST = 8.0


def parts(path: Path) -> Iterator[Path]:
    """The path cut at its corners, and where it turns too far from its base line to be squared."""
    for smooth in _smooth_runs(path):
        yield from _squarable(smooth)


def is_straight(path: Path) -> bool:
    a, b = path.start, path.end
    if distance(a, b) <= NEAR:
        return False
    across = perpendicular(unit(b - a))
    return all(abs(dot(p - a, across)) <= _STRAIGHT for p in path.flatten(0.05))


def _smooth_runs(path: Path) -> Iterator[Path]:
    segments = [segment for segment in path.segments if segment.length > NEAR]
    run = [segments[0]]
    for segment in segments[1:]:
        if _turn(run[-1].tangent_at(run[-1].length), segment.tangent_at(0.0)) > _CORNER_DEG:
            yield Path(tuple(run))
            run = []
        run.append(segment)
    yield Path(tuple(run))


def _turn(a: Point, b: Point) -> float:
    return degrees(acos(min(max(dot(a, b), -1.0), 1.0)))


def _squarable(path: Path) -> Iterator[Path]:
    if is_straight(path) or path.length < 2 * _SHORTEST or _steepest(path) < _STEEP_DEG:
        yield path
        return
    for half in path.split_at(path.length / 2):
        yield from _squarable(half)


def _steepest(path: Path) -> float:
    """The largest angle between a line and its base line, degrees."""
    if distance(path.start, path.end) <= NEAR:
        return 180.0
    base = unit(path.end - path.start)
    return max(_turn(base, path.tangent_at(path.length * share / 24)) for share in range(25))


def offsets(path: Path, start: Point, end: Point, tape: Tape) -> tuple[Offset, ...]:
    """Return the offsets of a curve from the base line between its corners as ruled.

    They stand as far apart as the tape says, or half that, or a quarter ..., so that a smooth line through
    them keeps near to the draft's; a curve has one at least. One that lies on the base line is left out where
    the line keeps near without it.
    """
    spacing, near = tape.spacing, _TRUE + tape.mark / 2
    while spacing > 0.6 * distance(start, end) and spacing >= _FINEST:
        spacing /= 2
    while True:
        found = tuple(_squared(path, start, end, spacing, tape))
        if spacing < _FINEST or _strays(path, through(start, end, found)) <= near:
            break
        spacing /= 2
    squared = tuple(offset for offset in found if offset.into)
    return squared if squared and _strays(path, through(start, end, squared)) <= near else found


def _squared(path: Path, start: Point, end: Point, spacing: float, tape: Tape) -> Iterator[Offset]:
    base = distance(start, end)
    along = unit(end - start)
    into = perpendicular(along)
    points = [(dot(p - start, along), dot(p - start, into)) for p in path.flatten(0.05)]
    reach = [t for t, _ in points]
    for k in range(1, int((base - 0.2 * spacing) / spacing) + 1):
        at = k * spacing
        i = min(max(bisect_left(reach, at), 1), len(points) - 1)
        (t0, d0), (t1, d1) = points[i - 1], points[i]
        share = 0.0 if t1 - t0 <= NEAR else min(max((at - t0) / (t1 - t0), 0.0), 1.0)
        yield Offset(at, tape.nearest(d0 + (d1 - d0) * share))


def _strays(one: Path, other: Path) -> float:
    """How far either line strays from the other, mm."""
    a, b = (shapely.LineString(path.flatten(0.1)) for path in (one, other))
    return float(shapely.hausdorff_distance(a, b, densify=0.1))
