"""The side seam that back and front share, and the bust darts that open it on the front.

Frame: that of the bodice block, x from the centre outward, y from the waist at the centre upward.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import asin, atan, atan2, radians, sin, tan

from drafting.blocks.rules import House
from drafting.blocks.waist import DartPlace, side_height, waist_line
from drafting.errors import CannotDraft
from drafting.geometry import Cubic, Path, Point, distance, norm, perpendicular, rotated, unit

_LOWER_HANDLE = 0.35  # of the side seam's height
_UNDERARM_HANDLE = 0.4  # of the side seam's height: the upper handle hangs straight down
_FLARE = 0.5  # a waist wider than the bust: the seam leans this much less at the waist than on its way
_LOWEST_BUST = 0.4  # of the side seam's height: the bust line meets the side no lower
_LEAST_HEIGHT = 0.45  # of the armhole line's height: what must be left of the side seam
_LOWER_DART = 0.42  # of the way from the bust line to the waist: where a second bust dart opens ...
_DARTS_APART = 45.0  # ... but no further than this, mm
_POINTS_APART = 25.0  # the lower dart's point stays this far off the upper's, mm
_STEEPEST_DEG = 40.0
_KINK_DEG = 2.5  # of the side seam across a dart whose point is drawn back


@dataclass(frozen=True, slots=True)
class SideLevels:
    """What the side seam has to reach: widths of a quarter and heights above the waist, mm."""

    quarter_bust: float
    quarter_waist: float
    armhole_line: float
    bust_line: float


@dataclass(frozen=True, slots=True)
class Side:
    """The side seam before a bust dart opens it."""

    curve: Cubic  # from the underarm down to the waist
    lean: float  # at the waist, radians from the upright, positive where the seam widens upward
    bust_at: float  # parameter of the curve at the bust line

    @property
    def bust_side(self) -> Point:
        """Where the bust line meets the seam."""
        return self.curve.at(self.bust_at)


@dataclass(frozen=True, slots=True)
class BustDart:
    """A dart open at the side seam: its upper and lower mouth and its point."""

    upper: Point
    apex: Point
    lower: Point


@dataclass(frozen=True, slots=True)
class BustTurn:
    """All of the side above the bust line is turned by ``angle`` about ``apex``, by ``count`` darts."""

    apex: Point
    angle: float
    count: int


@dataclass(frozen=True, slots=True)
class OpenedSide:
    """The side seam as it lies on the cloth."""

    sides: tuple[Path, ...]  # downward
    darts: tuple[BustDart, ...]  # downward
    underarm: Point
    arrival: Point  # the direction in which the armhole arrives there, square to the seam


def shared_side(levels: SideLevels, foot: float, places: Sequence[DartPlace], half: float) -> Side:
    """Return the side seam of both panels, square to the waist that it ends at.

    Args:
        levels: what it has to reach.
        foot: x at the waist; without darts the foot alone makes the waist's length and is found here.
        places: the back's waist darts, each ``half`` wide to either side.
        half: mm.

    Raises: CannotDraft, field "waist_girth", where the waist is too much wider than the bust.
    """
    waist = Point(foot, 0.0)
    for _ in range(40):
        side = _side(levels, waist)
        x, y = waist.x, side_height(places, half, waist.x, side.lean)
        if not places:
            x += levels.quarter_waist - waist_line((), 0.0, Point(x, y), side.lean).width
        if levels.armhole_line - y < _LEAST_HEIGHT * levels.armhole_line:
            raise _waist_too_wide()
        moved = distance(waist, Point(x, y))
        waist = Point(x, y)
        if moved < 1e-9:
            break
    else:
        raise _waist_too_wide()
    return _side(levels, waist)


def _waist_too_wide() -> CannotDraft:
    return CannotDraft(
        "the waist is so much wider than the bust that no side seam runs out to it from the armhole; "
        "measure bust, waist and armhole depth again",
        field="waist_girth",
    )


def _side(levels: SideLevels, waist: Point) -> Side:
    """A seam that hangs straight under the arm, is a quarter wide at the bust line and ends at the waist."""
    height = levels.armhole_line - waist.y
    bust_line = max(levels.bust_line, waist.y + _LOWEST_BUST * height)
    ys = (
        levels.armhole_line,
        levels.armhole_line - _UNDERARM_HANDLE * height,
        waist.y + _LOWER_HANDLE * height,
        waist.y,
    )
    # The lower handle points to the underarm; where the seam widens downward it hangs more upright.
    inward = _LOWER_HANDLE * (_FLARE if waist.x > levels.quarter_bust else 1.0)
    t = _parameter_at(ys, bust_line)
    u = 1 - t
    share = u * u * u + 3 * u * u * t + 3 * u * t * t * inward
    under = waist.x + (levels.quarter_bust - waist.x) / share
    handle = Point(waist.x + inward * (under - waist.x), ys[2])
    curve = Cubic(Point(under, ys[0]), Point(under, ys[1]), handle, waist)
    return Side(curve, atan((handle.x - waist.x) / (handle.y - waist.y)), t)


def _parameter_at(ys: tuple[float, float, float, float], height: float) -> float:
    """Where a cubic that falls through the heights ``ys`` passes ``height``, by halving."""
    low, high = 0.0, 1.0
    for _ in range(60):
        t = (low + high) / 2
        u = 1 - t
        y = u * u * u * ys[0] + 3 * u * u * t * ys[1] + 3 * u * t * t * ys[2] + t * t * t * ys[3]
        low, high = (t, high) if y > height else (low, t)
    return low


def bust_turn(side: Side, apex_x: float, longer: float, house: House) -> BustTurn:
    """How far the front's side is turned so that its underarm rises by ``longer``, mm, and by how many darts.

    Raises: CannotDraft, field "front_waist_length", where that asks for darts wider than the house allows.
    """
    apex = Point(apex_x, side.bust_side.y)
    arm = side.curve.p0 - apex
    reach = norm(arm)
    angle = asin((arm.y + longer) / reach) - atan2(arm.y, arm.x) if arm.y + longer < reach else radians(90)
    mouth = 2 * (side.bust_side.x - apex.x) * sin(angle / 2)
    if mouth > house["bust_dart_greatest"]:
        raise CannotDraft(
            f"a front {longer:.0f} mm longer than the back asks for bust darts {mouth:.0f} mm wide at each "
            f"side, and the house allows {house['bust_dart_greatest']:.0f} mm; measure front and back length "
            "again, or allow a wider dart",
            field="front_waist_length",
        )
    if angle > radians(_STEEPEST_DEG):
        raise CannotDraft(
            f"a front {longer:.0f} mm longer than the back asks for a bust dart so wide for its length that "
            "it would not lie flat; measure front and back length again",
            field="front_waist_length",
        )
    return BustTurn(apex, angle, 2 if mouth > house["bust_dart_single"] else 1)


def opened_side(side: Side, turn: BustTurn | None) -> OpenedSide:
    """The side seam with its bust darts opened.

    Both of two darts point to one place, about which the side is turned by half the angle each: closed, they
    make the same side seam as one dart.
    """
    if turn is None:
        return OpenedSide((Path((side.curve,)),), (), side.curve.p0, _square_to(side.curve))
    parts = _parted(side, turn.count)
    turned = [_turned(part, turn, 1 - k / turn.count) for k, part in enumerate(parts)]
    darts = tuple(
        BustDart(above.p3, _point(turn.apex, above.p3, below.p0, k * _POINTS_APART), below.p0)
        for k, (above, below) in enumerate(pairwise(turned))
    )
    return OpenedSide(
        tuple(Path((part,)) for part in turned),
        darts,
        turned[0].p0,
        _square_to(turned[0]),
    )


def _square_to(seam: Cubic) -> Point:
    """The direction outward in which an armhole arrives squarely at the top of a side seam."""
    return unit(perpendicular(seam.p1 - seam.p0))


def _turned(part: Cubic, turn: BustTurn, share: float) -> Cubic:
    """The part as it lies once the darts below it are open."""
    return part.mapped(lambda point: rotated(point, turn.angle * share, turn.apex))


def _parted(side: Side, count: int) -> list[Cubic]:
    """The seam parted at the bust line and, for a second dart, some way below it."""
    above, below = side.curve.split_parameter(side.bust_at)
    if count == 1:
        return [above, below]
    ys = (below.p0.y, below.p1.y, below.p2.y, below.p3.y)
    drop = min(_LOWER_DART * (ys[0] - ys[3]), _DARTS_APART)
    middle, lowest = below.split_parameter(_parameter_at(ys, ys[0] - drop))
    return [above, middle, lowest]


def _point(pivot: Point, upper: Point, lower: Point, back: float) -> Point:
    """A dart's point, drawn back along its middle from the place that the side is turned about.

    Nearer to the seam it makes a wider dart than the side was turned by, and the sewn seam has a kink: it is
    drawn back only so far that the kink stays slight.
    """
    middle = ((upper - pivot) + (lower - pivot)) * 0.5
    half, length = distance(upper, lower) / 2, norm(middle)
    shortest = half / tan(atan(half / length) + radians(_KINK_DEG) / 2)
    return pivot + unit(middle) * min(back, 0.2 * length, length - shortest)
