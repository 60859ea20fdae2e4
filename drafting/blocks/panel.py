"""A panel of a block as strokes in ring order: the names that every part knows it by.

Waist: "waist centre", "waist middle 2", ..., "waist side" with dart legs between; "waist side" alone without
a dart. Side: "side", or "side upper", "side middle", "side lower" with bust dart legs between. Then
"armhole", "shoulder". Whoever draws the neck and the centre closes the ring.
"""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.bodice import Panel, dart_legs
from drafting.blocks.one_piece import OnePiecePanel
from drafting.blocks.rules import House
from drafting.blocks.sketch import Stroke
from drafting.pattern import Dart, EdgeKind

_SIDES = {1: ("side",), 2: ("side upper", "side lower"), 3: ("side upper", "side middle", "side lower")}


@dataclass(frozen=True, slots=True)
class PanelStrokes:
    """``strokes`` from the centre of the lower edge round to the neck point; the rest names their edges."""

    strokes: list[Stroke]
    darts: list[Dart]
    waist: tuple[str, ...]  # or the hem, from the centre outward
    sides: tuple[str, ...]  # downward


def panel_strokes(panel: Panel, house: House, *, armhole_allowance: float | None = None) -> PanelStrokes:
    """Return a panel's outline without neck and centre."""
    waist, waist_darts = _waist(panel, house["seam_allowance"])
    above, bust_darts = _side_and_top(panel, house, armhole_allowance)
    names = tuple(stroke.name for stroke in waist if stroke.kind is EdgeKind.SEAM)
    return PanelStrokes([*waist, *above], [*waist_darts, *bust_darts], names, _SIDES[len(panel.sides)])


def one_piece_strokes(panel: OnePiecePanel, house: House, lower: Stroke) -> PanelStrokes:
    """Return the outline of a panel in one piece without neck and centre; ``lower`` is its lower edge."""
    above, darts = _side_and_top(panel, house, None)
    return PanelStrokes([lower, *above], darts, (lower.name,), _SIDES[len(panel.sides)])


def _side_and_top(
    panel: Panel | OnePiecePanel, house: House, armhole_allowance: float | None
) -> tuple[list[Stroke], list[Dart]]:
    """From the lower edge up the side and round to the neck point; the bust darts."""
    side, darts = _side(panel, house["side_allowance"])
    at_armhole = house["enclosed_allowance"] if armhole_allowance is None else armhole_allowance
    armhole = Stroke("armhole", panel.armhole, EdgeKind.SEAM, at_armhole)
    return [*side, armhole, Stroke("shoulder", panel.shoulder, EdgeKind.SEAM, house["seam_allowance"])], darts


def _waist(panel: Panel, allowance: float) -> tuple[list[Stroke], list[Dart]]:
    panels, count = panel.waist.panels, len(panel.waist_darts)
    strokes = [Stroke("waist centre" if count else "waist side", panels[0], EdgeKind.SEAM, allowance)]
    darts = []
    for k, dart in enumerate(panel.waist_darts, start=1):
        inner, outer = dart_legs(dart)
        names = (f"waist dart {k} inner", f"waist dart {k} outer")
        strokes += [Stroke(names[0], inner, EdgeKind.DART), Stroke(names[1], outer, EdgeKind.DART)]
        name = "waist side" if k == count else f"waist middle {k + 1}"
        strokes.append(Stroke(name, panels[k], EdgeKind.SEAM, allowance))
        darts.append(Dart("", f"waist dart {k}", dart.inner, dart.apex, dart.outer, names))
    return strokes, darts


def _side(panel: Panel | OnePiecePanel, allowance: float) -> tuple[list[Stroke], list[Dart]]:
    """From the lower edge up to the underarm, the bust darts between."""
    sides = _SIDES[len(panel.sides)]
    strokes, darts = [Stroke(sides[0], panel.sides[0], EdgeKind.SEAM, allowance)], []
    for k, dart in enumerate(panel.bust_darts):
        name = "bust dart" if len(panel.bust_darts) == 1 else f"bust dart {k + 1}"
        upper, lower = dart_legs(dart)
        legs = (f"{name} upper", f"{name} lower")
        strokes += [
            Stroke(legs[0], upper, EdgeKind.DART),
            Stroke(legs[1], lower, EdgeKind.DART),
            Stroke(sides[k + 1], panel.sides[k + 1], EdgeKind.SEAM, allowance),
        ]
        darts.append(Dart("", name, dart.upper, dart.apex, dart.lower, legs))
    return strokes[::-1], darts
