"""Lays put one behind the other: what laying garments together must at least be as good as."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

from drafting.layplan import LayPlan, Placed, buy_length
from drafting.layplan.outline import moved

FOUND_BY = "the garments' own lays, end to end"


def end_to_end(plans: Sequence[LayPlan], increment_mm: float) -> LayPlan | None:
    """Return the lays of several garments one behind the other, pieces named ``1 sleeve``, ``2 sleeve``.

    On a cloth with a repeat each begins where the repeat does. None where they do not lie alike: in several
    ways, on lengths of their own, or folded crosswise.

    Args:
        plans: one a garment, in the order of their numbers.
        increment_mm: what the seller rounds a length to.
    """
    cloth = plans[0].cloth
    if any(plan.cloth != cloth for plan in plans) or cloth.stretches or cloth.crosswise:
        return None
    placed: list[Placed] = []
    length = 0.0
    for number, plan in enumerate(plans, start=1):
        start = _next_start(length, cloth.gap, cloth.repeat_length)
        placed += [_at(row, number, start) for row in plan.placed]
        length = start + plan.length
    whole = sum(plan.length for plan in plans)
    used = sum(plan.utilisation * plan.length for plan in plans) / whole
    return replace(
        plans[0],
        length=length,
        buy_length=buy_length(length, cloth, increment_mm),
        utilisation=used * whole / length,
        seconds=0.0,
        placed=tuple(placed),
        found_by=FOUND_BY,
        remarks=(),
        matched=tuple(f"{n} {name}" for n, plan in enumerate(plans, start=1) for name in plan.matched),
        unmatched=tuple(f"{n} {name}" for n, plan in enumerate(plans, start=1) for name in plan.unmatched),
    )


def _next_start(length: float, gap: float, repeat: float) -> float:
    if not length:
        return 0.0
    start = length + gap
    return ceil(start / repeat - 1e-9) * repeat if repeat else start


def _at(placed: Placed, number: int, start: float) -> Placed:
    return replace(placed, piece=f"{number} {placed.piece}", outline=moved(placed.outline, start, 0.0))
