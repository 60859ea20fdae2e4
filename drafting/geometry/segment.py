"""The two shapes a path is made of: a straight line and a cubic Bezier curve.

``s`` is the length travelled from the start, mm. A segment without length is allowed (it has length 0 and
flattens to its two equal ends) but has no tangent: asking for one raises ValueError.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, hypot, inf, sqrt

from drafting.geometry.lazy import lazy
from drafting.geometry.vector import NEAR, Point, cross, distance, dot, lerp, made, unit

# Nodes and weights of the 16-point Gauss-Legendre rule on [-1, 1], positive half
# (Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4; exact for degree 31).
_GAUSS = (
    (0.09501250983763744, 0.1894506104550685),
    (0.2816035507792589, 0.1826034150449236),
    (0.45801677765722737, 0.16915651939500254),
    (0.6178762444026438, 0.14959598881657673),
    (0.755404408355003, 0.12462897125553387),
    (0.8656312023878318, 0.09515851168249279),
    (0.9445750230732326, 0.06225352393864789),
    (0.9894009349916499, 0.027152459411754095),
)
_RELATIVE = 1e-10
_DEEPEST = 40
_BELIEVED = 3
_SETTLED, _SETTLED_AT_STOP = 1e-7, 1e-10
"""Share of the whole to which the last two Legendre terms of a speed must have fallen. A smooth one's terms
fall in proportion, so that what the rule leaves out is about their square; not so where the curve stops."""
_FAR_SHORTER = 0.01
_PLACES, _MOST_STEPS = 16, 30


def _legendre(degree: int, x: float) -> float:
    """The Legendre polynomial, by its three-term recurrence (Abramowitz and Stegun, 22.7.10)."""
    before, here = 1.0, x
    for n in range(1, degree):
        before, here = here, ((2 * n + 1) * x * here - n * before) / (n + 1)
    return here


# Where each pair of nodes lies on [0, 1], its weight, and that by which it enters the last two terms that 16
# values determine: times 2 n + 1, for a term of degree n is the integral against its polynomial by so much.
_NODES = tuple(
    (0.5 - 0.5 * x, 0.5 + 0.5 * x, w, 29 * w * _legendre(14, x), 31 * w * _legendre(15, x)) for x, w in _GAUSS
)

Derivative = tuple[float, float, float, float, float, float]


def _gauss(derivative: Derivative, a: float, b: float) -> tuple[float, float]:
    """Length of the curve between two parameters by the 16-point rule, and how large the last terms of the
    speed still are, as a length; written out flat, for it is the engine's innermost loop."""
    ax, bx, cx, ay, by, cy = derivative
    span, total, even, odd = b - a, 0.0, 0.0, 0.0
    for low, high, weight, in_even, in_odd in _NODES:
        s, t = a + span * low, a + span * high
        before = hypot(ax + s * (bx + s * cx), ay + s * (by + s * cy))
        after = hypot(ax + t * (bx + t * cx), ay + t * (by + t * cy))
        both = before + after
        total += weight * both
        even += in_even * both
        odd += in_odd * (after - before)
    return total * span / 2, (abs(even) + abs(odd)) * span / 2


def _may_stop(derivative: Derivative) -> bool:
    """Whether the curve may stop, or all but stop: two legs of its control polygon are opposed within 60
    degrees, or it sets out or arrives by a leg that is far shorter than the others.

    A curve turns no further than its control polygon does.
    """
    ax, bx, cx, ay, by, cy = derivative
    middle_x, middle_y = ax + bx / 2, ay + by / 2
    last_x, last_y = ax + bx + cx, ay + by + cy
    if (
        _opposed(ax, ay, middle_x, middle_y)
        or _opposed(middle_x, middle_y, last_x, last_y)
        or _opposed(ax, ay, last_x, last_y)
    ):
        return True
    first, last = hypot(ax, ay), hypot(last_x, last_y)
    # A leg without any length is no danger: from there the speed rises evenly.
    return 0 < min(first, last) < _FAR_SHORTER * max(first, hypot(middle_x, middle_y), last)


def _opposed(x: float, y: float, other_x: float, other_y: float) -> bool:
    along = x * other_x + y * other_y
    return along < 0 and 4 * along * along > (x * x + y * y) * (other_x * other_x + other_y * other_y)


