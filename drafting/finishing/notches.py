"""Notches in pairs: a long seam without any gets one on both sides, so that it cannot be sewn shifted."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Final

from drafting.finishing.walk import joints, notch_at, walked_notches
from drafting.pattern import Draft, Method, Notch, Piece, Seam

LONG_SEAM: Final = 200.0
"""mm; a seam longer than this without a notch gets one (common practice, no source)."""

SHARES: Final = (0.4, 0.45, 0.35, 0.3, 0.55)
"""Where on the seam: not the middle, so that a side turned end for end shows (common practice, no source)."""

_OFF_JOINTS: Final = 10.0  # mm between a notch and a joint that a seam crosses
_MATCHED: Final = (Method.PLAIN, Method.FACED, Method.LINED, Method.ZIP, Method.ENCLOSED)
_UNEASED: Final = 1.0  # mm


def with_notches(draft: Draft) -> Draft:
    """Return the draft with the missing notches; those on the back of an armhole are double."""
    for seam in draft.seams:
        if seam.method in _MATCHED and abs(seam.ease) <= _UNEASED:
            draft = _completed(draft, seam)
    draft = replace(draft, pieces=tuple(map(_back_armhole_doubled, draft.pieces)))
    for seam in draft.seams:
        draft = _counts_agreed(draft, seam)
    return draft


def _completed(draft: Draft, seam: Seam) -> Draft:
    """Notch a long seam without notches; give the bare side of a half-notched one its mates."""
    on_a, on_b = walked_notches(draft, seam.a), walked_notches(draft, seam.b)
    if not on_a and not on_b:
        shorter = min(draft.side_length(seam.a), draft.side_length(seam.b))
        if shorter <= LONG_SEAM:
            return draft
        at = _place(draft, seam, shorter)
        return _with_new(draft, dict.fromkeys(notch_at(draft, side, at) for side in (seam.a, seam.b)))
    if on_a and on_b:
        return draft
    bare = seam.b if on_a else seam.a
    return _with_new(draft, [notch_at(draft, bare, met.at, met.notch.count) for met in (*on_a, *on_b)])


def _place(draft: Draft, seam: Seam, length: float) -> float:
    """A distance that keeps off the joints of both sides; the first share where none does."""
    passed = (*joints(draft, seam.a), *joints(draft, seam.b))
    for share in SHARES:
        if all(abs(share * length - joint) >= _OFF_JOINTS for joint in passed):
            return share * length
    return SHARES[0] * length


def _with_new(draft: Draft, new: Iterable[tuple[str, Notch]]) -> Draft:
    of_piece: dict[str, list[Notch]] = defaultdict(list)
    # A seam of a piece to its own mirror image has both its notches at one place.
    for name, notch in new:
        of_piece[name].append(notch)
    return _with_notches_of(draft, {name: (*draft.piece(name).notches, *of_piece[name]) for name in of_piece})


def _with_notches_of(draft: Draft, changed: Mapping[str, tuple[Notch, ...]]) -> Draft:
    pieces = (p.with_(notches=changed[p.name]) if p.name in changed else p for p in draft.pieces)
    return replace(draft, pieces=tuple(pieces))


def _back_armhole_doubled(piece: Piece) -> Piece:
    """Double the notches of a back's armhole (common practice, no source)."""
    if "back" not in piece.name:
        return piece
    notches = tuple(
        replace(notch, count=max(2, notch.count)) if "armhole" in notch.edge else notch
        for notch in piece.notches
    )
    return piece.with_(notches=notches)


def _counts_agreed(draft: Draft, seam: Seam) -> Draft:
    """Where both sides have as many notches, mates are single or double alike."""
    on_a, on_b = walked_notches(draft, seam.a), walked_notches(draft, seam.b)
    if len(on_a) != len(on_b):
        return draft
    for one, other in zip(on_a, on_b, strict=True):
        count = max(one.notch.count, other.notch.count)
        for met in (one, other):
            if met.notch.count != count:
                draft = _recounted(draft, met.piece, met.notch, count)
    return draft


def _recounted(draft: Draft, name: str, old: Notch, count: int) -> Draft:
    notches = draft.piece(name).notches
    return _with_notches_of(draft, {name: tuple(replace(n, count=count) if n == old else n for n in notches)})
