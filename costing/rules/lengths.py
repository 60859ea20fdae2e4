"""Which lengths of a cloth lie on the shelf, from what came and went.

A lay is cut from one length unless it was laid on several: two remnants of a metre are not two metres. A
length is known by the move with which it came, and a move says which length it was taken from. Where it does
not, the shortest that was long enough is taken, as a thrifty hand does. Cloth is cut from a length's
beginning. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

USEFUL_MM = 300.0
"""A shorter remnant is not offered: at most a pocket comes out of it. Common practice, no source."""

SLACK_MM = 0.5
"""Two lengths that differ by less are the same to a pair of shears."""

_IN, _OUT = {"bought", "returned"}, {"cut", "wasted"}


@dataclass(frozen=True, slots=True)
class Move:
    """``kind`` is bought, returned, reserved, released, cut or wasted; ``amount`` is above zero, mm.

    ``key`` names the move, ``taken_from`` the one with which the length came that it was taken from.
    """

    kind: str
    amount: float
    garment_id: int | None = None
    key: int | None = None
    taken_from: int | None = None


@dataclass(frozen=True, slots=True)
class Spot:
    """A flaw: its middle along the length, its middle across from the left edge, its diameter; mm."""

    at: float
    across: float
    size: float

    @property
    def end(self) -> float:
        return self.at + self.size / 2


@dataclass(frozen=True, slots=True)
class Length:
    """What is free of one length on the shelf, mm. ``flaws`` count from where the free cloth begins.

    Args:
        key: of the move with which it came.
        free: nobody has it set aside.
        is_remnant: something was cut off it, or it came back.
    """

    key: int | None
    free: float
    flaws: tuple[Spot, ...] = ()
    is_remnant: bool = False

    @property
    def sound(self) -> float:
        """From its beginning to the first flaw: what any lay may count on."""
        first = min((flaw.at - flaw.size / 2 for flaw in self.flaws), default=self.free)
        return max(0.0, min(first, self.free))


@dataclass(slots=True)
class _Shelved:
    """One length: what is left of it and was taken, and what of it is set aside: mm by garment."""

    key: int | None
    left: float
    is_remnant: bool = False
    gone: float = 0.0
    held: dict[int | None, float] = field(default_factory=dict)

    @property
    def free(self) -> float:
        return self.left - sum(self.held.values())

    @property
    def begins(self) -> float:
        """Where its free cloth begins, from where it began when it came."""
        return self.gone + sum(self.held.values())


def lengths_on_shelf(
    moves: Iterable[Move], flaws: Mapping[int, Sequence[Spot]] | None = None, *, but_for: int | None = None
) -> tuple[Length, ...]:
    """Return each length of which something is free, the longest first.

    Args:
        moves: in their order. More than any one length holds is taken from several, the longest first.
        flaws: of each length by key, from where it began when it came.
        but_for: a garment for which what it has set aside itself is as good as free.
    """
    shelf = _shelf(moves)
    for length in shelf if but_for is not None else ():
        length.held.pop(but_for, None)
    found = [_as_length(row, (flaws or {}).get(row.key or 0, ())) for row in shelf]
    return tuple(
        sorted((row for row in found if row.free > SLACK_MM), key=lambda row: (-row.free, row.key or 0))
    )


@dataclass(frozen=True, slots=True)
class Lying:
    """One length as it lies there, mm: what is left of it, what was cut off it, and who has some of it."""

    key: int
    left: float
    gone: float
    holders: tuple[int, ...]


def lying(moves: Iterable[Move]) -> tuple[Lying, ...]:
    """Return each length of which something is left, set aside or not, the longest first."""
    rows = [row for row in _shelf(moves) if row.key is not None and row.left > SLACK_MM]
    return tuple(
        Lying(row.key or 0, round(row.left, 3), row.gone, tuple(sorted(_holders(row))))
        for row in sorted(rows, key=lambda row: (-row.left, row.key or 0))
    )


def _holders(row: _Shelved) -> Iterator[int]:
    yield from (pk for pk, mm in row.held.items() if pk is not None and mm > SLACK_MM)


def _as_length(row: _Shelved, flaws: Sequence[Spot]) -> Length:
    begins = row.begins
    ahead = tuple(
        Spot(flaw.at - begins, flaw.across, flaw.size)
        for flaw in sorted(flaws, key=lambda flaw: (flaw.at, flaw.across))
        if begins < flaw.end and flaw.at - flaw.size / 2 < begins + row.free
    )
    return Length(row.key, round(row.free, 3), ahead, row.is_remnant or row.gone > SLACK_MM)


def free_lengths(moves: Iterable[Move]) -> tuple[float, ...]:
    """Return what is free of each length on the shelf, the longest first, mm; lengths used up are gone."""
    return tuple(length.free for length in lengths_on_shelf(moves))


def length_for(lengths: Iterable[Length], amount: float) -> Length | None:
    """Return the shortest length that an amount goes on without a flaw; None where none is long enough."""
    enough = [length for length in lengths if amount <= length.sound + SLACK_MM]
    return min(enough, key=lambda length: (length.free, length.key or 0), default=None)


def held_by_garment(moves: Iterable[Move]) -> dict[int, dict[int, float]]:
    """Return what is set aside for each garment, mm by the length that it lies on."""
    found: dict[int, dict[int, float]] = {}
    for row in _shelf(moves):
        for garment_id, mm in row.held.items():
            if garment_id is not None and row.key is not None and mm > SLACK_MM:
                found.setdefault(garment_id, {})[row.key] = mm
    return found


def _shelf(moves: Iterable[Move]) -> list[_Shelved]:
    shelf: list[_Shelved] = []
    for move in moves:
        if move.kind in _IN:
            _put(shelf, move)
        elif move.kind == "reserved":
            _take(shelf, move, _set_aside)
        elif move.kind == "released":
            _release(shelf, move)
        elif move.kind in _OUT:
            _take(shelf, move, _cut_off)
    return shelf


def _put(shelf: list[_Shelved], move: Move) -> None:
    """A length comes; what was cut less of one than was noted was never off it."""
    for length in shelf:
        if move.taken_from is not None and length.key == move.taken_from:
            length.left += move.amount
            length.gone = max(0.0, length.gone - move.amount)
            return
    shelf.append(_Shelved(move.key, move.amount, move.kind == "returned"))


def _set_aside(length: _Shelved, mm: float, garment_id: int | None) -> None:
    length.held[garment_id] = length.held.get(garment_id, 0.0) + mm


def _cut_off(length: _Shelved, mm: float, garment_id: int | None) -> None:
    length.left -= mm
    length.gone += mm
    length.held.pop(garment_id, None)


def _take(shelf: list[_Shelved], move: Move, how: Callable[[_Shelved, float, int | None], None]) -> None:
    left = move.amount
    for length in _to_take_from(shelf, move):
        mm = min(left, length.free)
        if mm > 0:
            how(length, mm, move.garment_id)
            left -= mm
        if left <= SLACK_MM:
            return


def _to_take_from(shelf: list[_Shelved], move: Move) -> Iterator[_Shelved]:
    """The length that was said; that which lay ready; the shortest that is long enough; else the longest."""
    if move.taken_from is not None:
        yield from (length for length in shelf if length.key == move.taken_from)
    enough = [length for length in shelf if length.free >= move.amount - SLACK_MM]
    yield from (length for length in enough if move.garment_id in length.held)
    yield from sorted(enough, key=lambda length: length.free)[:1]
    yield from sorted(shelf, key=lambda length: -length.free)


def _release(shelf: list[_Shelved], move: Move) -> None:
    """Free what is held; the garment's name stays on the length, from which it is cut next."""
    left = move.amount
    named = [length for length in shelf if move.taken_from is not None and length.key == move.taken_from]
    for length in named or shelf:
        mm = min(left, length.held.get(move.garment_id, 0.0))
        if mm > 0:
            length.held[move.garment_id] -= mm
            left -= mm
