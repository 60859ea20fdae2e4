"""True a line: give it the length that its seam asks for, by its curve or by moving its end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from drafting.blocks.root import rising_root
from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Cubic, Line, Path, Point, Segment, distance, dot, intersect, lerp, unit
from drafting.making import Width
from drafting.operations.change import Change
from drafting.operations.ring import is_straight

_FLATTEST, _FULLEST = 0.4, 1.7  # times a curve's own handles
_ON_LINE = 0.05  # mm: the end of a width that lies on an edge
_REACH = 60.0  # mm: how far a width runs on to meet an edge drawn anew


def recurved(path: Path, length: float) -> Path:
    """Return the path with flatter or fuller curves, so that it has a length; ends and directions stay.

    Where no curve between flat and full has that length, the one that comes nearest is returned: whoever asks
    measures what is left.
    """

    def drawn(share: float) -> Path:
        return Path(tuple(_with_handles(segment, share) for segment in path.segments))

    low, high = drawn(_FLATTEST), drawn(_FULLEST)
    if not low.length < length < high.length:
        return min((low, path, high), key=lambda one: abs(one.length - length))
    return drawn(rising_root(lambda share: drawn(share).length - length, _FLATTEST, _FULLEST))


def _with_handles(segment: Segment, share: float) -> Segment:
    if isinstance(segment, Line):
        return segment
    first, last = segment.p1 - segment.p0, segment.p2 - segment.p3
    return Cubic(segment.p0, segment.p0 + first * share, segment.p3 + last * share, segment.p3)


def run_on(path: Path, length: float) -> Path:
    """Return the path cut off, or run on straight, at its end, so that it has a length.

    Raises: ValueError for a length that is not positive.
    """
    if length < path.length:
        return path.split_at(length)[0]
    if length - path.length < 1e-9:
        return path
    return path.joined(Path.line(path.end, path.end + path.end_tangent * (length - path.length)))


def redrawn(sketch: Sketch, edge: str, path: Path) -> Change:
    """Draw an edge anew between the same corners.

    Its notches keep their share of its length; a width or a straight mark that ended on it runs on, or is
    cut off, along its own line to the new edge.

    Raises: ValueError where the corners are others.
    """
    old = sketch.stroke(edge)
    if max(distance(old.path.start, path.start), distance(old.path.end, path.end)) > 1e-6:
        raise ValueError(f"the {edge} of the {sketch.name} has other corners")
    share = path.length / old.path.length
    changed = replace(
        sketch,
        strokes=[replace(s, path=path) if s is old else s for s in sketch.strokes],
        notches=[(e, at * share if e == edge else at, n) for e, at, n in sketch.notches],
    )
    outline = old.path.flatten(0.01)

    def ends(start: Point, end: Point) -> tuple[Point, Point]:
        start = _met(end, start, path) if _lies_on(start, outline) else start
        return start, (_met(start, end, path) if _lies_on(end, outline) else end)

    def follow(width: Width) -> Sequence[Width]:
        start, end = ends(width.start, width.end)
        return (replace(width, start=start, end=end),)

    changed.marks = [
        replace(mark, path=Path.line(*ends(mark.path.start, mark.path.end)))
        if is_straight(mark.path)
        else mark
        for mark in sketch.marks
    ]
    return Change(sketch.name, (changed,), widths=follow)


def _lies_on(point: Point, outline: Sequence[Point]) -> bool:
    return any(_off(point, a, b) <= _ON_LINE for a, b in pairwise(outline))


def _off(point: Point, a: Point, b: Point) -> float:
    """Distance of a point from a stretch, mm."""
    along = b - a
    size = dot(along, along)
    share = min(max(dot(point - a, along) / size, 0.0), 1.0) if size else 0.0
    return distance(point, lerp(a, b, share))


def _met(fixed: Point, end: Point, path: Path) -> Point:
    """Where the line from ``fixed`` through ``end`` meets the path, nearest to ``end``; else ``end``."""
    far = end + unit(end - fixed) * _REACH
    return min(intersect(path, Line(fixed, far)), key=lambda p: distance(p, end), default=end)


def end_trued(sketch: Sketch, edge: str, length: float) -> Change:
    """Give an edge a length by moving its end along its own line; the neighbour's corner follows.

    Raises: ValueError for a length that is not positive.
    """
    old = sketch.stroke(edge)
    path = run_on(old.path, length)
    at = sketch.strokes.index(old)

    def follows(stroke: Stroke) -> Stroke:
        if stroke is old:
            return replace(stroke, path=path)
        if abs(sketch.strokes.index(stroke) - at) not in {1, len(sketch.strokes) - 1}:
            return stroke
        if distance(stroke.path.start, old.path.end) <= 1e-6:
            return replace(stroke, path=_begun(stroke.path, path.end))
        if distance(stroke.path.end, old.path.end) <= 1e-6:
            return replace(stroke, path=_begun(stroke.path.reversed(), path.end).reversed())
        return stroke

    changed = replace(
        sketch,
        strokes=[follows(stroke) for stroke in sketch.strokes],
        notches=[(e, min(at, length) if e == edge else at, n) for e, at, n in sketch.notches],
    )
    return Change(sketch.name, (changed,))


def _begun(path: Path, start: Point) -> Path:
    """The path from another start; its first segment is drawn to it, the rest stays."""
    first, by = path.segments[0], start - path.start
    drawn: Segment = (
        Line(start, first.end) if isinstance(first, Line) else Cubic(start, first.p1 + by, first.p2, first.p3)
    )
    return Path((drawn, *path.segments[1:]))
