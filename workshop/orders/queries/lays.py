"""The lay plans of a draft as a page shows them: the other ways, and what lies on the shelf for them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.models import Cloth
from costing.queries import lengths_of, reserved_for
from costing.rules.lengths import SLACK_MM, Length, length_for
from drafting.layplan import LayPlan as Lay
from workshop.orders.models import Draft, LayPlan
from workshop.orders.queries.garments import current_lays, cut_for_draft, held_lays, lay_value
from workshop.orders.queries.needs import needs_of_joint
from workshop.orders.rules.ways import WAYS, read_tried
from workshop.people.models import Workshop


@dataclass(frozen=True, slots=True)
class OtherWay:
    """Another way to lay the cloth: what it would have one buy, mm, and how much more that is than now."""

    way: str
    words: str
    refused: str
    buy_mm: float
    more_mm: float
    more_money: Decimal


@dataclass(frozen=True, slots=True)
class LayShown:
    """A lay plan that holds.

    Args:
        fixed: the way was fixed by the owner.
        price: of the length to buy, at today's price.
        ready: so much is set aside for it; ``is_cut``: it was cut.
        fits_on: the length on the shelf that serves it with nothing bought; it was laid on that one, or it is
            the shortest that is long enough.
        flawed: where there is none, lengths that are long enough but for their flaws.
    """

    row: LayPlan
    plan: Lay
    way: str
    fixed: bool
    price: Decimal
    ways: tuple[OtherWay, ...]
    ready_mm: float
    is_cut: bool
    fits_on: Length | None
    flawed: tuple[Length, ...]


def lays_shown(draft: Draft) -> list[LayShown]:
    """Return the lays of a draft that hold: shell, lining, interfacing."""
    rows = list(current_lays(draft).select_related("on_length"))
    lengths = lengths_of([row.cloth_id for row in rows])
    ready = reserved_for(draft.garment_id)
    cut = cut_for_draft([draft.garment_id])[draft.garment_id]
    return [
        _shown(row, lengths[row.cloth_id], ready.get(row.cloth_id, 0.0), is_cut=row.cloth_id in cut)
        for row in rows
    ]


def _shown(row: LayPlan, lengths: Sequence[Length], ready_mm: float, *, is_cut: bool) -> LayShown:
    waits = not is_cut and ready_mm < row.need_mm - SLACK_MM
    need = _need(row) if waits else 0.0
    laid_on = next((length for length in lengths if length.key == row.on_length_id), None) if waits else None
    fits_on = laid_on or (length_for(lengths, need) if waits else None)
    flawed = [
        length
        for length in lengths
        if waits and fits_on is None and row.joint_id is None and length.sound < need <= length.free
    ]
    way = str(row.inputs.get("way", ""))
    return LayShown(
        row=row,
        plan=lay_value(row),
        way=WAYS.get(way, way),
        fixed=bool(row.inputs.get("fixed")),
        price=money_for(row.cloth, row.buy_length_mm),
        ways=_other_ways(row),
        ready_mm=ready_mm,
        is_cut=is_cut,
        fits_on=fits_on,
        flawed=tuple(flawed),
    )


def _need(row: LayPlan) -> float:
    """What one length must hold for it: of a joint lay the shares of all that are not cut yet."""
    if row.joint_id is None:
        return float(row.need_mm)
    return sum(need.length_mm for need in needs_of_joint(row.joint_id))


def _other_ways(row: LayPlan) -> tuple[OtherWay, ...]:
    if row.joint_id is not None:
        return ()
    tried = read_tried(row.inputs.get("tried", ()))
    return tuple(
        OtherWay(
            other.way,
            other.words,
            other.refused,
            other.buy_length_mm,
            other.buy_length_mm - row.buy_length_mm,
            money_for(row.cloth, other.buy_length_mm - row.buy_length_mm),
        )
        for other in tried
        if other.way != row.inputs.get("way")
    )


def lay_of(workshop: Workshop, pk: int) -> LayPlan | None:
    """A lay plan of a workshop that holds, by key; what was superseded is not given out any more."""
    rows = held_lays(workshop=workshop)
    return rows.select_related("cloth", "joint", "draft__garment__order").filter(pk=pk).first()


def money_for(cloth: Cloth, length_mm: float) -> Decimal:
    """What a length of a cloth costs at the price of the list, not rounded."""
    metres = Decimal(str(round(length_mm, 3))) / 1000
    return metres * Decimal(cloth.price_per_metre)
