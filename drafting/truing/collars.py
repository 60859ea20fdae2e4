"""Check 5: a collar fits its neckline; a grown-on lapel, rolled over, stays on the front."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import shapely

from drafting.geometry import Point, angle_between, distance, dot, mirrored, rotated, unit
from drafting.geometry.rings import as_polygon
from drafting.pattern import FINE, Check, Draft, EdgeRef, Piece, RollLine
from drafting.truing.roles import Role, of_role
from drafting.truing.seams import length_error

NECK_LIMIT: Final = 1.5  # mm
LAPEL_LIMIT: Final = 0.5  # mm that a rolled lapel may stand out of its front
_UPPER: Final = 0.35  # of a princess seam: above the bust both of its edges are of one shape
Ring = Sequence[Point]


def collar_checks(draft: Draft) -> list[Check]:
    """Return a row for each collar seam and two for each roll line."""
    necks = [
        Check(f"collar on its neckline: {seam.name}", length_error(draft, seam), NECK_LIMIT)
        for seam in of_role(draft, Role.COLLAR)
    ]
    return necks + [row for line in draft.roll_lines for row in _of_roll_line(draft, line)]


def _of_roll_line(draft: Draft, line: RollLine) -> list[Check]:
    piece = draft.piece(line.piece)
    rows = []
    if "facing" not in piece.name:  # a facing lies on its front once turned, and may be narrower
        rows.append(
            Check(
                f"rolled lapel stays on its piece: {piece.name}",
                lapel_overhang(piece, line, beside_it(draft, piece)),
                LAPEL_LIMIT,
            )
        )
    ends = [edge.name for edge in piece.edges if _is_collar_back(edge.name)]
    if ends:
        open_ends = sum(not _closed(draft, piece.name, end) for end in ends)
        rows.append(Check(f"collar closes at the centre back: {piece.name}", open_ends, 0))
    return rows


def lapel_overhang(piece: Piece, line: RollLine, more: Sequence[Ring] = ()) -> float:
    """How far the lapel stands out of its piece once mirrored over the roll line, mm.

    The lapel is what the ``outer`` edges bound between the ends of the roll line; what lies above its upper
    end is collar, and rolls around the neck. ``more``: what of the same front lies beside the piece.
    """
    along = unit(line.end - line.start)
    length = distance(line.start, line.end)
    rolled = [
        mirrored(point, line.start, line.end)
        for name in line.outer
        for point in piece.edge(name).path.flatten()
        if 0 <= dot(point - line.start, along) <= length
    ]
    if not rolled:
        return 0.0
    rings = (piece.outline(FINE), *more)
    ground = shapely.union_all([shapely.make_valid(as_polygon(ring)) for ring in rings])
    return float(max(shapely.distance(ground, shapely.points(rolled))))


def beside_it(draft: Draft, piece: Piece) -> list[Ring]:
    """The panels that a princess line parts from a piece, laid against the upper part of their seam."""
    found = []
    for seam in draft.seams:
        for (mine, *rest), (theirs, *others) in ((seam.a, seam.b), (seam.b, seam.a)):
            if mine.piece == piece.name and "princess" in mine.edge and not rest and not others:
                found.append(_laid_against(draft, mine, theirs))
    return found


def _laid_against(draft: Draft, mine: EdgeRef, theirs: EdgeRef) -> Ring:
    own, other = (next(draft.walk((ref,))) for ref in (mine, theirs))
    if own.end.y > own.start.y:
        own, other = own.reversed(), other.reversed()
    reach = _UPPER * min(own.length, other.length)
    turn = angle_between(other.point_at(reach) - other.start, own.point_at(reach) - own.start)
    shift = own.start - other.start
    return [rotated(p + shift, turn, own.start) for p in draft.piece(theirs.piece).outline(FINE)]


def _closed(draft: Draft, piece: str, edge: str) -> bool:
    """Whether the collar's end is sewn to its own mirror image, or to its facing's (which closes the end)."""
    return any(
        any((ref.piece, ref.edge) == (piece, edge) for ref in side)
        and all(_is_collar_back(ref.edge) for ref in other)
        for seam in draft.seams
        for side, other in ((seam.a, seam.b), (seam.b, seam.a))
    )


def _is_collar_back(edge: str) -> bool:
    return "collar" in edge and "back" in edge
