"""The lay plans of a draft as a page shows them: the other ways, and what lies on the shelf for them."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.models import Cloth
from costing.queries import lengths_of, reserved_for
from costing.rules.lengths import SLACK_MM, USEFUL_MM, Length, length_for
from drafting.layplan import LayPlan as Lay
from workshop.jobs.models import Job
from workshop.jobs.queries import latest_of_each
from workshop.orders.models import Draft, GarmentCloth, LayPlan
from workshop.orders.queries.garments import current_lays, cut_for_draft, held_lays, lay_value
from workshop.orders.queries.needs import needs_of_joint
from workshop.orders.rules.buying import as_sold
from workshop.orders.rules.takes import Take, read_takes
from workshop.orders.rules.ways import NO_MATTER_MM, WAYS, read_tried
from workshop.people.models import Workshop

LENGTHS_JOB = "lay_on_lengths"


@dataclass(frozen=True, slots=True)
class OtherWay:
    """Another way to lay the cloth: what it would have one buy, mm, and how much more that is than now.

    ``longer_mm``: how much longer its lay is, below 0 where it is shorter.
    """

    way: str
    words: str
    refused: str
    buy_mm: float
    longer_mm: float
    more_mm: float
    more_money: Decimal


@dataclass(frozen=True, slots=True)
class TakeShown:
    """What a lay takes of one length.

    ``is_there``: it is set aside for it, or free. ``buy_mm``: to buy from the roll.
    """

    take: Take
    is_there: bool
    buy_mm: float


@dataclass(frozen=True, slots=True)
class OnShelf:
    """A length that a lay might be laid on. ``wanted``: chosen, or worth a try where nothing else serves."""

    length: Length
    wanted: bool


@dataclass(frozen=True, slots=True)
class LayShown:
    """A lay plan that holds.

    Args:
        fixed: the way was fixed by the owner.
        price: of the length to buy, at today's price.
        ready: so much is set aside for it; ``is_cut``: it was cut.
        takes: what it takes of each length that it was laid on.
        fits_on: the shortest length on the shelf that serves it with nothing bought, where any one will do.
        shelf: the lengths that it might be laid on.
        remarks: why it is not laid as the owner chose, and what went wrong when it was laid.
    """

    row: LayPlan
    plan: Lay
    way: str
    fixed: bool
    price: Decimal
    ways: tuple[OtherWay, ...]
    ready_mm: float
    is_cut: bool
    takes: tuple[TakeShown, ...]
    fits_on: Length | None
    shelf: tuple[OnShelf, ...]
    roll: bool
    remarks: tuple[str, ...]

    @property
    def buy_mm(self) -> float:
        """What is to buy for it where no cloth lies there yet: of a lay on lengths only from the roll."""
        return sum(row.buy_mm for row in self.takes) if self.takes else float(self.row.buy_length_mm)

    @property
    def is_worth_choosing(self) -> bool:
        """Whether cloth would be bought though some of the shelf might serve."""
        return not self.takes and any(row.wanted for row in self.shelf)

    @property
    def shorter(self) -> OtherWay | None:
        """The shortest way, where the owner fixed another that is longer."""
        ways = [way for way in self.ways if self.fixed and not way.refused and way.longer_mm < -NO_MATTER_MM]
        return min(ways, key=lambda way: way.longer_mm, default=None)


def lays_shown(draft: Draft) -> list[LayShown]:
    """Return the lays of a draft that hold: shell, lining, interfacing."""
    rows = list(current_lays(draft))
    lengths = lengths_of([row.cloth_id for row in rows], but_for=draft.garment_id)
    ready = reserved_for(draft.garment_id)
    cut = cut_for_draft([draft.garment_id])[draft.garment_id]
    chosen = dict(GarmentCloth.objects.filter(garment=draft.garment_id).values_list("role", "lengths"))
    return [
        _shown(row, lengths[row.cloth_id], ready.get(row.cloth_id, 0.0), chosen.get(row.role, []), cut)
        for row in rows
    ]


def lengths_jobs(draft: Draft) -> dict[str, Job]:
    """The newest job that lays a cloth of a draft on other lengths, by the cloth's role."""
    roles = GarmentCloth.Role.values
    jobs = latest_of_each(draft.workshop, LENGTHS_JOB, [f"draft-{draft.pk}-{role}-" for role in roles])
    return {role: job for role, job in zip(roles, jobs, strict=True) if job is not None}


