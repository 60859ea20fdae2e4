"""The side seam of a garment in one piece: exactly so wide as asked at bust line, waist and hip.

Frame: that of the bodice block, x from the centre outward, y from the natural waist at the centre upward.
"""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.bodice import Proportions
from drafting.blocks.falling import even_slope, falling_curve, tightest_hollow
from drafting.errors import CannotDraft
from drafting.geometry import Cubic, Point

_CLOSE_HIP = ((0.27, 0.43), (0.36, 0.4), (0.45, 0.36), (0.52, 0.3))
_LOOSE_HIP = ((0.42, 0.42), (0.5, 0.32))
"""Handles of the side from waist to hip. A close one widens soon, as the body does, a loose one evenly; the
later ones where the allowance would else fold over itself in the hollow (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Widths:
    """Widths of a quarter, mm, and the slopes of the side (mm outward a mm down) above and below them."""

    bust: float
    waist: float  # at the side seam: what darts take in is part of it
    hip: float
    below_hip: float = 0.0  # slope
    at_underarm: float = 0.0  # slope
    close: bool = False  # whether the side follows the hip, or hangs over it


def hanging_side(
    p: Proportions, widths: Widths, hip_level: float, length: float, allowance: float
) -> list[Cubic]:
    """Return the side seam before a bust dart opens it: underarm, waist, hip, and on beyond the lower edge.

    Args:
        p: heights of the armhole line and the bust line.
        widths: of a quarter.
        hip_level: below the waist, mm.
        length: of the centre below the waist, mm.
        allowance: of the side seam, mm: no hollow is tighter.

    Raises: CannotDraft, field "waist_girth", where the waist is too hollow for its allowance.
    """
    bust_line = p.bust_line
    above = (widths.waist - widths.bust) / bust_line
    beside = (widths.hip - widths.waist) / hip_level
    at_waist, at_hip = even_slope(above, beside), even_slope(beside, widths.below_hip)
    waist, hip = Point(widths.waist, 0.0), Point(widths.hip, -hip_level)
    end = Point(
        widths.hip + widths.below_hip * (beyond := max(length - hip_level, 0.0) + widths.hip),
        -hip_level - beyond,
    )
    under = _underarm(p.armhole_line, bust_line, widths, at_waist)
    upper = falling_curve(under, widths.at_underarm, waist, at_waist)
    if tightest_hollow(upper) < allowance:
        raise _too_hollow("bust")
    return [
        upper,
        _over_the_hip((waist, at_waist, hip, at_hip), widths.close, allowance),
        falling_curve(hip, at_hip, end, widths.below_hip),
    ]


def _over_the_hip(ends: tuple[Point, float, Point, float], close: bool, allowance: float) -> Cubic:
    """From waist to hip; no hollow tighter than the allowance. Raises: CannotDraft."""
    for handles in _CLOSE_HIP if close else _LOOSE_HIP:
        curve = falling_curve(*ends, handles)
        if tightest_hollow(curve) >= allowance:
            return curve
    raise _too_hollow("hip")


def _too_hollow(girth: str) -> CannotDraft:
    return CannotDraft(
        f"the waist is so much smaller than the {girth} that the side seam would be too hollow for its "
        "allowance; leave the waist looser, or choose a narrower side allowance or a looser style",
        field="waist_girth",
    )


def _underarm(armhole_line: float, bust_line: float, widths: Widths, at_waist: float) -> Point:
    """Where the side must begin to be a quarter wide at the bust line: the curve there is linear in it."""
    t = 1.0 - bust_line / armhole_line
    u, third = 1.0 - t, armhole_line / 3
    first, second = u * u * u + 3 * u * u * t, 3 * u * t * t
    rest = 3 * u * u * t * widths.at_underarm * third
    rest += second * (widths.waist - at_waist * third) + t * t * t * widths.waist
    return Point((widths.bust - rest) / first, armhole_line)
