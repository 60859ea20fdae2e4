"""Lines that fall from a higher to a lower end, and seams that cross them squarely.

A falling line is a row of curves that join end to end, each ending lower than it begins. Its lean is the
angle of travel from the upright, radians, positive where the line widens downward.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import atan2, inf, tan

from drafting.errors import CannotDraft
from drafting.geometry import NEAR, Cubic, Line, Path, Point, cross, norm

Falling = Sequence[Cubic]
_Miss = Callable[[Cubic, float], float]
_HALVINGS = 60
_SAMPLES = 16


def falling_curve(
    top: Point,
    top_slope: float,
    foot: Point,
    foot_slope: float,
    handles: tuple[float, float] = (1 / 3, 1 / 3),
) -> Cubic:
    """A curve with the given slopes (mm outward a mm downward) at its ends.

    ``handles`` are shares of its height: the shorter one is, the sooner the curve leaves that slope. As they
    are by themselves, the height falls evenly with the curve's parameter.
    """
    height = top.y - foot.y
    return Cubic(
        top,
        top + Point(top_slope, -1.0) * (handles[0] * height),
        foot - Point(foot_slope, -1.0) * (handles[1] * height),
        foot,
    )


def even_slope(before: float, after: float) -> float:
    """The slope at a knot between two stretches, such that the line neither dips nor bulges beyond its knots.

    Source: harmonic mean of the neighbouring slopes, 0 where they differ in sign (Fritsch and Carlson,
    Monotone Piecewise Cubic Interpolation, 1980, and Fritsch and Butland, 1984; from memory).
    """
    return 2 * before * after / (before + after) if before * after > 0 else 0.0


def lean_at(curve: Cubic, t: float) -> float:
    """The lean at a parameter of a falling curve."""
    along = curve.derivative(t)
    return atan2(along.x, -along.y)


def tightest_hollow(curve: Cubic) -> float:
    """The least radius, mm, where a falling curve is hollow as seen from outside; infinite where nowhere.

    An allowance wider than it would fold over itself there.
    """
    sharpest = 0.0
    for step in range(_SAMPLES + 1):
        t = step / _SAMPLES
        along = curve.derivative(t)
        # The derivative is a parabola in t: a central difference is exact.
        turn = curve.derivative(t + 0.5) - curve.derivative(t - 0.5)
        pace = norm(along)
        if pace > NEAR:
            sharpest = max(sharpest, cross(along, turn) / pace**3)
    return 1.0 / sharpest if sharpest > 0 else inf


def parted_at(line: Falling, height: float) -> tuple[list[Cubic], list[Cubic]]:
    """What lies above a height and what lies below it; either is empty where the line does not reach it."""
    for index, curve in enumerate(line):
        if curve.p0.y <= height:
            return list(line[:index]), list(line[index:])
        if curve.p3.y < height:
            above, below = curve.split_parameter(_halved(curve, lambda c, t: c.at(t).y - height))
            return [*line[:index], above], [below, *line[index + 1 :]]
    return list(line), []


def squarely_met(
    line: Falling, start: Point, slope: float, *, field: str = "length"
) -> tuple[list[Cubic], float]:
    """Follow a falling line down to where a seam of even bend from ``start`` meets it squarely.

    Args:
        line: the falling line.
        start: where the seam begins, nearer the centre.
        slope: its slope there, radians above the level.
        field: of the choice that says how low the seam lies.

    Returns: the line down to that place, and the seam's slope there.

    Raises: CannotDraft where no such place lies on the line.
    """

    def miss(curve: Cubic, t: float) -> float:
        at, lean = curve.at(t), lean_at(curve, t)
        return at.y - start.y - (at.x - start.x) * tan((slope + lean) / 2)

    for index, curve in enumerate(line):
        if miss(curve, 0.0) > 0 >= miss(curve, 1.0):
            t = _halved(curve, miss)
            head = curve.split_parameter(t)[0] if t < 1 else curve
            return [*line[:index], head], lean_at(curve, t)
    raise CannotDraft("no side seam reaches down to so slanting a lower edge; let it lie lower", field=field)


def _halved(curve: Cubic, miss: _Miss) -> float:
    """Where ``miss``, positive at the start of the curve, passes 0."""
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        t = (low + high) / 2
        low, high = (t, high) if miss(curve, t) > 0 else (low, t)
    return high


def path_of(line: Falling) -> Path:
    """The line as a path; curves that are straight become lines."""
    return Path(tuple(_plain(curve) for curve in line))


def _plain(curve: Cubic) -> Cubic | Line:
    """A straight curve of even pace is a line: shorter to write, and exact to offset."""
    third = (curve.p3 - curve.p0) * (1 / 3)
    off = (*(curve.p1 - curve.p0 - third), *(curve.p2 - curve.p3 + third))
    return Line(curve.p0, curve.p3) if max(map(abs, off)) < 1e-9 else curve
