"""The two shapes a path is made of: a straight line and a cubic Bezier curve.

``s`` is the length travelled from the start, mm. A segment without length is allowed (it has length 0 and
flattens to its two equal ends) but has no tangent: asking for one raises ValueError.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import ceil, hypot, sqrt

from drafting.geometry.vector import NEAR, Point, distance, lerp, unit

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


_NODES = tuple((0.5 - 0.5 * x, 0.5 + 0.5 * x, w) for x, w in _GAUSS)

Derivative = tuple[float, float, float, float, float, float]


def _gauss(derivative: Derivative, a: float, b: float) -> float:
    """Length of the curve between two parameters by the 16-point rule; written out flat, for it is the
    engine's innermost loop."""
    ax, bx, cx, ay, by, cy = derivative
    span, total = b - a, 0.0
    for low, high, weight in _NODES:
        s, t = a + span * low, a + span * high
        total += weight * (
            hypot(ax + s * (bx + s * cx), ay + s * (by + s * cy))
            + hypot(ax + t * (bx + t * cx), ay + t * (by + t * cy))
        )
    return total * span / 2


def _turns_back(derivative: Derivative) -> bool:
    """Whether the curve may stop, or all but stop, and turn: two legs of its control polygon are opposed
    within 60 degrees.

    A curve turns no further than its control polygon does.
    """
    ax, bx, cx, ay, by, cy = derivative
    middle_x, middle_y = ax + bx / 2, ay + by / 2
    last_x, last_y = ax + bx + cx, ay + by + cy
    return (
        _opposed(ax, ay, middle_x, middle_y)
        or _opposed(middle_x, middle_y, last_x, last_y)
        or _opposed(ax, ay, last_x, last_y)
    )


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


def _integral(derivative: Derivative, a: float, b: float) -> float:
    """Adaptive quadrature: an interval is halved until its halves agree with the whole.

    The speed of a curve that turns back has a kink there, or nearly one, which halves and whole can miss
    alike: its intervals begin where it may turn, and are halved some times before they are believed.
    """
    shallowest, ends = 0, [a, b]
    if _turns_back(derivative):
        shallowest, ends = _BELIEVED, [a, *(t for t in _turns(derivative) if a < t < b), b]
    waiting = [(low, high, _gauss(derivative, low, high), 0) for low, high in pairwise(ends)]
    slack = _RELATIVE * max(sum(known for _, _, known, _ in waiting), 1e-3)
    total = 0.0
    while waiting:
        low, high, known, depth = waiting.pop()
        middle = (low + high) / 2
        left, right = _gauss(derivative, low, middle), _gauss(derivative, middle, high)
        if (abs(left + right - known) <= slack and depth >= shallowest) or depth >= _DEEPEST:
            total += left + right
        else:
            waiting += [(low, middle, left, depth + 1), (middle, high, right, depth + 1)]
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

    @cached_property
    def length(self) -> float:
        """mm."""
        return distance(self.start, self.end)

    def point_at(self, s: float) -> Point:
        """The point ``s`` mm from the start. Raises: ValueError where ``s`` is not on the line."""
        s = _clamped(s, self.length)
        return lerp(self.start, self.end, s / self.length) if self.length else self.start

    def tangent_at(self, s: float) -> Point:
        """Unit direction of travel. Raises: ValueError for a line without length."""
        _clamped(s, self.length)
        return unit(self.end - self.start)

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

    @cached_property
    def _derivative(self) -> Derivative:
        """Coefficients of the derivative, a + b t + c t2 for x and for y."""
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self.p0, self.p1, self.p2, self.p3
        return (
            3 * (x1 - x0),
            6 * (x0 - 2 * x1 + x2),
            3 * (x3 - 3 * x2 + 3 * x1 - x0),
            3 * (y1 - y0),
            6 * (y0 - 2 * y1 + y2),
            3 * (y3 - 3 * y2 + 3 * y1 - y0),
        )

    def _speed(self, t: float) -> float:
        ax, bx, cx, ay, by, cy = self._derivative
        return hypot(ax + t * (bx + t * cx), ay + t * (by + t * cy))

    def _length_between(self, a: float, b: float) -> float:
        return _integral(self._derivative, a, b)

    @cached_property
    def length(self) -> float:
        """Arc length, mm; by adaptive Gauss-Legendre quadrature to 1e-9 of itself."""
        return self._length_between(0.0, 1.0)

    def at(self, t: float) -> Point:
        """The point at the curve's own parameter, 0 to 1."""
        u = 1 - t
        a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self.p0, self.p1, self.p2, self.p3
        return Point(a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3)

    def derivative(self, t: float) -> Point:
        """The derivative by the parameter; its length is the speed, mm per unit of ``t``."""
        ax, bx, cx, ay, by, cy = self._derivative
        return Point(ax + t * (bx + t * cx), ay + t * (by + t * cy))

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
        t = self.parameter_at(s)
        if self._speed(t) > 1e-9:
            return unit(self.derivative(t))
        # A handle on its end point: the direction is that towards the next point that differs.
        if t < 0.5:
            ahead = next((p for p in (self.p1, self.p2, self.p3) if distance(p, self.p0) > 1e-9), self.p3)
            return unit(ahead - self.p0)
        behind = next((p for p in (self.p2, self.p1, self.p0) if distance(p, self.p3) > 1e-9), self.p0)
        return unit(self.p3 - behind)

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
        turned = Cubic(self.p3, self.p2, self.p1, self.p0)
        if "length" in self.__dict__:
            turned.__dict__["length"] = self.length
        return turned

    def mapped(self, move: Callable[[Point], Point]) -> Cubic:
        """The curve with its points moved by an affine ``move``."""
        return Cubic(move(self.p0), move(self.p1), move(self.p2), move(self.p3))

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
            points.append(Point(a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3))
        points.append(self.p3)
        return tuple(points)


Segment = Line | Cubic
