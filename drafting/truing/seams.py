"""Check 2: the two sides of a seam differ by its ease, and their notches pair up."""

from __future__ import annotations

from itertools import pairwise
from typing import Final

from drafting.finishing.walk import WalkedNotch, joints, walked_notches
from drafting.pattern import Check, Draft, EdgeKind, EdgeRef, Method, Notch, Seam
from drafting.truing.roles import Role, of_role

LENGTH_LIMIT: Final = 1.0  # mm
NOTCH_LIMIT: Final = 1.0  # mm


def seam_checks(draft: Draft) -> list[Check]:
    """Return a row for the lengths of each plain seam, one for its notches, two for what has no mate."""
    lengths = [
        Check(f"seam: {seam.name}", length_error(draft, seam), LENGTH_LIMIT)
        for seam in of_role(draft, Role.PLAIN)
    ]
    notches = [
        Check(f"notches of seam: {seam.name}", worst, NOTCH_LIMIT)
        for seam in draft.seams
        if (worst := _worst_pair(draft, seam)) is not None
    ]
    alone = unsewn_edges(draft)
    return [
        *lengths,
        *notches,
        Check("notches without a mate", _lone_notches(draft), 0),
        Check("edges sewn to nothing", len(alone), 0, "; ".join(alone)),
    ]


def unsewn_edges(draft: Draft) -> tuple[str, ...]:
    """Return the seam edges and dart legs that no seam lists, as "piece: edge"."""
    sewn = {(ref.piece, ref.edge) for seam in draft.seams for ref in (*seam.a, *seam.b)}
    return tuple(
        f"{piece.name}: {edge.name}"
        for piece in draft.pieces
        for edge in piece.edges
        if edge.kind in {EdgeKind.SEAM, EdgeKind.DART} and (piece.name, edge.name) not in sewn
    )


def length_error(draft: Draft, seam: Seam) -> float:
    """How far length a - length b is from the intended ease, mm."""
    return abs(draft.side_length(seam.a) - draft.side_length(seam.b) - seam.ease)


def _worst_pair(draft: Draft, seam: Seam) -> float | None:
    """The worst distance of a notch, on the side that has fewer, from the nearest on the other side.

    None where a side has none. Along a pleated side lengths say nothing: its notches mark pleats.
    """
    if seam.method is Method.PLEATED:
        return None
    on_a, on_b = walked_notches(draft, seam.a), walked_notches(draft, seam.b)
    if not on_a or not on_b:
        return None
    if len(on_a) == len(on_b):
        together = zip(on_a, on_b, strict=True)
        return max(_apart(draft, seam, one, other) for one, other in together)
    if len(on_a) < len(on_b):
        return max(min(_apart(draft, seam, one, other) for other in on_b) for one in on_a)
    return max(min(_apart(draft, seam, one, other) for one in on_a) for other in on_b)


def _apart(draft: Draft, seam: Seam, on_a: WalkedNotch, on_b: WalkedNotch) -> float:
    """How far a notch of side a lies from one of side b, mm."""
    return _between(draft, seam, on_a.at, on_b.at)


def _between(draft: Draft, seam: Seam, at_a: float, at_b: float) -> float:
    """How far a place on side a lies from one on side b, mm.

    The ease of a seam may lie before the place or after it, so that the nearer end counts.
    """
    length_a, length_b = draft.side_length(seam.a), draft.side_length(seam.b)
    from_start = abs(at_a - at_b)
    if abs(seam.ease) <= LENGTH_LIMIT:
        return from_start
    from_end = abs((length_a - at_a) - (length_b - at_b))
    in_share = abs(at_a * length_b / length_a - at_b)
    return min(from_start, from_end, in_share)


def _crossed(draft: Draft, refs: tuple[EdgeRef, ...]) -> list[float]:
    """Where one side of a seam passes from piece to piece, mm from its start."""
    passed = joints(draft, refs)[1:-1]
    return [at for at, (one, other) in zip(passed, pairwise(refs), strict=True) if one.piece != other.piece]


def _lone_notches(draft: Draft) -> int:
    """How many notches have no mate on any seam of their edge.

    The seam that another side crosses is a mate, too: the crown of a sleeve meets the shoulder seam.
    """
    mated: set[tuple[str, Notch]] = set()
    for seam in draft.seams:
        on_a, on_b = walked_notches(draft, seam.a), walked_notches(draft, seam.b)
        if seam.method is Method.PLEATED:
            mated.update((met.piece, met.notch) for met in (*on_a, *on_b))
        mated.update(
            (one.piece, one.notch)
            for one in on_a
            if any(_between(draft, seam, one.at, at) <= NOTCH_LIMIT for at in _crossed(draft, seam.b))
        )
        mated.update(
            (one.piece, one.notch)
            for one in on_b
            if any(_between(draft, seam, at, one.at) <= NOTCH_LIMIT for at in _crossed(draft, seam.a))
        )
        for one in on_a:
            for other in on_b:
                if _apart(draft, seam, one, other) <= NOTCH_LIMIT:
                    mated.update(((one.piece, one.notch), (other.piece, other.notch)))
    return sum((piece.name, notch) not in mated for piece in draft.pieces for notch in piece.notches)
