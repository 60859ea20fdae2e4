"""What a lay takes of each length of a cloth, and what is set aside for it already."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from costing.rules.lengths import SLACK_MM
from drafting.layplan import LayPlan, buy_length
from drafting.layplan.plan import Used


@dataclass(frozen=True, slots=True)
class Take:
    """So much of one length, mm before shrinking.

    Args:
        length: key of the length on the shelf; None for the roll: any length that is long enough will do.
        name: of the length, as the picture of the lay has it.
        need_mm: what must be there: its part of the lay with the ends.
        cut_mm: what the pieces take.
        pieces: what is cut from it, in cutting order.
    """

    length: int | None
    name: str
    need_mm: float
    cut_mm: float
    pieces: tuple[str, ...] = ()

    def to_json(self) -> dict[str, Any]:
        return {**asdict(self), "pieces": list(self.pieces)}


def read_takes(rows: Iterable[Mapping[str, Any]]) -> tuple[Take, ...]:
    return tuple(Take(**{**row, "pieces": tuple(row.get("pieces", ()))}) for row in rows)


def takes_of(plan: LayPlan, keys: Mapping[str, int]) -> tuple[Take, ...]:
    """What a lay takes of each of its lengths, the roll last; none where it is laid on the roll alone.

    Args:
        plan: the lay.
        keys: of the lengths on the shelf, by the names that they have in the lay.
    """
    if not plan.cloth.stretches:
        return ()
    return tuple(_take(plan, used, keys.get(used.name)) for used in plan.used)


def _take(plan: LayPlan, used: Used, key: int | None) -> Take:
    need = buy_length(used.length, plan.cloth, increment_mm=1.0)
    whole = next((row.length for row in plan.cloth.stretches if key and row.name == used.name), need)
    return Take(
        key, used.name, min(need, whole), used.length / (1 - plan.cloth.shrinkage_length), used.pieces
    )


def serving(wants: Sequence[tuple[int | None, float]], held: Mapping[int, float]) -> list[int | None]:
    """Say which length that is set aside serves each want; None for a want that none serves.

    Args:
        wants: of one garment and one cloth: the length that it was laid on (or None), and mm of it.
        held: what is set aside for the garment, mm by length.

    A want is served by its own length, else by the least that is enough; several may share one length.
    """
    left = dict(held)
    served: list[int | None] = [None] * len(wants)
    for number in sorted(range(len(wants)), key=lambda n: (wants[n][0] is None, -wants[n][1])):
        own, mm = wants[number]
        enough = [key for key, there in left.items() if mm <= there + SLACK_MM]
        if enough:
            key = own if own is not None and own in enough else min(enough, key=lambda key: (left[key], key))
            served[number] = key
            left[key] -= mm
    return served
