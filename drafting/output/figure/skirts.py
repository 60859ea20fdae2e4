"""The skirt of a garment: shaped panels are drawn as they lie, others as they hang."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import atan2, degrees, inf

from drafting.geometry import Point
from drafting.output.figure.cloth import cloth_shapes, hem_lines
from drafting.output.figure.hanging import (
    Hanging,
    edge_length,
    folded_away,
    fullness,
    hanging,
    hung_shapes,
    tier_of,
)
from drafting.output.figure.ink import both, stroke
from drafting.output.figure.panels import Line, Side, beside, panel_of, pleated_at_centre
from drafting.output.figure.uppers import of_shell
from drafting.output.shapes import Shape
from drafting.pattern import Draft, EdgeKind, Piece

_LIES_FLAT = 27.0
"""Degrees that a side may lean outward at the hem for its panel to be drawn as it lies (drawing only)."""

_OPENS = 9.0  # mm that a pleat stands open at the hem (drawing only)
_SKIRT_WORDS = {"skirt", "front", "back", "centre", "side", "middle", "gore", "panel"}


def skirt_panels(draft: Draft, side: str) -> list[Piece]:
    """The pieces of the shell that make a side of the skirt, without its lower tiers."""
    found = []
    for piece in draft.pieces:
        words = set(piece.name.split())
        here = side in words or not words & {"front", "back"}
        if here and "skirt" in words and words <= _SKIRT_WORDS and of_shell(piece):
            found.append(piece)
    return found


def lower_tiers(draft: Draft) -> list[Piece]:
    """Rings of strips below the first tier, from above."""
    return [piece for piece in draft.pieces if piece.name.startswith("skirt tier")]


@dataclass(frozen=True, slots=True)
class Skirt:
    """One side of a skirt as drawn; ``half``: how far it reaches from the centre; ``waist``: its upper edge.

    ``raised``: its panels where they hang, for what is marked on them. ``hangs`` in folds, or lies flat.
    """

    shapes: tuple[Shape, ...]
    half: float
    bottom: float
    waist: Line
    raised: Side
    hangs: bool = False


def skirt_of(draft: Draft, side: str, sign: float, top: float, end: Point | None = None) -> Skirt | None:
    """Return the skirt of a side; None where there is none.

    Args:
        draft: the garment.
        side: "front" or "back".
        sign: which half of the picture lies over the other.
        top: height of the seam that it hangs from.
        end: of that seam at the side; None where nothing is above it.
    """
    pieces = skirt_panels(draft, side)
    if not pieces:
        return None
    raised = _raised(draft, pieces, top)
    tiers = lower_tiers(draft)
    if not tiers and _lies_flat(draft, pieces, raised):
        shapes = (
            *cloth_shapes(draft, raised, sign),
            *both("fine", hem_lines(raised)),
            *(_pleat_at_centre(raised) if any(map(pleated_at_centre, pieces)) else ()),
        )
        half = max(p[0] for line in raised.lines("hem") for p in line)
        return Skirt(shapes, half, raised.bottom, upper_edge(raised), raised)
    hung = hanging(draft, pieces, raised, end[0] if end else 0.0)
    return _hung_skirt(replace(hung, drop=end[1] - top if end else 0.0), tiers, top, raised)


def _pleat_at_centre(raised: Side) -> list[Shape]:
    """Where both folds of an inverted pleat meet, and a little of what it opens at the hem."""
    top, foot = upper_edge(raised)[0][1], raised.bottom
    return [
        stroke("seam", (Point(0.0, top), Point(0.0, foot))),
        *both("fold", [(Point(0.0, top - 0.6 * (top - foot)), Point(_OPENS, foot))]),
    ]


def _hung_skirt(first: Hanging, tiers: list[Piece], top: float, raised: Side) -> Skirt:
    shapes, width, bottom = hung_shapes(first, top), first.hem, top - first.length
    for piece in tiers:
        tier = tier_of(piece, width)
        shapes += hung_shapes(tier, bottom)
        width, bottom = tier.hem, bottom - tier.length
    return Skirt(tuple(shapes), width, bottom, (Point(0.0, top), Point(first.waist, top)), raised, hangs=True)


def _raised(draft: Draft, pieces: list[Piece], top: float) -> Side:
    """The panels beside one another, raised so that the waist at the centre lies at ``top``."""
    side = beside([panel_of(draft, piece) for piece in pieces])
    edge = upper_edge(side)
    lift = top - (edge[0][1] if edge else side.top)
    return Side(tuple(panel_of(draft, panel.piece, lift) for panel in side.panels))


def upper_edge(side: Side) -> Line:
    """The waist from the centre outward, darts closed."""
    lines = [
        side.line(index, edge)
        for index, panel in enumerate(side.panels)
        for edge in panel.piece.edges
        if edge.name.startswith("waist") and edge.kind is not EdgeKind.DART
    ]
    return tuple(sorted((p for line in lines for p in line), key=lambda p: p[0]))


def _lies_flat(draft: Draft, pieces: list[Piece], raised: Side) -> bool:
    """Whether none of the panels is gathered, pleated or much flared."""
    pleated = {run.piece for run in draft.pleats}
    if any(piece.name in pleated and not pleated_at_centre(piece) for piece in pieces):
        return False
    below = 0.35 * (raised.top - raised.bottom)
    hem = sum(edge_length(piece, "hem") for piece in pieces) - folded_away(draft, pieces)
    spread = hem - raised.half_width(raised.top - below)
    lean = degrees(atan2(spread, 0.65 * (raised.top - raised.bottom)))
    return fullness(draft, pieces) < 1.05 and max(lean, *map(_lean, pieces)) < _LIES_FLAT


def _lean(piece: Piece) -> float:
    """Degrees that the side leans outward where it meets the hem."""
    lean, lowest = 0.0, inf
    for edge in piece.edges:
        if edge.name.startswith("side"):
            foot = min((edge.path.start, edge.path.end), key=lambda p: p.y)
            tangent = edge.path.end_tangent if foot == edge.path.end else edge.path.start_tangent
            if foot.y < lowest:
                lean, lowest = degrees(atan2(abs(tangent.x), abs(tangent.y))), foot.y
    return lean
