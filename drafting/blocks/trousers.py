"""Trousers: a front and a back leg that share their inside and outside seams, line for line.

Frame: x from the centre seam outward, y from the waist at the centre front upward. The back is wider than the
front by what its crotch reaches further, at the crotch, the knee and the hem alike, so that both seams are
drawn once. Shares of the girths: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan, atan2, cos, radians, sin

from drafting.blocks.bodice import WaistDart
from drafting.blocks.waist import DartPlace, WaistLine, level_curve, root, waist_line
from drafting.errors import CannotDraft
from drafting.geometry import Cubic, Line, Path, Point, perpendicular, rotated, unit

FORK = {"front": 1 / 18, "back": 1 / 11}
"""How far the crotch reaches beyond the centre, of the hip girth."""
_SEAT_RISE = 0.07  # of a quarter of the hip: how far the back waist rises at the centre
_LEAST_FORK_DEPTH = 20.0  # mm between hip and crotch level
_PLACES = {1: (0.52,), 2: (0.36, 0.68)}  # of the waist's width
_WIDEST = {1: 0.155, 2: 0.08}  # of it, half a dart: beside it lies what it takes up
_WIDEST_OF_LENGTH = 0.25  # half a dart: a wider one would not lie flat at its point
_LEAN = radians(25.0)  # of the inside leg at the crotch, at most


@dataclass(frozen=True, slots=True)
class LegSizes:
    """mm; levels are below the waist. ``knee`` and ``hem`` are half the leg's girth there."""

    quarter_hip: float
    hip_girth: float
    hip_level: float
    crotch_level: float
    knee_level: float
    length: float
    knee: float
    hem: float


@dataclass(frozen=True, slots=True)
class TopShape:
    """How a quarter is taken in at the waist: at the side, at the centre, by darts ``dart`` long."""

    side: float
    centre: float
    darts: int
    dart: float


@dataclass(frozen=True, slots=True)
class Leg:
    """Half a front or a back: ``waist`` from the centre outward, parted by darts; the others downward."""

    waist: tuple[Path, ...]
    darts: tuple[WaistDart, ...]
    centre: Path
    inseam: Path
    side: Path
    hem: Path  # from the inseam outward
    crease: float
    hip: tuple[Point, Point]


def draft_leg(side: str, waist: float, sizes: LegSizes, shape: TopShape) -> Leg:
    """Return the front or the back leg whose sewn waist is ``waist`` long.

    Raises: CannotDraft where the crotch lies at the hip, or no darts give that waist.
    """
    if sizes.crotch_level - sizes.hip_level < _LEAST_FORK_DEPTH:
        raise CannotDraft(
            f"a crotch {sizes.crotch_level:.0f} mm below the waist lies too near the hip at "
            f"{sizes.hip_level:.0f} mm; measure body rise and waist to hip again",
            field="body_rise",
        )
    fork = FORK[side] * sizes.hip_girth
    inward = _inward(sizes)
    crease = (sizes.quarter_hip - fork) / 2
    outseam = _outseam(sizes, shape.side, inward)
    inseam = _inseam(sizes, fork, inward)
    rise = _SEAT_RISE * sizes.quarter_hip if side == "back" else 0.0
    top = _Top(outseam, sizes.hip_level, rise, waist)
    start, line = top.fitted(shape)
    return Leg(
        line.panels,
        tuple(
            WaistDart(inner, apex, outer)
            for (inner, outer), apex in zip(line.feet, top.apexes(start, shape), strict=True)
        ),
        _centre(start, sizes, inseam),
        inseam,
        outseam,
        _hem(inseam, outseam),
        crease,
        (Point(0.0, -sizes.hip_level), Point(sizes.quarter_hip, -sizes.hip_level)),
    )


def _inward(sizes: LegSizes) -> tuple[float, float]:
    """How far each seam runs inward from the crotch's width to the knee and to the hem."""
    thigh = 2 * sizes.quarter_hip + sum(FORK.values()) * sizes.hip_girth
    return max((thigh - 2 * sizes.knee) / 4, 0.0), max((thigh - 2 * sizes.hem) / 4, 0.0)


def _leg_seam(
    top: Point, sizes: LegSizes, inward: tuple[float, float], towards: float, lean: float = 0.0
) -> Path:
    """From hip or crotch down, ``lean`` radians from the upright there, through the knee to the hem.

    ``towards`` is +1 where inward is to the right. Shorts end above the knee, on a straight line to it.
    """
    at_knee, at_hem = inward
    leaving = Point(towards * sin(lean), -cos(lean))
    if sizes.length <= sizes.knee_level:
        share = (sizes.length - sizes.crotch_level) / (sizes.knee_level - sizes.crotch_level)
        foot = Point(top.x + towards * at_knee * share, -sizes.length)
        depth = top.y - foot.y
        first = top + leaving * (0.3 * depth)
        return Path((Cubic(top, first, foot - unit(foot - first) * (0.3 * depth), foot),))
    knee = Point(top.x + towards * at_knee, -sizes.knee_level)
    foot = Point(top.x + towards * at_hem, -sizes.length)
    along, depth = unit(foot - knee), top.y - knee.y
    curve = Cubic(top, top + leaving * (0.35 * depth), knee - along * (0.35 * depth), knee)
    return Path((curve, Line(knee, foot)))


