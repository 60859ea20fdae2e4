"""One operation of making a garment, and the sums of a list of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from costing.rules.thread import Stitched


class Group(StrEnum):
    """What kind of work an operation is, for the plan and for who may do it."""

    CUT = "cut"
    PREPARE = "prepare"
    SEW = "sew"
    PRESS = "press"
    FINISH = "finish"
    FIT = "fit"


@dataclass(frozen=True, slots=True)
class Operation:
    """One step of making, in the order in which it is done.

    Args:
        name: what to do, in the workshop's words; once in a list.
        group: kind of work.
        minutes: standard minutes with allowance, divided by the worker's pace.
        stitch_class: ISO 4915, of the main row; empty where nothing is sewn.
        seam_length_mm: length of the seam, all of its repeats together, mm.
        why: how the minutes come about, to be read by the owner.
        order: 1 for the first step.
        phase: of making, see ``costing.rules.worktimes``; a list runs through them in order.
        kind: what is done, wherever it is ("zip", "hem"); steps of one kind share what is learnt of them.
        seam_class: ISO 4916.
        stitches_per_cm: density of the main row.
        stitches_per_minute: speed of its machine while it runs.
        running: minutes of the machine, without allowance.
        handling: minutes of everything else, without allowance.
        allowance: share added to the time worked.
        stitched: every row of stitches, for the thread.
    """

    name: str
    group: Group
    minutes: float
    stitch_class: str = ""
    seam_length_mm: float = 0.0
    why: str = ""
    order: int = 0
    phase: int = 0
    kind: str = ""
    seam_class: str = ""
    stitches_per_cm: float = 0.0
    stitches_per_minute: float = 0.0
    running: float = 0.0
    handling: float = 0.0
    allowance: float = 0.0
    stitched: tuple[Stitched, ...] = ()


def total_minutes(listed: Iterable[Operation]) -> float:
    """Return the minutes of all operations together."""
    return sum(operation.minutes for operation in listed)


def minutes_by_group(listed: Iterable[Operation]) -> dict[Group, float]:
    """Return minutes by kind of work, in the order of making; groups without work left out."""
    sums: dict[Group, float] = {}
    for operation in listed:
        sums[operation.group] = sums.get(operation.group, 0.0) + operation.minutes
    return sums