def _turns(derivative: Derivative) -> list[float]:
    """Parameters at which a curve goes square to its longest leg, in order: a straight one turns there."""
    ax, bx, cx, ay, by, cy = derivative
    legs = ((ax, ay), (ax + bx / 2, ay + by / 2), (ax + bx + cx, ay + by + cy))
    x, y = max(legs, key=lambda leg: hypot(*leg))
    a, b, c = ax * x + ay * y, bx * x + by * y, cx * x + cy * y
    if abs(c) <= 1e-12 * (abs(a) + abs(b)):
        return [-a / b] if b else []
    inside = b * b - 4 * a * c
    if inside < 0:
        return []
    # The larger root first: the smaller of two roots far apart would be lost in the difference.
    q = -(b + sqrt(inside)) / 2 if b >= 0 else (sqrt(inside) - b) / 2
    return sorted((q / c, a / q)) if q else [0.0]


def _integral(derivative: Derivative, a: float, b: float, *, may_stop: bool) -> float:
    """Adaptive quadrature: an interval is halved until the series of the speed has come to its end in it.

    The speed of a curve that stops has a kink there, or nearly one, and its series a long tail: its intervals
    begin where it may turn, are halved some times before they are believed, and then less easily.
    """
    length, rest = _gauss(derivative, a, b)
    whole = max(length, 1e-3)
    if may_stop:
        ends = [a, *(t for t in _turns(derivative) if a < t < b), b]
        return _halved(derivative, ends, _BELIEVED, _SETTLED_AT_STOP * whole)
    if rest <= _SETTLED * whole:
        return length
    return _halved(derivative, [a, (a + b) / 2, b], 0, _SETTLED * whole)


def _halved(derivative: Derivative, ends: Sequence[float], shallowest: int, slack: float) -> float:
    """The length over intervals, each halved so often and until its last terms are at most ``slack``."""
    waiting = [(low, high, 0) for low, high in pairwise(ends)]
    total = 0.0
    while waiting:
        low, high, depth = waiting.pop()
        length, rest = _gauss(derivative, low, high)
        if (rest <= slack and depth >= shallowest) or depth >= _DEEPEST:
            total += length
        else:
            middle = (low + high) / 2
            waiting += [(low, middle, depth + 1), (middle, high, depth + 1)]
    return total


def _clamped(s: float, length: float) -> float:
    if not -NEAR <= s <= length + NEAR:
        raise ValueError(f"{s:g} mm is not on a line of {length:g} mm")
    return min(max(s, 0.0), length)


