"""Which lengths of a cloth lie on the shelf, from what came and went.

A garment is cut from one length: two remnants of a metre are not two metres. Nobody writes down from which
length a piece was cut, so it is taken from the shortest that was long enough, as a thrifty hand does.
Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

USEFUL_MM = 300.0
"""A shorter remnant is not offered: at most a pocket comes out of it. Common practice, no source."""

SLACK_MM = 0.5
"""Two lengths that differ by less are the same to a pair of shears."""

_IN, _OUT = {"bought", "returned"}, {"cut", "wasted"}


@dataclass(frozen=True, slots=True)
class Move:
    """``kind`` is bought, returned, reserved, released, cut or wasted; ``amount`` is above zero, mm."""

    kind: str
    amount: float
    garment_id: int | None = None


@dataclass(slots=True)
class _Length:
    """One length, and what of it is set aside: mm by garment."""

    left: float
    held: dict[int | None, float] = field(default_factory=dict)

    @property
    def free(self) -> float:
        return self.left - sum(self.held.values())


def free_lengths(moves: Iterable[Move]) -> tuple[float, ...]:
    """Return what is free of each length on the shelf, the longest first, mm; whole lengths used up are gone.

    The moves come in their order. More than any one length holds is taken from several, the longest first.
    """
    shelf: list[_Length] = []
    for move in moves:
        if move.kind in _IN:
            shelf.append(_Length(move.amount))
        elif move.kind == "reserved":
            _take(shelf, move, _set_aside)
        elif move.kind == "released":
            _release(shelf, move)
        elif move.kind in _OUT:
            _take(shelf, move, _cut_off)
    free = sorted((round(length.free, 3) for length in shelf), reverse=True)
    return tuple(mm for mm in free if mm > SLACK_MM)


def _set_aside(length: _Length, mm: float, garment_id: int | None) -> None:
    length.held[garment_id] = length.held.get(garment_id, 0.0) + mm


def _cut_off(length: _Length, mm: float, garment_id: int | None) -> None:
    length.left -= mm
    length.held.pop(garment_id, None)


def _take(shelf: list[_Length], move: Move, how: Callable[[_Length, float, int | None], None]) -> None:
    left = move.amount
    for length in _to_take_from(shelf, move):
        mm = min(left, length.free)
        if mm > 0:
            how(length, mm, move.garment_id)
            left -= mm
        if left <= SLACK_MM:
            return


def _to_take_from(shelf: list[_Length], move: Move) -> list[_Length]:
    """The length that lay ready for the garment, else the shortest that is long enough, else the longest."""
    ready = [
        length for length in shelf if move.garment_id in length.held and length.free >= move.amount - SLACK_MM
    ]
    enough = sorted(
        (length for length in shelf if length.free >= move.amount - SLACK_MM),
        key=lambda length: length.free,
    )
    rest = sorted(shelf, key=lambda length: -length.free)
    return [*ready, *enough[:1], *rest]


def _release(shelf: list[_Length], move: Move) -> None:
    """Free what is held; the garment's name stays on the length, from which it is cut next."""
    left = move.amount
    for length in shelf:
        mm = min(left, length.held.get(move.garment_id, 0.0))
        if mm > 0:
            length.held[move.garment_id] -= mm
            left -= mm
