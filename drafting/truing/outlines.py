"""Check 1: every outline is closed, simple, oriented, of positive area; every edge is named."""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from drafting.geometry import distance, polygon_area
from drafting.geometry.rings import as_polygon
from drafting.pattern import FINE, Check, Draft, Piece

GAP_LIMIT: Final = 0.001  # mm between the end of an edge and the start of the next


def outline_checks(draft: Draft) -> list[Check]:
    """Return two rows a piece, and one for the names of the pieces."""
    rows = [row for piece in draft.pieces for row in _of_piece(piece)]
    names = [piece.name for piece in draft.pieces]
    twice = len(names) - len({name for name in names if name})
    return [*rows, Check("pieces without a name of their own", twice, 0)]


def _of_piece(piece: Piece) -> list[Check]:
    wrong = _faults(piece)
    return [
        Check(f"outline closed: {piece.name}", _widest_gap(piece), GAP_LIMIT),
        Check(f"outline simple and every edge named: {piece.name}", len(wrong), 0, "; ".join(wrong)),
    ]


def _widest_gap(piece: Piece) -> float:
    """The widest gap between neighbouring edges, mm."""
    edges = piece.edges
    if not edges:
        return math.inf
    following = (*edges[1:], edges[0])
    return max(
        distance(edge.path.end, after.path.start) for edge, after in zip(edges, following, strict=True)
    )


def _faults(piece: Piece) -> list[str]:
    rows = piece.ring
    names = [edge.name for edge in piece.edges]
    if not np.isfinite(rows).all():
        return ["a point is not a number"]
    wrong = []
    if len(rows) < 3 or not polygon_area(piece.outline(FINE)) > 0:
        wrong.append("no area to the left of its line")
    elif not as_polygon(rows).is_valid:
        wrong.append("the line crosses itself")
    if not all(names) or len(set(names)) < len(names):
        wrong.append("an edge has no name of its own")
    return wrong