@dataclass(frozen=True)
class Line:
    """A straight line from ``start`` to ``end``."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """mm."""
        return distance(self.start, self.end)

    def along(self, point: Point) -> tuple[float, float]:
        """How far along it lies what is nearest to a point, and how far from that the point is, mm."""
        way = self.end - self.start
        size = dot(way, way)
        share = min(max(dot(point - self.start, way) / size, 0.0), 1.0) if size else 0.0
        return share * self.length, distance(point, lerp(self.start, self.end, share))

    def point_at(self, s: float) -> Point:
        """The point ``s`` mm from the start. Raises: ValueError where ``s`` is not on the line."""
        s = _clamped(s, self.length)
        return lerp(self.start, self.end, s / self.length) if self.length else self.start

    def tangent_at(self, s: float) -> Point:
        """Unit direction of travel. Raises: ValueError for a line without length."""
        _clamped(s, self.length)
        return self.start_tangent

    @property
    def start_tangent(self) -> Point:
        """Unit direction of travel. Raises: ValueError for a line without length."""
        return unit(self.end - self.start)

    @property
    def end_tangent(self) -> Point:
        """The same direction."""
        return self.start_tangent

    def split_at(self, s: float) -> tuple[Line, Line]:
        """The line in two parts, the first ``s`` mm long."""
        middle = self.point_at(s)
        return Line(self.start, middle), Line(middle, self.end)

    def reversed(self) -> Line:
        """The same line travelled from its end."""
        return Line(self.end, self.start)

    def mapped(self, move: Callable[[Point], Point]) -> Line:
        """The line with its points moved by an affine ``move``."""
        return Line(move(self.start), move(self.end))

    moved = mapped
    """The same by a ``move`` that keeps lengths."""

    @property
    def swept(self) -> float:
        """Signed area of what a ray from the origin sweeps along it, mm2; positive counter-clockwise."""
        return cross(self.start, self.end) / 2

    def flatten(self, tolerance: float = 0.05) -> tuple[Point, ...]:
        """The two ends: a straight line needs no more, whatever the tolerance."""
        return (self.start, self.end)


@dataclass(frozen=True)
class Cubic:
    """A cubic Bezier curve; ``p1`` and ``p2`` are its handles.

    Handles that lie on their end points are allowed: the tangent there is then the limit of the direction.
    """

    p0: Point
    p1: Point
    p2: Point
    p3: Point

    @property
    def start(self) -> Point:
        return self.p0

    @property
    def end(self) -> Point:
        return self.p3

    @property
    def _derivative(self) -> Derivative:
        return self._course[0]

    @lazy
    def _course(self) -> tuple[Derivative, bool]:
        """Coefficients of the derivative, a + b t + c t2 for x and for y; and whether it may stop."""
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self.p0, self.p1, self.p2, self.p3
        derivative = (
            3 * (x1 - x0),
            6 * (x0 - 2 * x1 + x2),
            3 * (x3 - 3 * x2 + 3 * x1 - x0),
            3 * (y1 - y0),
            6 * (y0 - 2 * y1 + y2),
            3 * (y3 - 3 * y2 + 3 * y1 - y0),
        )
        return derivative, _may_stop(derivative)

    def _speed(self, t: float) -> float:
        ax, bx, cx, ay, by, cy = self._derivative
        return hypot(ax + t * (bx + t * cx), ay + t * (by + t * cy))

    def _length_between(self, a: float, b: float) -> float:
        derivative, may_stop = self._course
        return _integral(derivative, a, b, may_stop=may_stop)

    @lazy
    def length(self) -> float:
        """Arc length, mm; by adaptive Gauss-Legendre quadrature to 1e-9 of itself."""
        return self._length_between(0.0, 1.0)

    def at(self, t: float) -> Point:
        """The point at the curve's own parameter, 0 to 1."""
        u = 1 - t
        a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self.p0, self.p1, self.p2, self.p3
        return made(Point, (a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3))

    def derivative(self, t: float) -> Point:
        """The derivative by the parameter; its length is the speed, mm per unit of ``t``."""
        ax, bx, cx, ay, by, cy = self._derivative
        return made(Point, (ax + t * (bx + t * cx), ay + t * (by + t * cy)))

    def parameter_at(self, s: float) -> float:
        """The curve's parameter at the length ``s``, by Newton's rule inside a shrinking bracket."""
        s = _clamped(s, self.length)
        if s in (0.0, self.length):
            return 0.0 if s == 0.0 else 1.0
        low, high, t = 0.0, 1.0, s / self.length
        for _ in range(60):
            miss = self._length_between(0.0, t) - s
            if abs(miss) <= _RELATIVE * self.length:
                break
            low, high = (low, t) if miss > 0 else (t, high)
            speed = self._speed(t)
            t = t - miss / speed if speed > 0 else low
            if not low < t < high:
                t = (low + high) / 2
        return t

    def point_at(self, s: float) -> Point:
        """The point ``s`` mm from the start. Raises: ValueError where ``s`` is not on the curve."""
        return self.at(self.parameter_at(s))

    def tangent_at(self, s: float) -> Point:
        """Unit direction of travel. Raises: ValueError for a curve without length."""
        return self._tangent(self.parameter_at(s))

    @property
    def start_tangent(self) -> Point:
        """Unit direction at the start. Raises: ValueError for a curve without length."""
        return self._tangent(0.0)

    @property
    def end_tangent(self) -> Point:
        """Unit direction at the end. Raises: ValueError for a curve without length."""
        return self._tangent(1.0)

    def _tangent(self, t: float) -> Point:
        if self._speed(t) > 1e-9:
            return unit(self.derivative(t))
        # A handle on its end point: the direction is that towards the next point that differs.
        if t < 0.5:
            ahead = next((p for p in (self.p1, self.p2, self.p3) if distance(p, self.p0) > 1e-9), self.p3)
            return unit(ahead - self.p0)
        behind = next((p for p in (self.p2, self.p1, self.p0) if distance(p, self.p3) > 1e-9), self.p0)
        return unit(self.p3 - behind)

    def along(self, point: Point) -> tuple[float, float]:
        """How far along it lies what is nearest to a point, and how far from that the point is, mm.

        By Newton's rule for a point that lies on the curve, from the nearest of places spread over it.
        """
        apart = [distance(self.at(k / _PLACES), point) for k in range(_PLACES + 1)]
        beside = [inf, *apart, inf]
        starts = [k for k, here in enumerate(apart) if here <= min(beside[k], beside[k + 2])]
        found = [self._nearest(point, k / _PLACES) for k in starts]
        t = min(found, key=lambda t: distance(self.at(t), point))
        return self._length_between(0.0, t), distance(self.at(t), point)

    def _nearest(self, point: Point, t: float) -> float:
        """The parameter nearest to a point, looked for from ``t`` on."""
        for _ in range(_MOST_STEPS):
            way = self.derivative(t)
            step = dot(point - self.at(t), way) / max(dot(way, way), 1e-12)
            t, before = min(max(t + step, 0.0), 1.0), t
            if abs(t - before) <= 1e-14:
                break
        return t

    def split_parameter(self, t: float) -> tuple[Cubic, Cubic]:
        """The curve in two parts at its own parameter (de Casteljau)."""
        a, b, c = lerp(self.p0, self.p1, t), lerp(self.p1, self.p2, t), lerp(self.p2, self.p3, t)
        d, e = lerp(a, b, t), lerp(b, c, t)
        middle = lerp(d, e, t)
        return Cubic(self.p0, a, d, middle), Cubic(middle, e, c, self.p3)

    def split_at(self, s: float) -> tuple[Cubic, Cubic]:
        """The curve in two parts, the first ``s`` mm long."""
        return self.split_parameter(self.parameter_at(s))

    def reversed(self) -> Cubic:
        """The same curve travelled from its end; a length that was measured need not be measured again."""
        return self._as_long(Cubic(self.p3, self.p2, self.p1, self.p0))

    def moved(self, move: Callable[[Point], Point]) -> Cubic:
        """The curve turned, shifted or mirrored by ``move``: exactly as long, to the last digit."""
        turned = self.mapped(move)
        turned.__dict__["length"] = self.length
        return turned

    def _as_long(self, other: Cubic) -> Cubic:
        """A curve of the same shape, with the length of this one where that is known."""
        if "length" in self.__dict__:
            other.__dict__["length"] = self.length
        return other

    def mapped(self, move: Callable[[Point], Point]) -> Cubic:
        """The curve with its points moved by an affine ``move``."""
        return Cubic(move(self.p0), move(self.p1), move(self.p2), move(self.p3))

    @property
    def swept(self) -> float:
        """Signed area of what a ray from the origin sweeps along it, mm2; positive counter-clockwise.

        Source: Green's theorem, the integral of the curve's own polynomials.
        """
        a, b, c, d = self.p0, self.p1, self.p2, self.p3
        near = cross(a, b) + cross(c, d)
        return (6 * near + 3 * (cross(a, c) + cross(b, c) + cross(b, d)) + cross(a, d)) / 20

    def flatten(self, tolerance: float = 0.05) -> tuple[Point, ...]:
        """Points on the curve, ends included, whose chords stay within ``tolerance`` mm of it.

        A chord over a step h strays by at most h2/8 times the greatest second derivative, which for a cubic
        is at most six times the greatest second difference of its points: the step follows from that.

        Raises: ValueError for a tolerance that is not positive.
        """
        if not tolerance > 0:
            raise ValueError(f"a tolerance of {tolerance:g} mm is not positive")
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self.p0, self.p1, self.p2, self.p3
        bend = max(hypot(x0 - 2 * x1 + x2, y0 - 2 * y1 + y2), hypot(x1 - 2 * x2 + x3, y1 - 2 * y2 + y3))
        steps = max(1, ceil(sqrt(0.75 * bend / tolerance)))
        points = [self.p0]
        for i in range(1, steps):  # ``at``, written out flat: a draft asks for tens of thousands of these
            t = i / steps
            u = 1 - t
            a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
            points.append(made(Point, (a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3)))
        points.append(self.p3)
        return tuple(points)


Segment = Line | Cubic
