"""Cloth that comes, is set aside, is cut, goes. The shelf never holds less than nothing."""

from __future__ import annotations

from datetime import datetime
from math import isfinite

from django.db import transaction

from costing.errors import BadAmount, CostingError
from costing.models import Cloth, Flaw, Notion, StockMove
from costing.queries import held_lengths, lengths_of, lying_of, reserved_for, stock_of
from costing.rules.lengths import SLACK_MM, Length, length_for

LONGEST_MM = 1_000_000
MOST_NOTIONS = 10_000


class NotInStock(CostingError):
    """More cloth is asked for than lies free on the shelf."""


@transaction.atomic
def buy_cloth(*, cloth: Cloth, length_mm: float, now: datetime, note: str = "") -> StockMove:
    """Put a bought length on the shelf. Raises: BadAmount."""
    return _move(_locked(cloth), StockMove.Kind.BOUGHT, length_mm, now, note=note)


@transaction.atomic
def reserve_cloth(
    *, cloth: Cloth, length_mm: float, garment_id: int, now: datetime, taken_from: int | None = None
) -> StockMove:
    """Set one length aside for a garment: from the one that is named, else the shortest that is long enough.

    Raises: BadAmount, NotInStock (says how much is lacking).
    """
    _refuse_length(length_mm)
    cloth = _locked(cloth)
    free = stock_of([cloth.pk])[cloth.pk].free
    if length_mm > free + SLACK_MM:
        lacking = (length_mm - max(free, 0.0)) / 1000
        raise NotInStock(f"{lacking:.2f} m of {cloth.name} are lacking; buy them first.")
    length = _one_length(cloth, length_mm, taken_from)
    return _move(
        cloth,
        StockMove.Kind.RESERVED,
        _at_most(length_mm, length.free),
        now,
        garment_id=garment_id,
        taken_from=length.key,
    )


def _one_length(cloth: Cloth, length_mm: float, taken_from: int | None) -> Length:
    """Return the length to take so much from. Raises: NotInStock."""
    lengths = lengths_of([cloth.pk])[cloth.pk]
    if taken_from is None:
        found = length_for(lengths, length_mm)
    else:
        found = next((row for row in lengths if row.key == taken_from), None)
    if found is None or length_mm > found.free + SLACK_MM:
        longest = max((row.sound for row in lengths), default=0.0)
        raise NotInStock(
            f"No length of {cloth.name} is {length_mm / 1000:.2f} m long; the longest that lies free is "
            f"{longest / 1000:.2f} m."
        )
    return found


@transaction.atomic
def release_cloth(*, garment_id: int, now: datetime, cloth_id: int | None = None) -> None:
    """Free what is set aside for a garment, of one cloth or of all; nothing set aside is fine."""
    for key in sorted(reserved_for(garment_id)):
        if cloth_id not in {None, key}:
            continue
        cloth = _locked(Cloth(pk=key))
        held = reserved_for(garment_id).get(key)  # read again: another may have freed it meanwhile
        if held:
            _move(cloth, StockMove.Kind.RELEASED, held, now, garment_id=garment_id)


@transaction.atomic
def release_length(*, cloth: Cloth, garment_id: int, length: int, now: datetime) -> None:
    """Free what a garment has set aside on one length of a cloth; nothing set aside there is fine."""
    cloth = _locked(cloth)
    held = _held(cloth, garment_id).get(length, 0.0)
    if held:
        _move(cloth, StockMove.Kind.RELEASED, held, now, garment_id=garment_id, taken_from=length)


@transaction.atomic
def cut_cloth(
    *, cloth: Cloth, length_mm: float, garment_id: int, now: datetime, taken_from: int | None = None
) -> StockMove:
    """Take a cut length off the shelf: from the length that is named, else from that which lies ready.

    What the garment has set aside there is freed with it; where no length is named, all of the cloth.

    Raises: BadAmount, NotInStock.
    """
    cloth = _locked(cloth)
    held = _held(cloth, garment_id)
    ready_on = max(held, key=lambda key: held[key], default=None) if taken_from is None else taken_from
    for key in sorted(held) if taken_from is None else [taken_from]:
        release_length(cloth=cloth, garment_id=garment_id, length=key, now=now)
    length_mm = _from_shelf(cloth, length_mm)
    lengths = lengths_of([cloth.pk])[cloth.pk]
    ready = next((row for row in lengths if row.key == ready_on), None)
    if ready is None or length_mm > ready.free + SLACK_MM:
        ready = length_for(lengths, length_mm)
    # Where no one length is so long, several are cut up, and which they are is reckoned (rules.lengths).
    return _move(
        cloth,
        StockMove.Kind.CUT,
        length_mm,
        now,
        garment_id=garment_id,
        taken_from=None if ready is None else ready.key,
    )


def _held(cloth: Cloth, garment_id: int) -> dict[int, float]:
    """What a garment has set aside of a cloth, mm by length."""
    return held_lengths([garment_id]).get((garment_id, cloth.pk), {})


@transaction.atomic
def return_cloth(
    *,
    cloth: Cloth,
    length_mm: float,
    now: datetime,
    garment_id: int | None = None,
    note: str = "",
    taken_from: int | None = None,
) -> StockMove:
    """Put a length back on the shelf, of a garment where it was cut for one.

    ``taken_from``: the length that it never was off. Raises: BadAmount.
    """
    return _move(
        _locked(cloth),
        StockMove.Kind.RETURNED,
        length_mm,
        now,
        garment_id=garment_id,
        note=note,
        taken_from=taken_from,
    )


