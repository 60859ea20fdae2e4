"""How wide a garment in one piece is at bust, waist and hip: by the house's ease, and so that it hangs.

Each function returns the ``Widths`` of a quarter. A garment that hangs from the shoulders is nowhere narrower
below than a body bulges above: a waist larger than bust or hip, or a bust larger than the hip, widens what
hangs from it, and the ease there is then more than the house rule says.
"""

from __future__ import annotations

from math import radians, tan

from drafting.blocks.bodice import Proportions, Shaping
from drafting.blocks.hanging_side import Widths
from drafting.blocks.rules import House, quarter
from drafting.body import Body

_STEEPEST_DEG = 22.0
"""The side of a flared garment leans no more than this; its bust is made wider instead (common practice)."""


def loose_widths(
    p: Proportions, body: Body, house: House, *, flare_deg: float = 0.0, shaped: bool = True
) -> Widths:
    """A shift, blouse or tunic: loose at bust and hip, where ``shaped`` a little taken in at the side."""
    bust = quarter(body["bust_girth"], house["loose_bust_ease"])
    hip_level = body["waist_to_hip"]
    least = quarter(body["waist_girth"], house["loose_waist_ease"])
    hip = max(quarter(body["hip_girth"], house["loose_hip_ease"]), bust)
    straight = bust + (hip - bust) * p.bust_line / (p.bust_line + hip_level)
    waist = max(straight - (_taken_in(body, house) if shaped else 0.0), least)
    return Widths(bust, waist, max(hip, waist), tan(radians(flare_deg)))


def _taken_in(body: Body, house: House) -> float:
    """By the house rule, but no more than half of what the waist is narrower than the bust."""
    return min(house["loose_shaping"], max(body["bust_girth"] - body["waist_girth"], 0.0) / 8)


def semi_fitted_widths(p: Proportions, body: Body, house: House, shaping: Shaping) -> Widths:
    """A blouse with waist darts: as loose as a shift, taken in at the waist to its loose ease."""
    loose = loose_widths(p, body, house)
    return Widths(loose.bust, p.quarter_waist + shaping.each * shaping.count, loose.hip)


def fitted_widths(p: Proportions, body: Body, house: House, shaping: Shaping) -> Widths:
    """A sheath: fitted at bust, waist and hip; from a waist that is larger than the hip it hangs straight."""
    waist = p.quarter_waist + shaping.each * shaping.count
    return Widths(p.quarter_bust, waist, max(quarter(body["hip_girth"], house["hip_ease"]), p.quarter_waist))


def flared_widths(p: Proportions, body: Body, house: House) -> Widths:
    """An A-line: its side is one straight line from the underarm to the hem, past all that it must pass."""
    steepest = tan(radians(_STEEPEST_DEG))
    hip_down = p.bust_line + body["waist_to_hip"]
    waist = quarter(body["waist_girth"], house["loose_waist_ease"])
    hip = quarter(body["hip_girth"], house["loose_hip_ease"])
    bust = max(
        quarter(body["bust_girth"], house["loose_bust_ease"]),
        waist - steepest * p.bust_line,
        hip - steepest * hip_down,
    )
    slope = max(
        tan(radians(house["a_line_flare_deg"])), (waist - bust) / p.bust_line, (hip - bust) / hip_down
    )
    return Widths(bust, bust + slope * p.bust_line, bust + slope * hip_down, slope, slope)
