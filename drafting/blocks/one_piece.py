"""Front and back in one piece from the shoulder to the hem, their side seams alike.

Frame: that of the bodice block, x from the centre outward, y from the natural waist at the centre upward;
all below the waist lies below 0. What is wide where is worked out in ``drafting.blocks.widths``; here it is
drawn: a side seam that is exactly so wide at bust line, waist and hip, and a lower edge square to centre and
side. Where the waist is fitted, darts that are pointed at both ends take in what the side does not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drafting.blocks.bodice import (
    Proportions,
    Shaping,
    Upper,
    back_dart,
    back_upper,
    dart_places,
    front_dart_top,
    front_turn,
    front_upper,
    shoulder_and_armhole,
)
from drafting.blocks.falling import (
    even_slope,
    falling_curve,
    lean_at,
    path_of,
    squarely_met,
)
from drafting.blocks.rules import House
from drafting.blocks.side import BustDart, BustTurn, Side, opened_side
from drafting.blocks.waist import WIDEST_OF_LENGTH, level_curve
from drafting.errors import CannotDraft
from drafting.geometry import Cubic, Path, Point

_FRONT_DART, _BACK_DART = 0.6, 0.85
"""Of the way from waist to hip: how far a dart reaches below the waist (common practice, no source)."""

_HIP_CURVE = (0.27, 0.43)
"""Handles of the side from waist to hip: it widens soon, as the body does (common practice, no source)."""

_LEAST_UNDERARM = 12.0  # mm between the narrowest of the armhole and the side seam
_LOWEST_BUST = 0.4  # of the side's height above the waist: the bust line meets the side no lower
NO_SHAPING = Shaping(0.0, 0.0, 0)


@dataclass(frozen=True, slots=True)
class Widths:
    """Widths of a quarter, mm, and the slopes of the side (mm outward a mm down) above and below them."""

    bust: float
    waist: float  # at the side seam: what darts take in is part of it
    hip: float
    below_hip: float = 0.0  # slope
    at_underarm: float = 0.0  # slope


@dataclass(frozen=True, slots=True)
class InnerDart:
    """A dart pointed at both ends, widest at the waist: ``half`` to either side of its axis, mm."""

    axis: float
    top: float  # height of its upper point
    foot: float  # height of its lower point, below 0
    half: float

    @property
    def inner(self) -> Point:
        return Point(self.axis - self.half, 0.0)

    @property
    def outer(self) -> Point:
        return Point(self.axis + self.half, 0.0)


@dataclass(frozen=True, slots=True)
class OnePiecePanel:
    """Half a front or half a back, without neck and centre."""

    neck: Point
    shoulder: Path  # from the neck outward
    armhole: Path  # from the shoulder down
    sides: tuple[Path, ...]  # downward; bust darts part them
    lower: Path  # hem or seam, from the centre outward
    bust_darts: tuple[BustDart, ...]
    inner_darts: tuple[InnerDart, ...]
    bust_side: Point  # where the bust line meets the side seam, darts closed
    waist_side: Point
    armhole_notch: float  # along the armhole


@dataclass(frozen=True, slots=True)
class OnePiece:
    """The two panels and what they were drawn from."""

    proportions: Proportions
    widths: Widths
    net_waist: float  # of a quarter, darts closed, mm
    back: OnePiecePanel
    front: OnePiecePanel


def draft_one_piece(
    p: Proportions,
    house: House,
    widths: Widths,
    *,
    hip_level: float,
    length: float,
    shaping: Shaping = NO_SHAPING,
) -> OnePiece:
    """Return front and back.

    Args:
        p: the bodice's lengths; their quarter of the bust is not read.
        house: house rules.
        widths: of a quarter.
        hip_level: below the waist, mm.
        length: of the centre below the waist, mm; may end above the hip.
        shaping: what darts take in at the waist; ``widths.waist`` has it.

    Raises: CannotDraft, with the measurement at fault.
    """
    line = _side_line(p, widths, hip_level, length)
    side = Side(line[0], lean_at(line[0], 1.0), _bust_at(p, line[0]))
    _refuse_no_underarm(side, p)
    below, slope = squarely_met(line[1:], Point(0.0, -length), 0.0)
    lower = level_curve(Point(0.0, -length), 0.0, below[-1].p3, slope)
    deep = min(hip_level, length)

    def panel(upper: Upper, darts: tuple[InnerDart, ...], turn: BustTurn | None) -> OnePiecePanel:
        opened = opened_side(side, turn)
        shoulder, armhole = shoulder_and_armhole(p, upper, opened)
        whole = Path((*opened.sides[-1].segments, *path_of(below).segments))
        return OnePiecePanel(
            shoulder.start,
            shoulder,
            armhole,
            (*opened.sides[:-1], whole),
            lower,
            opened.darts,
            darts,
            side.bust_side,
            side.curve.p3,
            armhole.segments[0].length,
        )

    back_top = min(p.armhole_line - 12.0, side.bust_side.y)
    back = _inner_darts(p, back_dart(p, shaping), (back_top, -_BACK_DART * deep), shaping)
    front = _inner_darts(p, p.bust_point, (front_dart_top(p, house), -_FRONT_DART * deep), shaping)
    return OnePiece(
        p,
        widths,
        widths.waist - shaping.each * shaping.count,
        panel(back_upper(p, house), back, None),
        panel(front_upper(p), front, front_turn(p, side, house)),
    )


def _side_line(p: Proportions, widths: Widths, hip_level: float, length: float) -> list[Cubic]:
    """The side seam before a bust dart opens it: underarm, waist, hip and down beyond the lower edge."""
    bust_line = _bust_line(p)
    above = (widths.waist - widths.bust) / bust_line
    beside = (widths.hip - widths.waist) / hip_level
    at_waist, at_hip = even_slope(above, beside), even_slope(beside, widths.below_hip)
    waist, hip = Point(widths.waist, 0.0), Point(widths.hip, -hip_level)
    end = Point(
        widths.hip + widths.below_hip * (beyond := max(length - hip_level, 0.0) + widths.hip),
        -hip_level - beyond,
    )
    under = _underarm(p.armhole_line, bust_line, widths, at_waist)
    return [
        falling_curve(under, widths.at_underarm, waist, at_waist),
        falling_curve(waist, at_waist, hip, at_hip, _HIP_CURVE if beside > 0 else (1 / 3, 1 / 3)),
        falling_curve(hip, at_hip, end, widths.below_hip),
    ]


def _bust_line(p: Proportions) -> float:
    return max(p.bust_line, _LOWEST_BUST * p.armhole_line)


def _bust_at(p: Proportions, upper: Cubic) -> float:
    """The parameter of the upper side at the bust line: its height falls evenly."""
    return 1.0 - _bust_line(p) / upper.p0.y


def _underarm(armhole_line: float, bust_line: float, widths: Widths, at_waist: float) -> Point:
    """Where the side must begin to be a quarter wide at the bust line: the curve there is linear in it."""
    t = 1.0 - bust_line / armhole_line
    u, third = 1.0 - t, armhole_line / 3
    first, second = u * u * u + 3 * u * u * t, 3 * u * t * t
    rest = 3 * u * u * t * widths.at_underarm * third
    rest += second * (widths.waist - at_waist * third) + t * t * t * widths.waist
    return Point((widths.bust - rest) / first, armhole_line)


def _inner_darts(
    p: Proportions, first: float, reach: tuple[float, float], shaping: Shaping
) -> tuple[InnerDart, ...]:
    """Darts pointed at both ends, the first longest. Raises: CannotDraft where one is stubby."""
    top, foot = reach
    places = dart_places(p, first, top, shaping)
    darts = tuple(
        InnerDart(place.axis, place.apex, foot * (1 - 0.12 * k), shaping.each / 2)
        for k, place in enumerate(places)
    )
    _refuse_stubby(darts)
    return darts


def _refuse_stubby(darts: Sequence[InnerDart]) -> None:
    for dart in darts:
        length = min(dart.top, -dart.foot)
        if 2 * dart.half > WIDEST_OF_LENGTH * length:
            raise CannotDraft(
                f"a waist dart would be {2 * dart.half:.0f} mm wide and only {length:.0f} mm long; leave the "
                "waist looser, or take more of it in at the side seam",
                field="waist_girth",
            )


def _refuse_no_underarm(side: Side, p: Proportions) -> None:
    if side.curve.p0.x - p.across_front < _LEAST_UNDERARM:
        raise CannotDraft(
            "the side seam would begin inside the armhole, for the waist is so much wider than the bust; "
            "measure bust, waist and across the back again",
            field="waist_girth",
        )
