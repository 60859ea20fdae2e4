"""From the operations of a garment to the few tasks that a plan deals with."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from costing.rules.labour import Group, Operation

BEFORE = "before the fitting"
AFTER = "after the fitting"

TITLES = {
    Group.CUT: "Cut",
    Group.PREPARE: "Prepare",
    Group.SEW: "Sew",
    Group.FINISH: "Finish",
    Group.PRESS: "Press",
}
ORDER = tuple(TITLES)
POSITIONS_A_HALF = 10
FIRST_ADDED = 100
"""Positions from here on are tasks that a fitting added; a draft does not touch them."""


@dataclass(frozen=True, slots=True)
class Joined:
    """Operations of one kind that are done in one go.

    ``position`` is the same for the same kind and half in every garment, so that a new draft finds its old
    tasks. ``minutes`` are standard minutes, rounded up.
    """

    position: int
    group: Group
    title: str
    minutes: int
    after_fitting: bool
    operations: tuple[Operation, ...]


def waits_for_fitting(position: int) -> bool:
    """Tell whether the wearer tries the garment on before the task at that position."""
    return POSITIONS_A_HALF < position < FIRST_ADDED


def turn(position: int) -> tuple[bool, int]:
    """Return what sorts a garment's tasks as they are done: what a fitting added goes before what waits for
    one."""
    return waits_for_fitting(position), position


def join(operations: Sequence[Operation]) -> tuple[Joined, ...]:
    """Return the tasks of a garment in the order in which they are done.

    What comes before the first trying-on is apart from what comes after it, for the wearer stands between.
    Within a half, all operations of a group are one task; pressing as one sews belongs to sewing, and
    pressing between two finishing steps to finishing, for nobody hands a garment over for one seam. Trying
    on itself is no task here, it is a fitting with a time of its own; basting for it is the last of the
    sewing before it.
    """
    fit = [place for place, operation in enumerate(operations) if operation.group is Group.FIT]
    if not fit:
        return tuple(_half(operations, after_fitting=False, halves=1))
    # Each trying-on is listed as its basting, which is work before it, and itself.
    before = [*operations[: fit[0]], *(operations[place] for place in fit[:-1:2])]
    after = [operation for operation in operations[fit[0] :] if operation.group is not Group.FIT]
    return (*_half(before, after_fitting=False, halves=2), *_half(after, after_fitting=True, halves=2))


def _half(operations: Sequence[Operation], *, after_fitting: bool, halves: int) -> Iterator[Joined]:
    places = sorted(
        ((_kind(operations, place), operation) for place, operation in enumerate(operations)),
        key=lambda pair: ORDER.index(pair[0]),
    )
    for group, found in groupby(places, key=lambda pair: pair[0]):
        steps = tuple(operation for _, operation in found)
        where = f" {AFTER if after_fitting else BEFORE}" if halves == 2 and _in_both(group) else ""
        yield Joined(
            position=(POSITIONS_A_HALF if after_fitting else 0) + ORDER.index(group) + 1,
            group=group,
            title=TITLES[group] + where,
            minutes=_whole(steps),
            after_fitting=after_fitting,
            operations=steps,
        )


def _in_both(group: Group) -> bool:
    return group not in {Group.CUT, Group.PREPARE}


def _kind(operations: Sequence[Operation], place: int) -> Group:
    groups = [_done_as(operation) for operation in operations[place:]]
    if groups[0] is not Group.PRESS:
        return groups[0]
    return next((group for group in (Group.SEW, Group.FINISH) if group in groups), Group.PRESS)


def _done_as(operation: Operation) -> Group:
    """Return the group of an operation; what is left of fitting here is basting, which is sewing."""
    return Group.SEW if operation.group is Group.FIT else operation.group


def _whole(steps: Iterable[Operation]) -> int:
    """Return the minutes of the steps, rounded up to a whole one, at least 1."""
    total = sum(step.minutes for step in steps)
    return max(1, int(-(-total // 1)))
