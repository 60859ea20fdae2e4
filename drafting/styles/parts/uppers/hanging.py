"""Drawing front and back in one piece as the shell of a garment: outline, darts, guide lines, girths."""

from __future__ import annotations

from dataclasses import replace

from drafting.blocks.inner_darts import InnerDart
from drafting.blocks.one_piece import OnePiece, OnePiecePanel
from drafting.blocks.panel import one_piece_strokes
from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import NEAR, Path, Point, distance
from drafting.making import Corner, Making, Phase, Width, run
from drafting.operations.folding import folded_out
from drafting.pattern import Dart, EdgeKind, Finished, MarkKind
from drafting.styles.parts.uppers.shell import (
    SIDES,
    add_shell,
    base_neck,
    bust_widths,
    join_shells,
    notch_armhole,
    width_at,
)
from drafting.styles.parts.uppers.vents import (
    BACK_VENT,
    SIDE_SLITS,
    Vent,
    close_vent,
    slit_sides,
    vented_centre,
)

_DRILL_SHORT = 12.0  # mm: a drill hole lies this far inside a dart's point (common practice, no source)
_DRILL_INSIDE = 3.0  # mm: and this far inside its legs, so that the seam covers it


def hang(
    making: Making,
    block: OnePiece,
    *,
    hem: float | None = None,
    waist_fitted: bool = False,
    vent: Vent | None = None,
) -> None:
    """Draw front and back down to the hem, join them and say their girths.

    Args:
        making: the garment.
        block: front and back.
        hem: depth of the hem, mm; the house's where None.
        waist_fitted: whether the waist is drawn to measure.
        vent: room to walk, if any.
    """
    depth = making.house["hem_depth"] if hem is None else hem
    _part_hollow_back(making, block.proportions.hollow)
    for side, panel in _panels(block):
        sketch = _draw(making, block, side, Stroke("hem", panel.lower, EdgeKind.HEM, depth), vent)
        _guide(making, side, sketch, panel)
    slit = vent is not None and vent.kind == SIDE_SLITS
    if vent and slit:
        slit_sides(making, vent)
    elif vent:
        close_vent(making)
    join_shells(making, to_the_hem=not slit)
    _square_at_the_centre(making)
    _say_girths(making, block, waist_fitted=waist_fitted)
    _measure(making, block, waist_fitted=waist_fitted)
    _fold_hollow_out(making, block)


def _part_hollow_back(making: Making, hollow: float) -> None:
    """A hollow back is shaped by a seam at its centre: a back without one gets it where it can."""
    if hollow and not _unfoldable(making):
        centre = making.centre("back")
        if centre.kind == "fold":
            making.centres["back"] = replace(centre, kind="seam")


def _unfoldable(making: Making) -> str:
    """Why a hollow back cannot be folded out of this garment; empty where it can."""
    centre = making.centre("back")
    if centre.kind == "fold" and centre.depth:
        return "the back is slit on its fold"
    if centre.kind == "fold" and making.chosen("yoke", "none") in {"back", "both"}:
        return "the yoke is cut on the fold"
    return ""


def _fold_hollow_out(making: Making, block: OnePiece) -> None:
    """Take a hollow back's surplus out across the waist, from the centre to nothing at the side.

    Where the garment does not let the centre bend, it is left to the fitting.
    """
    hollow = block.proportions.hollow
    if not hollow:
        return
    if why := _unfoldable(making):
        making.note(
            Phase.SIDES,
            f"Hollow back: {hollow:.0f} mm are not taken out at the waist, for {why}. Pin them across the "
            "back at the fitting, to nothing at the sides; let the darts or a centre back seam take them.",
        )
        return
    folded_out(making.shell("back"), block.back.waist_side, hollow).apply(making)
    making.note(
        Phase.SIDES,
        f"Hollow back: {hollow:.0f} mm are folded out at the centre of the back waist, to nothing at the "
        "sides. Stretch the allowances of the centre back seam where it bends, and press it open.",
    )
    if making.centre("back").kind == "seam":
        line = run(making.shells["back"], "centre back")
        making.sew(Phase.SIDES, "centre back", line, line, times=1)


def hang_to_seam(making: Making, block: OnePiece) -> None:
    """Draw front and back down to a dropped waist seam, join them and say their girth."""
    allowance = making.house["seam_allowance"]
    _part_hollow_back(making, block.proportions.hollow)
    for side, panel in _panels(block):
        _draw(making, block, side, Stroke("waist side", panel.lower, EdgeKind.SEAM, allowance), None)
    join_shells(making)
    _say_girths(making, block, waist_fitted=False)
    _fold_hollow_out(making, block)


def _panels(block: OnePiece) -> tuple[tuple[str, OnePiecePanel], ...]:
    return tuple(zip(SIDES, (block.front, block.back), strict=True))


