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
    back_dart_top,
    back_upper,
    front_dart_top,
    front_turn,
    front_upper,
    shoulder_and_armhole,
)
from drafting.blocks.falling import lean_at, path_of, squarely_met
from drafting.blocks.hanging_side import Widths, hanging_side
from drafting.blocks.inner_darts import NO_SHAPING, InnerDart, flat_shaping, inner_darts
from drafting.blocks.rules import House
from drafting.blocks.side import BustDart, BustTurn, Side, opened_side
from drafting.blocks.waist import level_curve
from drafting.errors import CannotDraft
from drafting.geometry import Cubic, Path, Point

_FRONT_DART, _BACK_DART = 0.6, 0.85
"""Of the way from waist to hip: how far a dart reaches below the waist (common practice, no source)."""

_LEAST_UNDERARM = 12.0  # mm between the narrowest of the armhole and the side seam


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
    ends: str = "length",
) -> OnePiece:
    """Return front and back.

    Args:
        p: the bodice's lengths; the quarter of the bust drawn is that of ``widths``.
        house: house rules.
        widths: of a quarter.
        hip_level: below the waist, mm.
        length: of the centre below the waist, mm; may end above the hip.
        shaping: what darts take in at the waist; ``widths.waist`` has it.
        ends: name of the choice that says where the garment ends.

    Raises: CannotDraft, with the measurement at fault.
    """
    line = hanging_side(p, widths, hip_level, length, house["side_allowance"])
    hung = _hung(p, line, length, ends)
    deep = min(hip_level, length)
    back_reach = back_dart_top(p), -_BACK_DART * deep
    front_reach = front_dart_top(p, house), -_FRONT_DART * deep
    shaping = flat_shaping(p, shaping, front_reach)
    back = inner_darts(p, back_dart(p, shaping), back_reach, shaping)
    front = inner_darts(p, p.bust_point, front_reach, shaping)
    return OnePiece(
        p,
        widths,
        widths.waist - shaping.each * shaping.count,
        _panel(p, hung, back_upper(p, house), back, None),
        _panel(p, hung, front_upper(p), front, front_turn(p, hung.side, house)),
    )


@dataclass(frozen=True, slots=True)
class _Hung:
    """What front and back share: the side to the waist, the side below it, the lower edge."""

    side: Side
    below: Path
    lower: Path


def _hung(p: Proportions, line: Sequence[Cubic], length: float, ends: str) -> _Hung:
    side = Side(line[0], lean_at(line[0], 1.0), 1.0 - p.bust_line / p.armhole_line)
    _refuse_no_underarm(side, p)
    centre = Point(0.0, -length)
    below, slope = squarely_met(line[1:], centre, 0.0, field=ends)
    return _Hung(side, path_of(below), level_curve(centre, 0.0, below[-1].p3, slope))


def _panel(
    p: Proportions, hung: _Hung, upper: Upper, darts: tuple[InnerDart, ...], turn: BustTurn | None
) -> OnePiecePanel:
    opened = opened_side(hung.side, turn)
    shoulder, armhole = shoulder_and_armhole(p, upper, opened)
    return OnePiecePanel(
        shoulder.start,
        shoulder,
        armhole,
        (*opened.sides[:-1], opened.sides[-1].joined(hung.below)),
        hung.lower,
        opened.darts,
        darts,
        hung.side.bust_side,
        hung.side.curve.p3,
        armhole.segments[0].length,
    )


def _refuse_no_underarm(side: Side, p: Proportions) -> None:
    if side.curve.p0.x - p.across_front < _LEAST_UNDERARM:
        raise CannotDraft(
            "the side seam would begin inside the armhole, for the waist is so much wider than the bust; "
            "measure bust, waist and across the back again",
            field="waist_girth",
        )