def _inseam(sizes: LegSizes, fork: float, inward: tuple[float, float]) -> Path:
    """It leaves the crotch towards the knee, as far as it may lean."""
    lean = min(_LEAN, atan(inward[0] / (sizes.knee_level - sizes.crotch_level)))
    return _leg_seam(Point(-fork, -sizes.crotch_level), sizes, inward, 1.0, lean)


def _outseam(sizes: LegSizes, intake: float, inward: tuple[float, float]) -> Path:
    """From the waist over the hip down to the hem."""
    hip = Point(sizes.quarter_hip, -sizes.hip_level)
    top = Point(hip.x - intake, 0.0)
    depth = sizes.hip_level
    along = Point(1.5 * intake / depth, -1.0)
    upper = Cubic(top, top + along * (0.33 * depth), hip + Point(0.0, 0.45 * depth), hip)
    return Path((upper,)).joined(_leg_seam(hip, sizes, inward, -1.0))


def _centre(start: Point, sizes: LegSizes, inseam: Path) -> Path:
    """From the waist straight to the hip level, then round to the crotch, square to the inside leg there."""
    hip, end = Point(0.0, -sizes.hip_level), inseam.start
    back = perpendicular(inseam.start_tangent)
    along, depth = unit(hip - start), sizes.crotch_level - sizes.hip_level
    curve = Cubic(hip, hip + along * (0.62 * depth), end + back * (-0.75 * end.x), end)
    return Path((Line(start, hip), curve))


def _hem(inseam: Path, outseam: Path) -> Path:
    """Square to both seams."""
    left, right = inseam.end_tangent, outseam.end_tangent
    return level_curve(inseam.end, atan2(left.x, -left.y), outseam.end, atan2(right.x, -right.y))


@dataclass(frozen=True, slots=True)
class _Top:
    """The waist between the centre seam and the outside seam."""

    outseam: Path
    hip_level: float
    rise: float
    waist: float

    def fitted(self, shape: TopShape) -> tuple[Point, WaistLine]:
        """Where the waist starts, and the waist as long as it must be.

        With darts their width is found, without any how far the centre seam leans.
        """
        reach = self.outseam.start.x
        if not shape.darts:
            inset = root(
                lambda x: self._line(Point(x, self.rise), shape, 0.0).length - self.waist, -reach, 0.8 * reach
            )
            start = Point(inset, self.rise)
            return start, self._in_frame(start, self._line(start, shape, 0.0))
        start = Point(shape.centre, self.rise)
        width = self._local(start, self.outseam.start).x
        widest = min(_WIDEST[shape.darts] * width, _WIDEST_OF_LENGTH * shape.dart)

        def miss(half: float) -> float:
            return self._line(start, shape, half).length - self.waist

        if not miss(0.0) >= 0 >= miss(widest):
            raise CannotDraft(
                "the waist is so much smaller than the hip that no darts of the trousers take it in; choose "
                "elastic, or measure both again",
                field="waist_girth",
            )
        return start, self._in_frame(start, self._line(start, shape, root(miss, 0.0, widest)))

    def apexes(self, start: Point, shape: TopShape) -> list[Point]:
        return [self._back(start, Point(p.axis, -p.apex)) for p in self._places(start, shape)]

    def _tilt(self, start: Point) -> float:
        """How far the centre seam leans outward on its way up, radians."""
        return atan(start.x / (start.y + self.hip_level))

    def _places(self, start: Point, shape: TopShape) -> Sequence[DartPlace]:
        width = self._local(start, self.outseam.start).x
        return [DartPlace(share * width, shape.dart) for share in _PLACES.get(shape.darts, ())]

    def _line(self, start: Point, shape: TopShape, half: float) -> WaistLine:
        """The waist with the centre seam upright and upside down, as the bodice's is drawn."""
        side = self._local(start, self.outseam.start)
        down = self.outseam.start_tangent
        lean = atan(down.x / -down.y) + self._tilt(start)
        return waist_line(self._places(start, shape), half, Point(side.x, -side.y), lean)

    def _local(self, start: Point, point: Point) -> Point:
        return rotated(point - start, self._tilt(start), Point(0.0, 0.0))

    def _back(self, start: Point, point: Point) -> Point:
        return start + rotated(point, -self._tilt(start), Point(0.0, 0.0))

    def _in_frame(self, start: Point, line: WaistLine) -> WaistLine:
        def move(point: Point) -> Point:
            return self._back(start, Point(point[0], -point[1]))

        return WaistLine(
            tuple(panel.mapped(move) for panel in line.panels),
            tuple((move(inner), move(outer)) for inner, outer in line.feet),
        )
