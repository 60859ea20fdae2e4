"""Notches as they are met when one side of a seam is walked from its start."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.pattern import Draft, EdgeRef, Notch


@dataclass(frozen=True, slots=True)
class WalkedNotch:
    """A notch of a piece and its distance from the start of the seam, mm."""

    at: float
    piece: str
    notch: Notch


def walked_notches(draft: Draft, refs: tuple[EdgeRef, ...]) -> tuple[WalkedNotch, ...]:
    """Return the notches of one side of a seam in the order in which they are met."""
    met: list[WalkedNotch] = []
    walked = 0.0
    for ref in refs:
        piece = draft.piece(ref.piece)
        length = piece.edge(ref.edge).length
        for notch in piece.notches:
            if notch.edge == ref.edge:
                met.append(
                    WalkedNotch(walked + (length - notch.at if ref.reverse else notch.at), piece.name, notch)
                )
        walked += length
    return tuple(sorted(met, key=lambda one: one.at))


def notch_at(draft: Draft, refs: tuple[EdgeRef, ...], at: float, count: int = 1) -> tuple[str, Notch]:
    """Return the piece and the notch that lie ``at`` mm along one side of a seam."""
    walked = 0.0
    for ref in refs:
        length = draft.piece(ref.piece).edge(ref.edge).length
        if at <= walked + length or ref is refs[-1]:
            along = min(max(at - walked, 0.0), length)
            return ref.piece, Notch(ref.edge, length - along if ref.reverse else along, count)
        walked += length
    raise ValueError("one side of the seam has no edge")


def joints(draft: Draft, refs: tuple[EdgeRef, ...]) -> tuple[float, ...]:
    """Distances at which one side of a seam passes from edge to edge, its ends included."""
    ends = [0.0]
    for ref in refs:
        ends.append(ends[-1] + draft.piece(ref.piece).edge(ref.edge).length)
    return tuple(ends)
