"""A draft as SVG: one piece, all pieces, and the finished garment.

Every picture is true to scale when printed as it is (width and height in mm), shrinks to the width of its
page on a screen, and carries its own style, whose rules are all below the class ``pattern`` or ``garment``.
"""

from __future__ import annotations

from html import escape
from math import sqrt

from drafting.output.arrange import Place, arrange, laid, piece_box
from drafting.output.cutting import piece_cutting
from drafting.output.drawing import SCREEN_STYLE, STYLE, piece_drawing
from drafting.output.garment import garment_svg
from drafting.output.shapes import Drawing, number, svg_body
from drafting.pattern import Draft, Piece
from drafting.units import Unit, format_length

__all__ = ["draft_svg", "garment_svg", "picture", "piece_svg"]

_MARGIN = 10.0
_GAP = 30.0


def piece_svg(piece: Piece, *, unit: Unit, lettered: bool = True) -> str:
    """Return one piece as an SVG picture of its own size plus a margin of 10 mm.

    ``lettered=False`` leaves out the words on it, for a picture too small to read them.
    """
    box = piece_box(piece)
    place = Place(_MARGIN, _MARGIN)
    drawing = piece_drawing(laid(piece, place), unit=unit, largest=_name_size(box.width), lettered=lettered)
    cuts = ", ".join(f"{line.cloth}: {line.words}" for line in piece_cutting(piece))
    size = f"{format_length(box.width, unit)} by {format_length(box.height, unit)} {unit}"
    return picture(
        drawing,
        width=box.width + 2 * _MARGIN,
        height=box.height + 2 * _MARGIN,
        title=piece.name,
        description=f"Pattern piece, {size}. {cuts}.",
    )


def draft_svg(draft: Draft, *, unit: Unit, title: str) -> str:
    """Return all pieces of a draft side by side, at one scale."""
    boxes = [piece_box(piece) for piece in draft.pieces]
    area = sum((box.width + _GAP) * (box.height + _GAP) for box in boxes)
    width = max([sqrt(area) * 1.15, *(box.width for box in boxes)])
    plan = arrange(boxes, width, _GAP)
    assert plan is not None  # the paper is as wide as the widest piece
    shift = [Place(p.x + _MARGIN, p.y + _MARGIN, p.turned) for p in plan.places]
    drawing = Drawing.together(
        piece_drawing(laid(piece, place), unit=unit, largest=_name_size(box.width))
        for piece, place, box in zip(draft.pieces, shift, boxes, strict=True)
    )
    return picture(
        drawing,
        width=plan.width + 2 * _MARGIN,
        height=plan.height + 2 * _MARGIN,
        title=title,
        description="Pattern pieces: " + ", ".join(piece.name for piece in draft.pieces) + ".",
    )


def picture(drawing: Drawing, *, width: float, height: float, title: str, description: str) -> str:
    """Return a drawing as an SVG picture, mm, with its title and description for those who do not see it."""
    name = escape(title, quote=True)
    w, h = number(width), number(height)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="pattern" role="img" aria-label="{name}"'
        f' width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">'
        f"<title>{name}</title><desc>{escape(description)}</desc><style>{STYLE}{SCREEN_STYLE}</style>"
        f"{svg_body(drawing)}</svg>"
    )


def _name_size(width: float) -> float:
    """Size of a piece's name on a screen, where a large piece is shown small."""
    return min(max(width * 0.075, 8.0), 40.0)
