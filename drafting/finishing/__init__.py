"""From stitch lines to a pattern that can be cut: cut lines, notches, and what is written in the pieces."""

from __future__ import annotations

from dataclasses import replace

from drafting.finishing.cut_line import cut_line
from drafting.finishing.notches import with_notches
from drafting.finishing.remarks import with_remarks
from drafting.pattern import Draft

__all__ = ["cut_line", "finish", "with_notches", "with_remarks"]


def finish(draft: Draft) -> Draft:
    """Return the draft with a cut line, notches and remarks in each piece.

    Cut lines follow the allowance of each edge and the rule of each corner. Notches that the recipe left
    are kept; long seams without any get one on both sides. Finishing a finished draft changes nothing.
    """
    noted = with_notches(draft)
    pieces = tuple(with_remarks(piece).with_(cut_line=cut_line(piece)) for piece in noted.pieces)
    return replace(noted, pieces=pieces)