def _draw(making: Making, block: OnePiece, side: str, lower: Stroke, vent: Vent | None) -> Sketch:
    panel = block.front if side == "front" else block.back
    neck, foot = base_neck(block.proportions, panel, side), panel.lower.start
    at_hem = lower.kind is EdgeKind.HEM
    vented = vent is not None and vent.kind == BACK_VENT and side == "back"
    sketch = add_shell(
        making,
        side,
        side if at_hem else f"{side} bodice",
        one_piece_strokes(panel, making.house, lower),
        neck,
        lower="hem" if at_hem else "waist",
        grain=(0.6 * foot.y, 0.5 * neck.end.y),
        centre=vented_centre(making, vent, neck.end, foot) if vent and vented else None,
    )
    if vented:
        sketch.turned = ("hem", "vent hem")
    notch_armhole(sketch, panel.armhole_notch)
    for number, dart in enumerate(panel.inner_darts, start=1):
        _add_dart(sketch, f"waist dart {number}", dart)
    return sketch


def _add_dart(sketch: Sketch, name: str, dart: InnerDart) -> None:
    """A dart pointed at both ends: two darts, mouth to mouth, their legs marked, and holes inside them."""
    top, foot = Point(dart.axis, dart.top), Point(dart.axis, dart.foot)
    sketch.darts += [
        Dart("", f"{name} above the waist", dart.inner, top, dart.outer),
        Dart("", f"{name} below the waist", dart.inner, foot, dart.outer),
    ]
    sketch.mark(name, MarkKind.DART, Path.polyline((top, dart.inner, foot, dart.outer, top)))
    for hole in (
        top - Point(0.0, _DRILL_SHORT),
        foot + Point(0.0, _DRILL_SHORT),
        dart.inner + Point(min(_DRILL_INSIDE, dart.half / 2), 0.0),
        dart.outer - Point(min(_DRILL_INSIDE, dart.half / 2), 0.0),
    ):
        sketch.mark(f"{name} hole", MarkKind.DRILL, Path.line(hole, hole + Point(0.0, 0.5)))


def _guide(making: Making, side: str, sketch: Sketch, panel: OnePiecePanel) -> None:
    """Waist line, hip line, and the place to lengthen or shorten below it."""
    hip, foot = -making.body["waist_to_hip"], panel.lower.start.y
    for name, kind, height in (
        ("waist line", MarkKind.GUIDE, 0.0),
        ("hip line", MarkKind.GUIDE, hip),
        ("lengthen", MarkKind.LENGTHEN, (hip + foot) / 2),
    ):
        width = width_at(making, side, height) if height > foot + 10.0 else None
        if width is not None:
            sketch.mark(name, kind, Path.line(width.start, width.end))


def _square_at_the_centre(making: Making) -> None:
    """The hem crosses the centre squarely, and runs straight on to a vent or a button stand."""
    for side in SIDES:
        sketch = making.shell(side)
        start = sketch.path("hem").start
        beside = next(
            stroke.name
            for stroke in sketch.strokes
            if stroke.name != "hem" and min(distance(start, at) for at in _ends(stroke)) <= NEAR
        )
        total = 180.0 if sketch.stroke(beside).kind is EdgeKind.HEM else 90.0
        corner = Corner(sketch.name, "hem", beside)
        making.smooth(f"hem at the centre {side}", corner, total_deg=total)


def _ends(stroke: Stroke) -> tuple[Point, Point]:
    return stroke.path.start, stroke.path.end


def _say_girths(making: Making, block: OnePiece, *, waist_fitted: bool) -> None:
    """Bust, waist where it is fitted, and hip where the garment covers it."""
    body, widths = making.body, block.widths
    hip = -body["waist_to_hip"]
    for side, panel in _panels(block):
        name = making.shells[side]
        _girth(making, "bust", widths.bust, *bust_widths(name, panel))
        if waist_fitted:
            _girth(making, "waist", block.net_waist, *_waist_widths(name, panel))
        at_hip = width_at(making, side, hip)
        if at_hip is not None:
            _girth(making, "hip", widths.hip, at_hip)


def _girth(making: Making, name: str, quarter: float, *widths: Width) -> None:
    """A girth planned as four quarters; its ease is what these are more than the body."""
    body = making.body[f"{name}_girth"]
    making.girth(name, body, 4 * quarter - body, *widths)


def _waist_widths(name: str, panel: OnePiecePanel) -> list[Width]:
    """From the centre to the side, darts left out."""
    starts = [Point(0.0, 0.0), *(dart.outer for dart in panel.inner_darts)]
    ends = [*(dart.inner for dart in panel.inner_darts), panel.waist_side]
    return [Width(name, a, b) for a, b in zip(starts, ends, strict=True)]


def _measure(making: Making, block: OnePiece, *, waist_fitted: bool) -> None:
    body, widths, p = making.body, block.widths, block.proportions
    below = -block.back.lower.start.y
    waist = block.net_waist if waist_fitted else widths.waist
    making.finished += [
        Finished("bust", 4 * widths.bust, body["bust_girth"]),
        Finished("waist", 4 * waist, body["waist_girth"]),
        *([Finished("hip", 4 * widths.hip, body["hip_girth"])] if below >= body["waist_to_hip"] else ()),
        Finished("back length, nape to hem", p.nape + below),
        Finished("front length, neck point to waist", p.front_neck, body["front_waist_length"]),
        Finished("hem", 4 * block.back.lower.end.x),
    ]
