"""From pins to ties: which items hold each other on the lattice of a repeat, and which matches cannot be.

Positions that must agree but for whole repeats are kept as a forest of items with offsets (the usual
union-find with differences); a match that would contradict those before it is left out and told.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from drafting.layplan.cloth import Cloth
from drafting.layplan.items import LayItem
from drafting.layplan.outline import extent
from drafting.layplan.strip import ABSOLUTE, Tie

#: Two points match where their phases of the repeat differ by no more than this, mm: less than a seam shifts
#: under the presser foot. Common practice, no source.
MATCH_LIMIT = 0.5

#: Marks a match across the cloth, beside the one along it.
ACROSS = ", across"


@dataclass(frozen=True, slots=True)
class Ties:
    """For each item its tie along x and along y, None where it is free; names of matches held and not."""

    x: tuple[Tie | None, ...]
    y: tuple[Tie | None, ...]
    matched: tuple[str, ...] = ()
    unmatched: tuple[str, ...] = ()


def ties_of(items: Sequence[LayItem], cloth: Cloth) -> Ties:
    """The ties of pinned items on a cloth with a repeat.

    Args:
        items: as they are laid, the grain along x.
        cloth: its repeats say along which axes is matched; its width, what has room to move across.
    """
    x, y = _Lattice(len(items), cloth.repeat_length), _Lattice(len(items), cloth.repeat_width)
    for axis, lattice in enumerate((x, y)):
        if lattice.step:
            for name, pins in pins_by_name(items, across=axis == 1):
                lattice.join(name, [(index, pin[axis]) for index, pin in pins])
    y.fit([cloth.usable_width - extent(item.polygon)[1] for item in items])
    matched = (*x.names(held=True), *y.names(held=True))
    return Ties(x.ties(), y.ties(), matched, (*x.names(held=False), *y.names(held=False)))


def pins_by_name(
    items: Sequence[LayItem], *, across: bool
) -> Iterator[tuple[str, list[tuple[int, tuple[float, float]]]]]:
    """Each name with (item, (x, y)) of its pins, mm; across the cloth those only that are matched across."""
    found: dict[str, list[tuple[int, tuple[float, float]]]] = {}
    for index, item in enumerate(items):
        for pin in item.pins:
            if pin.across or not across:
                found.setdefault(pin.name + (ACROSS if across else ""), []).append((index, (pin.x, pin.y)))
    for name, pins in found.items():
        if len({index for index, _ in pins}) > 1:
            yield name, pins


def apart(first: float, second: float, step: float) -> float:
    """How far two positions are from lying whole steps apart, mm."""
    rest = (first - second) % step
    return min(rest, step - rest)


@dataclass(slots=True)
class _Lattice:
    """One axis: ``root[i]`` and ``offset[i]``, the position of item i less that of its root, but for
    steps."""

    count: int
    step: float
    root: list[int] = field(init=False)
    offset: list[float] = field(init=False)
    held: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.root = list(range(self.count))
        self.offset = [0.0] * self.count

    def join(self, name: str, pins: list[tuple[int, float]]) -> None:
        """Tie the items of the pins (item, distance from its corner) together, unless that cannot be."""
        before = self.root.copy(), self.offset.copy()
        (first, at), *others = pins
        for item, own in others:
            if not self._tie(first, item, at - own):
                self.root, self.offset = before
                self.missed.append(name)
                return
        self.held.append(name)

    def _tie(self, first: int, item: int, way: float) -> bool:
        """Have ``item`` lie ``way`` beyond ``first``, but for whole steps; False where that cannot be."""
        wanted = self.offset[first] + way
        if self.root[first] == self.root[item]:
            return apart(wanted, self.offset[item], self.step) <= MATCH_LIMIT / 2
        old, shift = self.root[item], wanted - self.offset[item]
        for index in range(self.count):
            if self.root[index] == old:
                self.root[index] = self.root[first]
                self.offset[index] += shift
        return True

    def fit(self, slacks: list[float]) -> None:
        """Give groups with an item that has less room than a step a place at which all of them fit.

        ``slacks``: how far each item can move, mm. A group without such a place is untied.
        """
        for root in {root for root in self.root if self.root.count(root) > 1}:
            group = [index for index in range(self.count) if self.root[index] == root]
            tight = [index for index in group if slacks[index] < self.step]
            if tight:
                self._place(group, self._phase(tight, slacks))

    def _phase(self, tight: list[int], slacks: list[float]) -> float | None:
        ends = [end - self.offset[index] for index in tight for end in (0.0, slacks[index])]
        for phase in ends:
            lowest = [(phase + self.offset[index] + 1e-9) % self.step for index in tight]
            if all(low <= slacks[index] + 2e-9 for low, index in zip(lowest, tight, strict=True)):
                return phase
        return None

    def _place(self, group: list[int], phase: float | None) -> None:
        for index in group:
            self.root[index] = index if phase is None else ABSOLUTE
            self.offset[index] += phase or 0.0
        if phase is None:
            lost = [name for name in self.held if name.endswith(ACROSS)]
            self.missed += lost
            self.held = [name for name in self.held if name not in lost]

    def names(self, *, held: bool) -> list[str]:
        return self.held if held else self.missed

    def ties(self) -> tuple[Tie | None, ...]:
        """Only where more than one item shares a lattice, or where the lattice has its place."""
        return tuple(
            Tie(root, offset % self.step) if root == ABSOLUTE or self.root.count(root) > 1 else None
            for root, offset in zip(self.root, self.offset, strict=True)
        )
