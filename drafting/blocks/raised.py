"""The bodice block cut off above the waist: a raised seam under the bust.

The darts keep their legs and are cut off with the rest: open at the new seam they are narrower and shorter.
So the seam lies as closely as the block does there; no girth of the body is taken at that height.
"""

from __future__ import annotations

from dataclasses import replace
from math import atan2, tan

from drafting.blocks.bodice import Bodice, Panel, WaistDart
from drafting.blocks.falling import lean_at, parted_at, path_of, squarely_met
from drafting.blocks.waist import WaistLine, level_curve
from drafting.errors import BadChoice
from drafting.geometry import Cubic, Point, distance, lerp

_LEAST_DART = 25.0  # mm: a shorter dart does not lie flat (common practice, no source)
_UNDER_BUST_DART = 15.0  # mm of side seam left under a bust dart (common practice, no source)
_LEAST_RISE = 10.0  # mm: less is the natural waist
_STEP = 4.0  # mm by which the usual seam is lowered until it fits
_ROUNDS = 40


def highest_seam(block: Bodice) -> float:
    """How far above the waist a seam may lie at most, mm: under the darts' points and the bust line."""
    points = [dart.apex.y - _LEAST_DART for panel in (block.front, block.back) for dart in panel.waist_darts]
    under = block.front.sides[-1].start.y - _UNDER_BUST_DART
    return min([*points, under, 0.9 * block.proportions.bust_line])


def usual_seam(block: Bodice, wished: float) -> float:
    """The wished height, or as much less as keeps the seam under the bust all round; mm above the waist."""
    highest = highest_seam(block)
    height = min(max(wished, 0.5 * highest), highest)
    while height - _STEP > _LEAST_RISE and _at_side(block, height) > _highest_at_side(block):
        height -= _STEP
    return height


def raised(block: Bodice, height: float, *, least_dart: float, field: str = "raised_by") -> Bodice:
    """Return the bodice down to a seam ``height`` mm above the waist at the centre.

    A dart that would be narrower than ``least_dart`` there, mm, is left open: the seam is so much looser.

    Raises: BadChoice, field ``field``, where it would cut through a dart's point or the bust.
    """
    highest = highest_seam(block)
    if highest < _LEAST_RISE:
        raise BadChoice(
            "between waist and bust there is no room for a raised seam on this wearer: choose the natural "
            "waist",
            field=field,
        )
    if not _LEAST_RISE <= height <= highest:
        raise BadChoice(
            f"the seam cannot lie {height:.0f} mm above the waist; for this wearer choose from "
            f"{_LEAST_RISE:.0f} to {highest:.0f} mm",
            field=field,
        )
    back = _cut_off(block.back, height, least_dart, None)
    if back.waist_side.y > _highest_at_side(block):
        raise BadChoice(
            "at the side the seam would rise to the bust: choose it lower, or the natural waist", field=field
        )
    return replace(block, back=back, front=_cut_off(block.front, height, least_dart, back.waist_side))


def _highest_at_side(block: Bodice) -> float:
    """Height under which the seam must meet the side: under the bust line, and clear of a bust dart.

    Pressed downward the dart lies on the side below it, which must be as long as the dart is wide.
    """
    lowest = min(block.back.bust_side.y, block.front.sides[-1].start.y)
    widest = max((distance(dart.upper, dart.lower) for dart in block.front.bust_darts), default=0.0)
    return lowest - max(widest, _UNDER_BUST_DART / 2)


def _at_side(block: Bodice, height: float) -> float:
    """The height at which a seam meets the side."""
    return _cut_off(block.back, height, 0.0, None).waist_side.y


def _cut_off(panel: Panel, height: float, least_dart: float, side_end: Point | None) -> Panel:
    """Cut a panel off; the front ends where the back's side does, so that their sides are alike."""
    at, slope = Point(0.0, height), 0.0
    pieces, darts = [], []
    for dart in panel.waist_darts:
        cut, lean = _cut_dart(dart, at, slope)
        if cut.outer.x - cut.inner.x < least_dart:
            continue
        pieces.append(level_curve(at, slope, cut.inner, -lean))
        darts.append(cut)
        at, slope = cut.outer, lean
    curves = [segment for segment in panel.sides[-1].segments if isinstance(segment, Cubic)]
    if side_end is None:
        kept, end_slope = squarely_met(curves, at, slope, field="raised_by")
    else:
        kept = parted_at(curves, side_end.y)[0]
        end_slope = lean_at(kept[-1], 1.0)
    pieces.append(level_curve(at, slope, kept[-1].p3, end_slope))
    return replace(
        panel,
        sides=(*panel.sides[:-1], path_of(kept)),
        waist=WaistLine(tuple(pieces), tuple((dart.inner, dart.outer) for dart in darts)),
        waist_darts=tuple(darts),
    )


def _cut_dart(dart: WaistDart, at: Point, slope: float) -> tuple[WaistDart, float]:
    """The dart above the seam, which arrives square to its leg by an even bend; and the leg's lean."""
    leg = dart.inner - dart.apex
    lean = atan2(-leg.x, -leg.y)
    foot = dart.inner
    for _ in range(_ROUNDS):
        y = at.y + (foot.x - at.x) * tan((slope - lean) / 2)
        foot = lerp(dart.apex, dart.inner, (dart.apex.y - y) / (dart.apex.y - dart.inner.y))
    return WaistDart(foot, dart.apex, Point(2 * dart.apex.x - foot.x, foot.y)), lean