@transaction.atomic
def waste_cloth(
    *,
    cloth: Cloth,
    length_mm: float,
    now: datetime,
    note: str = "",
    garment_id: int | None = None,
    taken_from: int | None = None,
) -> StockMove:
    """Take a spoilt length off the shelf, of the length that is named; of a garment where it was cut for one.

    Raises: BadAmount, NotInStock.
    """
    cloth = _locked(cloth)
    length_mm = _from_shelf(cloth, length_mm)
    if taken_from is not None:
        taken_from = _one_length(cloth, length_mm, taken_from).key
    return _move(
        cloth, StockMove.Kind.WASTED, length_mm, now, garment_id=garment_id, note=note, taken_from=taken_from
    )


@transaction.atomic
def note_flaw(
    *,
    length: StockMove,
    at_mm: float,
    across_mm: float,
    size_mm: float,
    now: datetime,
    note: str = "",
) -> Flaw:
    """Note a flaw of a length that lies on the shelf.

    ``at_mm`` is measured from where the length begins now, what is set aside of it included; it is kept from
    where it began when it came.

    Raises: BadAmount where it lies beyond the cloth, NotInStock where nothing of the length is left.
    """
    cloth = _locked(Cloth(pk=length.cloth_id))
    here = next((row for row in lying_of(cloth.pk) if row.key == length.pk), None)
    if here is None:
        raise NotInStock("Nothing of this length lies there any more.")
    for value, most, field in (
        (at_mm, here.left, "at"),
        (across_mm, cloth.width_mm, "across"),
        (size_mm, cloth.width_mm, "size"),
    ):
        if not isfinite(value) or not 0 <= value <= most or (field == "size" and value == 0):
            raise BadAmount(
                f"A flaw lies on the cloth: up to {most / 10:.0f} cm here, and it has a size.", field=field
            )
    return Flaw.objects.create(
        workshop_id=length.workshop_id,
        length=length,
        at_mm=at_mm + here.gone,
        across_mm=across_mm,
        size_mm=size_mm,
        note=note[:200],
        noted_at=now,
    )


@transaction.atomic
def drop_flaw(*, flaw: Flaw) -> None:
    """Take a flaw that was noted by mistake off its length."""
    _locked(Cloth(pk=flaw.length.cloth_id))
    Flaw.objects.filter(pk=flaw.pk).delete()


def buy_notion(*, notion: Notion, count: float, garment_id: int, now: datetime) -> StockMove:
    """Note that notions were bought for a garment. Raises: BadAmount."""
    if not isfinite(count) or not 0 < count <= MOST_NOTIONS:
        raise BadAmount(f"Notions are bought by the piece: from 1 to {MOST_NOTIONS}.", field="count")
    return _notion_move(notion, StockMove.Kind.BOUGHT, count, garment_id, now)


def pass_on_notion(*, notion: Notion, count: float, from_id: int, to_id: int, now: datetime) -> StockMove:
    """Note that notions bought for one garment are another's now: given back by one, set aside for it.

    Inside the caller's transaction.
    """
    back = _notion_move(notion, StockMove.Kind.RETURNED, count, from_id, now)
    return _notion_move(notion, StockMove.Kind.RESERVED, count, to_id, now, taken_from=back)


def _locked(cloth: Cloth) -> Cloth:
    """Two writers of one cloth's stock wait for each other on its row."""
    return Cloth.objects.select_for_update().get(pk=cloth.pk)


def _at_most(length_mm: float, free: float) -> float:
    """What is moved never takes the stock below nothing, though the shears may slip by half a millimetre."""
    return min(length_mm, free) if free > 0 else length_mm


def _from_shelf(cloth: Cloth, length_mm: float) -> float:
    """Return the length to take off the shelf. Raises: NotInStock where it does not lie free there."""
    _refuse_length(length_mm)
    stock = stock_of([cloth.pk])[cloth.pk]
    if length_mm > stock.free + SLACK_MM:
        raise NotInStock(
            f"Only {stock.free / 1000:.2f} m of {cloth.name} lie free; note what was bought first."
        )
    return _at_most(length_mm, stock.free)


def _refuse_length(length_mm: float) -> None:
    if not isfinite(length_mm) or not 0 < length_mm <= LONGEST_MM:
        raise BadAmount("A length of cloth is above zero and at most 1,000 m.", field="length")


def _move(
    cloth: Cloth,
    kind: str,
    length_mm: float,
    now: datetime,
    *,
    garment_id: int | None = None,
    note: str = "",
    taken_from: int | None = None,
) -> StockMove:
    _refuse_length(length_mm)
    return StockMove.objects.create(
        workshop_id=cloth.workshop_id,
        cloth=cloth,
        kind=kind,
        amount=length_mm,
        garment_id=garment_id,
        taken_from_id=taken_from,
        note=note[:200],
        at=now,
    )


def _notion_move(
    notion: Notion,
    kind: str,
    count: float,
    garment_id: int,
    now: datetime,
    *,
    taken_from: StockMove | None = None,
) -> StockMove:
    return StockMove.objects.create(
        workshop_id=notion.workshop_id,
        notion=notion,
        kind=kind,
        amount=count,
        garment_id=garment_id,
        taken_from=taken_from,
        at=now,
    )
