"""The garments of a joint lay by letters: numbers on its picture are the order of cutting."""

from __future__ import annotations

from dataclasses import replace

from drafting.layplan import LayPlan


def letter(number: int) -> str:
    """``1`` -> ``A``; from 1 to 26."""
    return chr(ord("A") + number - 1)


def lettered(plan: LayPlan) -> LayPlan:
    """Return a lay of several garments with its pieces called ``A sleeve`` in the place of ``1 sleeve``."""
    return replace(
        plan,
        placed=tuple(replace(placed, piece=_lettered(placed.piece)) for placed in plan.placed),
        matched=tuple(map(_lettered, plan.matched)),
        unmatched=tuple(map(_lettered, plan.unmatched)),
    )


def _lettered(name: str) -> str:
    number, _, rest = name.partition(" ")
    return f"{letter(int(number))} {rest}" if number.isdecimal() else name
