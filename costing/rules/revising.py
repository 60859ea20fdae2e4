"""The owner's own word on an operation list: her minutes, her order, steps added and taken off.

A revision is kept beside the draft and put on whatever list the draft gives, so that it outlives a new draft
of the same garment: each part speaks of an operation by its name, and one that a new draft no longer has is
told, not guessed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from costing.errors import BadAmount
from costing.rules.labour import Group, Operation, total_minutes
from costing.rules.worktimes import FIT, PHASE_TITLES

MOST_MINUTES = 6000.0
"""Of one operation: a hundred hours."""
MOST_ADDED = 40
LONGEST_NAME = 120
ADDED_WHY = "added by the workshop"


@dataclass(frozen=True, slots=True)
class Added:
    """An operation that no rule gives: what to do, kind of work, standard minutes, and its phase."""

    name: str
    group: Group
    minutes: float
    phase: int

    def __post_init__(self) -> None:
        if not self.name.strip() or len(self.name) > LONGEST_NAME:
            raise BadAmount(f"Say in up to {LONGEST_NAME} letters what is done.", field="added_name")
        if self.group is Group.FIT or self.phase == FIT:
            raise BadAmount("A trying-on is booked as a fitting; add other work here.", field="added_group")
        if not 0 <= self.phase < len(PHASE_TITLES):
            raise BadAmount("Choose when it is done.", field="added_phase")
        _check_minutes(self.name, self.minutes, "added_minutes")


@dataclass(frozen=True, slots=True)
class Revision:
    """What the owner changes of a reckoned list; all parts name operations.

    Args:
        minutes: hers in place of the reckoned ones, standard minutes with allowance.
        removed: not done at all.
        added: done beside what the draft asks for.
        order: of a phase, the names in the order in which she has them done. What the list has beside these
            comes after them.
    """

    minutes: Mapping[str, float] = field(default_factory=dict)
    removed: frozenset[str] = frozenset()
    added: tuple[Added, ...] = ()
    order: Mapping[int, tuple[str, ...]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for name, value in self.minutes.items():
            _check_minutes(name, value, "minutes")
        if len(self.added) > MOST_ADDED:
            raise BadAmount(f"At most {MOST_ADDED} operations are added to a garment.", field="added_name")

    def to_json(self) -> dict[str, Any]:
        return {
            "minutes": dict(self.minutes),
            "removed": sorted(self.removed),
            "added": [[one.name, str(one.group), one.minutes, one.phase] for one in self.added],
            "order": [[phase, list(names)] for phase, names in sorted(self.order.items())],
        }

    @classmethod
    def read(cls, stored: Mapping[str, Any]) -> Revision:
        """The revision that ``to_json`` wrote."""
        return cls(
            minutes=dict(stored["minutes"]),
            removed=frozenset(stored["removed"]),
            added=tuple(
                Added(name, Group(group), minutes, phase) for name, group, minutes, phase in stored["added"]
            ),
            order={phase: tuple(names) for phase, names in stored["order"]},
        )


@dataclass(frozen=True, slots=True)
class Revised:
    """The list as it is worked by. ``missed``: names of the revision that the list does not have."""

    operations: tuple[Operation, ...]
    missed: tuple[str, ...] = ()


def revised(listed: Sequence[Operation], revision: Revision) -> Revised:
    """Return a reckoned list with the owner's revision put on it, numbered anew.

    Raises: BadAmount where trying on would be taken apart, or an added operation has a name of the list.
    """
    names = {operation.name for operation in listed}
    for one in revision.added:
        if one.name in names:
            raise BadAmount(f"The list has {one.name!r} already; change its minutes.", field="added_name")
        names.add(one.name)
    _refuse_half_a_fitting(listed, revision)
    kept = [_timed(one, revision) for one in (*listed, *map(_operation, revision.added))]
    kept = [operation for operation in kept if operation.name not in revision.removed]
    kept.sort(key=lambda operation: (operation.phase, _place(operation, revision)))
    spoken = {*revision.minutes, *revision.removed, *(n for row in revision.order.values() for n in row)}
    return Revised(
        tuple(replace(operation, order=place) for place, operation in enumerate(kept, start=1)),
        tuple(sorted(spoken - names)),
    )


def difference(before: Sequence[Operation], after: Sequence[Operation]) -> str:
    """Return in words how two lists of one garment differ; empty where they do not."""
    return "; ".join(_differences(before, after))


def _differences(before: Sequence[Operation], after: Sequence[Operation]) -> Iterator[str]:
    old, new = ({operation.name: operation for operation in rows} for rows in (before, after))
    yield from (f"added {name!r}, {_words(new[name])}" for name in new if name not in old)
    yield from (f"took off {name!r}, {_words(old[name])}" for name in old if name not in new)
    for name in old:
        if name in new and abs(old[name].minutes - new[name].minutes) >= 0.05:
            yield f"{name}: {old[name].minutes:.1f} to {_words(new[name])}"
    shared = [[name for name in rows if name in old and name in new] for rows in (old, new)]
    if shared[0] != shared[1]:
        moved = {old[a].phase for a, b in zip(*shared, strict=True) if a != b}
        yield f"another order in {', '.join(PHASE_TITLES[phase] for phase in sorted(moved))}"
    if before and abs(total_minutes(after) - total_minutes(before)) >= 0.05:
        yield f"in all {total_minutes(before):.0f} to {total_minutes(after):.0f} min"


def _words(operation: Operation) -> str:
    return f"{operation.minutes:.1f} min"


def _check_minutes(name: str, minutes: float, field_name: str) -> None:
    if not 0 <= minutes <= MOST_MINUTES:  # also refuses NaN
        raise BadAmount(f"Minutes for {name!r} must be from 0 to {MOST_MINUTES:.0f}.", field=field_name)


def _refuse_half_a_fitting(listed: Iterable[Operation], revision: Revision) -> None:
    """Basting serves the trying-on: the plan takes the two for one place in the order."""
    fitting = {operation.name for operation in listed if operation.group is Group.FIT}
    if fitting & revision.removed and fitting - revision.removed:
        raise BadAmount("Take off the basting and the trying-on together, or neither.", field="removed")


def _operation(one: Added) -> Operation:
    return Operation(one.name, one.group, one.minutes, why=ADDED_WHY, phase=one.phase, kind="added")


def _timed(operation: Operation, revision: Revision) -> Operation:
    minutes = revision.minutes.get(operation.name)
    if minutes is None:
        return operation
    why = f"set by the workshop; reckoned: {operation.minutes:.1f} min"
    return replace(operation, minutes=float(minutes), why=why)


def _place(operation: Operation, revision: Revision) -> int:
    names = revision.order.get(operation.phase, ())
    return names.index(operation.name) if operation.name in names else len(names)