def _shown(
    row: LayPlan, lengths: Sequence[Length], ready_mm: float, chosen: list[int | None], cut: Collection[int]
) -> LayShown:
    is_cut = row.cloth_id in cut
    waits = not is_cut and ready_mm < row.need_mm - SLACK_MM
    takes = _takes(row, lengths, waits=waits)
    fits_on = length_for(lengths, _need(row)) if waits and not takes else None
    lacking = row.need_mm if waits and fits_on is None else 0.0
    way, plan = str(row.inputs.get("way", "")), lay_value(row)
    return LayShown(
        row=row,
        plan=plan,
        way=WAYS.get(way, way),
        fixed=bool(row.inputs.get("fixed")),
        price=money_for(row.cloth, row.buy_length_mm),
        ways=_other_ways(row),
        ready_mm=ready_mm,
        is_cut=is_cut,
        takes=takes,
        fits_on=fits_on,
        shelf=() if is_cut or row.joint_id else tuple(_on_shelf(lengths, chosen, lacking)),
        roll=None in chosen or not chosen,
        remarks=tuple(filter(None, (row.inputs.get("remark"), *(f"{words}." for words in plan.remarks)))),
    )


def takes_of_lay(row: LayPlan) -> tuple[Take, ...]:
    """What a lay takes of each length that it was laid on; none where any one length will do."""
    return read_takes(row.takes)


def _takes(row: LayPlan, lengths: Sequence[Length], *, waits: bool) -> tuple[TakeShown, ...]:
    there = {length.key: length.free for length in lengths}
    return tuple(
        TakeShown(
            take,
            not waits or take.length is None or take.need_mm <= there.get(take.length, 0.0) + SLACK_MM,
            as_sold(take.need_mm, row.cloth.sold_by_mm) if take.length is None else 0.0,
        )
        for take in read_takes(row.takes)
    )


def _on_shelf(lengths: Sequence[Length], chosen: list[int | None], need: float) -> Iterator[OnShelf]:
    """The lengths of a useful size. To try: one that is long enough but for its flaws, else all together."""
    enough = [length for length in lengths if need <= length.free + SLACK_MM]
    for length in lengths:
        if length.free >= USEFUL_MM:
            worth = not enough or length == enough[-1]
            yield OnShelf(length, length.key in chosen if chosen else need > 0 and worth)


def _need(row: LayPlan) -> float:
    """What one length must hold for it: of a joint lay the shares of all that are not cut yet."""
    if row.joint_id is None:
        return float(row.need_mm)
    return sum(need.length_mm for need in needs_of_joint(row.joint_id))


def _other_ways(row: LayPlan) -> tuple[OtherWay, ...]:
    if row.joint_id is not None:
        return ()
    tried = read_tried(row.inputs.get("tried", ()))
    way = row.inputs.get("way")
    own = next((found.length_mm for found in tried if found.way == way), float(row.length_mm))
    return tuple(
        OtherWay(
            other.way,
            other.words,
            other.refused,
            other.buy_length_mm,
            other.length_mm - own,
            other.buy_length_mm - row.buy_length_mm,
            money_for(row.cloth, other.buy_length_mm - row.buy_length_mm),
        )
        for other in tried
        if other.way != way
    )


def lay_of(workshop: Workshop, pk: int) -> LayPlan | None:
    """A lay plan of a workshop that holds, by key; what was superseded is not given out any more."""
    rows = held_lays(workshop=workshop)
    return rows.select_related("cloth", "joint", "draft__garment__order").filter(pk=pk).first()


def money_for(cloth: Cloth, length_mm: float) -> Decimal:
    """What a length of a cloth costs at the price of the list, not rounded."""
    metres = Decimal(str(round(length_mm, 3))) / 1000
    return metres * Decimal(cloth.price_per_metre)
