"""Where paths cross."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import sqrt

from drafting.geometry.path import Path
from drafting.geometry.segment import Cubic, Line, Segment
from drafting.geometry.vector import NEAR, Point, cross, distance, dot, norm

_STRAIGHT = 1e-6  # curves whose points bend less than this, mm, are crossed as their chords
_SAME = 1e-4  # crossings closer than this, mm, are one crossing found twice (at a joint)


def intersect(path: Path, other: Path | Line) -> list[Point]:
    """Return the points where two paths cross or touch, in the order met along ``path``.

    Paths that lie on one another for a length have no single crossing: that stretch is passed over.
    Crossings found twice (at a joint of segments) are given once.
    """
    others = (other,) if isinstance(other, Line) else other.segments
    found: list[Point] = []
    for segment in path.segments:
        met: list[tuple[float, Point]] = []
        for another in others:
            met.extend(_crossings(segment, another))
        for _, point in sorted(met):
            if all(distance(point, known) > _SAME for known in found):
                found.append(point)
    return found


def _crossings(a: Segment, b: Segment) -> list[tuple[float, Point]]:
    """Crossings with the parameter of ``a`` at each."""
    if isinstance(a, Line):
        if isinstance(b, Line):
            return _line_line(a, b)
        return [(_share(a, p), p) for _, p in _cubic_line(b, a)]
    if isinstance(b, Line):
        return _cubic_line(a, b)
    return _cubic_cubic(a, b, 0.0, 1.0)


def _share(line: Line, p: Point) -> float:
    along = line.end - line.start
    size = dot(along, along)
    return dot(p - line.start, along) / size if size > 0 else 0.0


def _within(line: Line, p: Point) -> bool:
    slack = NEAR / max(line.length, NEAR)
    return -slack <= _share(line, p) <= 1 + slack


def _line_line(a: Line, b: Line) -> list[tuple[float, Point]]:
    u, v = a.end - a.start, b.end - b.start
    turn = cross(u, v)
    if abs(turn) <= 1e-12 * norm(u) * norm(v) or turn == 0.0:
        return []
    t = cross(b.start - a.start, v) / turn
    point = a.start + u * t
    return [(t, point)] if _within(a, point) and _within(b, point) else []


def _cubic_line(curve: Cubic, line: Line) -> list[tuple[float, Point]]:
    """The curve's distance from the line is a cubic in t: its roots lie between its turning points."""
    if line.length <= 0:
        return []
    normal = Point(-(line.end - line.start).y, (line.end - line.start).x) * (1 / line.length)
    d = [dot(p - line.start, normal) for p in (curve.p0, curve.p1, curve.p2, curve.p3)]
    if max(map(abs, d)) <= NEAR:
        return []  # the curve lies on the line

    def offset(t: float) -> float:
        u = 1 - t
        return u * u * u * d[0] + 3 * u * u * t * d[1] + 3 * u * t * t * d[2] + t * t * t * d[3]

    stops = [0.0, *_turning_points(d), 1.0]
    roots: list[float] = []
    for low, high in pairwise(stops):
        roots.extend(t for t in (low, high) if abs(offset(t)) <= NEAR)
        if offset(low) * offset(high) < 0:
            roots.append(_bisected(offset, low, high))
    points = [(t, curve.at(t)) for t in sorted(set(roots))]
    return [(t, p) for t, p in points if _within(line, p)]


def _turning_points(d: list[float]) -> list[float]:
    a, b, c = d[3] - 3 * d[2] + 3 * d[1] - d[0], 2 * (d[2] - 2 * d[1] + d[0]), d[1] - d[0]
    if abs(a) < 1e-12:
        found = [-c / b] if abs(b) > 1e-12 else []
    else:
        inside = b * b - 4 * a * c
        found = [(-b + sign * sqrt(inside)) / (2 * a) for sign in (-1, 1)] if inside >= 0 else []
    return sorted(t for t in found if 0 < t < 1)


def _bisected(f: Callable[[float], float], low: float, high: float) -> float:
    rising = f(high) > 0
    for _ in range(60):
        middle = (low + high) / 2
        if (f(middle) > 0) == rising:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def _box(curve: Cubic) -> tuple[float, float, float, float]:
    xs = (curve.p0.x, curve.p1.x, curve.p2.x, curve.p3.x)
    ys = (curve.p0.y, curve.p1.y, curve.p2.y, curve.p3.y)
    return min(xs), min(ys), max(xs), max(ys)


def _apart(a: Cubic, b: Cubic) -> bool:
    ax, ay, aX, aY = _box(a)  # noqa: N806  # lower and upper corner of a box
    bx, by, bX, bY = _box(b)  # noqa: N806
    return aX < bx - NEAR or bX < ax - NEAR or aY < by - NEAR or bY < ay - NEAR


def _bend(curve: Cubic) -> float:
    return max(norm(curve.p0 - curve.p1 * 2 + curve.p2), norm(curve.p1 - curve.p2 * 2 + curve.p3))


def _cubic_cubic(a: Cubic, b: Cubic, low: float, high: float) -> list[tuple[float, Point]]:
    """Both curves are halved until they are straight, and only where their boxes still meet."""
    if _apart(a, b):
        return []
    if _bend(a) < _STRAIGHT and _bend(b) < _STRAIGHT:
        middle = (low + high) / 2
        return [(middle, p) for _, p in _line_line(Line(a.p0, a.p3), Line(b.p0, b.p3))]
    if _bend(a) >= _bend(b):
        middle, (head, tail) = (low + high) / 2, a.split_parameter(0.5)
        return _cubic_cubic(head, b, low, middle) + _cubic_cubic(tail, b, middle, high)
    head, tail = b.split_parameter(0.5)
    return _cubic_cubic(a, head, low, high) + _cubic_cubic(a, tail, low, high)
