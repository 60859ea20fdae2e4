"""What is written in a piece besides its name and how it is cut (those come from the cutting list)."""

from __future__ import annotations

from drafting.pattern import EdgeKind, Piece

_WORDS = {EdgeKind.SEAM: "seam", EdgeKind.HEM: "hem", EdgeKind.OPENING: "opening"}


def with_remarks(piece: Piece) -> Piece:
    """Return the piece with a remark that says which allowances its cut line holds; once, at the end."""
    remark = allowance_remark(piece)
    return piece if remark in piece.remarks else piece.with_(remarks=(*piece.remarks, remark))


def allowance_remark(piece: Piece) -> str:
    """Say the allowances in mm: ``allowances drawn: seam 15, hem 40 mm``."""
    parts = []
    for kind, word in _WORDS.items():
        widths = sorted({edge.allowance for edge in piece.edges if edge.kind is kind})
        if any(widths):
            parts.append(f"{word} {' or '.join(f'{width:.3g}' for width in widths)}")
    return f"allowances drawn: {', '.join(parts)} mm" if parts else "no allowance: cut on the line"
