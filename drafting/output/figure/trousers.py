"""Trousers: front and back of one leg, mirrored for the other."""

from __future__ import annotations

from drafting.output.figure.cloth import cloth_shapes, hem_lines
from drafting.output.figure.ink import both
from drafting.output.figure.panels import Side, beside, panel_of
from drafting.output.figure.skirts import Skirt, upper_edge
from drafting.pattern import Draft, Piece


def _leg(draft: Draft, side: str) -> Piece | None:
    return next(
        (
            piece
            for piece in draft.pieces
            if side in piece.name.split()
            and any(word in piece.name for word in ("trouser", "leg"))
            and any(cut.cloth == "shell" for cut in piece.cuts)
        ),
        None,
    )


def trousers_of(draft: Draft, side: str, sign: float) -> Skirt | None:
    """Return both legs of a side, their upper edge at 0; None where there are none."""
    piece = _leg(draft, side)
    if piece is None:
        return None
    body = beside([panel_of(draft, piece)])
    edge = upper_edge(body)
    lift = -(edge[0][1] if edge else body.top)
    raised = Side((panel_of(draft, piece, lift),))
    shapes = (*cloth_shapes(draft, raised, sign), *both("fine", hem_lines(raised)))
    half = max(p[0] for p in raised.panels[0].ring)
    return Skirt(shapes, half, raised.bottom, upper_edge(raised), raised)
