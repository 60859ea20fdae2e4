"""Check 8: facings and linings match what they are sewn to; darts have equal legs and fold cleanly."""

from __future__ import annotations

from typing import Final

from drafting.geometry import distance
from drafting.pattern import Check, Dart, Draft, EdgeRef, Piece, Seam
from drafting.truing.continuations import SMOOTH_DEG
from drafting.truing.corner import inner_angle_deg
from drafting.truing.roles import Role, of_role
from drafting.truing.seams import LENGTH_LIMIT, length_error

LEG_LIMIT: Final = 0.5  # mm
PLACE_LIMIT: Final = 0.1  # mm between a dart as listed and its leg edges


def facing_and_dart_checks(draft: Draft) -> list[Check]:
    """Return the rows of all facing and lining seams, dart seams and darts."""
    rows = [row for seam in of_role(draft, Role.FACING) for row in _of_facing(draft, seam)]
    rows += [
        Check(f"dart legs sewn together: {seam.name}", length_error(draft, seam), LEG_LIMIT)
        for seam in of_role(draft, Role.DART)
    ]
    return rows + [row for dart in draft.darts for row in _of_dart(draft, dart)]


def _of_facing(draft: Draft, seam: Seam) -> list[Check]:
    rows = [Check(f"joined edges match: {seam.name}", length_error(draft, seam), LENGTH_LIMIT)]
    spread = _spread_error(draft, seam)
    if spread is not None:
        rows.append(Check(f"joined edges have one shape: {seam.name}", spread, LENGTH_LIMIT))
    return rows


def _spread_error(draft: Draft, seam: Seam) -> float | None:
    """How much the straight distance of the ends differs, mm: equal for edges of one shape.

    None where a side has several edges (its shape depends on how they are sewn) or ease is intended.
    """
    if len(seam.a) != 1 or len(seam.b) != 1 or seam.ease:
        return None
    return abs(_spread(draft, seam.a[0]) - _spread(draft, seam.b[0]))


def _spread(draft: Draft, ref: EdgeRef) -> float:
    path = draft.piece(ref.piece).edge(ref.edge).path
    return distance(path.start, path.end)


def _of_dart(draft: Draft, dart: Dart) -> list[Check]:
    legs = abs(distance(dart.start, dart.apex) - distance(dart.end, dart.apex))
    rows = [Check(f"dart legs are equal: {dart.piece}, {dart.name}", legs, LEG_LIMIT)]
    if dart.leg_edges is None:
        return rows
    piece = draft.piece(dart.piece)
    return [
        *rows,
        Check(f"dart lies on its edges: {dart.piece}, {dart.name}", _misplaced(piece, dart), PLACE_LIMIT),
        Check(f"folded dart crosses its seam: {dart.piece}, {dart.name}", _kink_deg(piece, dart), SMOOTH_DEG),
    ]


def _misplaced(piece: Piece, dart: Dart) -> float:
    first, second = _legs(piece, dart)
    ends = (
        (piece.edges[first].path.start, dart.start),
        (piece.edges[first].path.end, dart.apex),
        (piece.edges[second].path.end, dart.end),
    )
    turned = ((ends[0][0], dart.end), ends[1], (ends[2][0], dart.start))
    return min(max(distance(a, b) for a, b in pairs) for pairs in (ends, turned))


def _kink_deg(piece: Piece, dart: Dart) -> float:
    """The kink of the seam line across the dart once its legs lie on one another, degrees."""
    first, second = _legs(piece, dart)
    edges = piece.edges
    before, after = edges[first - 1], edges[(second + 1) % len(edges)]
    into = inner_angle_deg(piece, before.name, edges[first].name)
    out_of = inner_angle_deg(piece, edges[second].name, after.name)
    return abs(into + out_of - 180.0)


def _legs(piece: Piece, dart: Dart) -> tuple[int, int]:
    """Indexes of the leg edges in the order of the outline."""
    names = [edge.name for edge in piece.edges]
    one, other = (names.index(name) for name in dart.leg_edges or ())
    return (one, other) if (one + 1) % len(names) == other else (other, one)
