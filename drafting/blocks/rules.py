"""The trade's draft rules, one small function each.

Unless a function says otherwise the source of a rule is "common practice, no source"; its check values are
those of a girl's jacket-like bodice, in inches. All arguments and results are mm.
"""

from __future__ import annotations

from collections.abc import Mapping

from drafting.errors import CannotDraft

House = Mapping[str, float]


def quarter(girth: float, ease: float, *, allowance: float = 0.0) -> float:
    """A quarter of a girth with its ease, and one seam allowance: 35 with 1 is 9, with 1 allowance 10."""
    if girth + ease <= 0:
        raise CannotDraft(f"a girth of {girth:g} mm with ease {ease:g} mm leaves nothing to draw")
    return (girth + ease) / 4 + allowance


def half_shoulder_line(half_shoulder: float, house: House) -> float:
    """From the centre to the shoulder's end: half a shoulder of 7 is drawn 7 1/4."""
    return half_shoulder + house["shoulder_ease"]


def armhole_line_depth(armhole_measure: float, house: House) -> float:
    """From the nape down to the armhole line: a measure of 7 is drawn 7 1/2."""
    return armhole_measure + house["armhole_ease"]


def neck_width(armhole_measure: float, house: House, *, collar: bool = True) -> float:
    """Half the armhole measure, less 1 in with a collar: 7 makes 2 1/2 (without collar 3 1/2)."""
    return armhole_measure / 2 - (house["collar_neck_less"] if collar else 0.0)


def neck_width_for(armhole_measure: float, neck_base_girth: float, house: House) -> float:
    """The trade's neck width, kept to what the wearer's own neck asks for.

    The rule of the half armhole measure was made for girls of school age; for the smallest and the stoutest
    it leaves the neck. So it is kept between a fifth of the neck less 2 mm (Aldrich, from memory) and a fifth
    of it and 15 mm more (common practice, no source).
    """
    fifth = neck_base_girth / 5
    return min(max(neck_width(armhole_measure, house), fifth - 2.0), fifth + 15.0)


def front_neck_depth(width: float) -> float:
    """The front neck is as deep as it is wide: 2 1/2."""
    return width


def front_hollow(back_across: float, house: House) -> float:
    """Half the front between the armholes: the armhole is hollowed 1/2 in more than the back's."""
    return back_across - house["front_armhole_hollow"]


def proportion(width: float) -> float:
    """How far lapel and collar shrink with a child's neck: 1 from a neck width of 2 1/2 in upward."""
    return min(1.0, width / 63.5)
