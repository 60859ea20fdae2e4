"""The inner angle of a piece between two neighbouring edges."""

from __future__ import annotations

from math import degrees

from drafting.geometry import angle_between
from drafting.pattern import Piece


def inner_angle_deg(piece: Piece, before: str, after: str) -> float:
    """Return the angle inside the outline where ``before`` ends and ``after`` starts, degrees in [0, 360).

    Raises: KeyError where the piece has no such edge.
    """
    arriving = piece.edge(before).path.end_tangent
    leaving = piece.edge(after).path.start_tangent
    return 180.0 - degrees(angle_between(arriving, leaving))
