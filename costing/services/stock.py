"""Cloth that comes, is set aside, is cut, goes. The shelf never holds less than nothing."""

from __future__ import annotations

from datetime import datetime
from math import isfinite

from django.db import transaction

from costing.errors import BadAmount, CostingError
from costing.models import Cloth, Notion, StockMove
from costing.queries import free_lengths_of, reserved_for, stock_of

LONGEST_MM = 1_000_000
MOST_NOTIONS = 10_000
SLACK_MM = 0.5
"""Two lengths that differ by less are the same to a pair of shears."""


class NotInStock(CostingError):
    """More cloth is asked for than lies free on the shelf."""


@transaction.atomic
def buy_cloth(*, cloth: Cloth, length_mm: float, now: datetime, note: str = "") -> StockMove:
    """Put a bought length on the shelf. Raises: BadAmount."""
    return _move(_locked(cloth), StockMove.Kind.BOUGHT, length_mm, now, note=note)


@transaction.atomic
def reserve_cloth(*, cloth: Cloth, length_mm: float, garment_id: int, now: datetime) -> StockMove:
    """Set one length aside for a garment. Raises: BadAmount, NotInStock (says how much is lacking)."""
    _refuse_length(length_mm)
    cloth = _locked(cloth)
    free = stock_of([cloth.pk])[cloth.pk].free
    if length_mm > free + SLACK_MM:
        lacking = (length_mm - max(free, 0.0)) / 1000
        raise NotInStock(f"{lacking:.2f} m of {cloth.name} are lacking; buy them first.")
    longest = max(free_lengths_of([cloth.pk])[cloth.pk], default=0.0)
    if length_mm > longest + SLACK_MM:
        raise NotInStock(
            f"No length of {cloth.name} is {length_mm / 1000:.2f} m long; the longest that lies free is "
            f"{longest / 1000:.2f} m."
        )
    return _move(cloth, StockMove.Kind.RESERVED, _at_most(length_mm, free), now, garment_id=garment_id)


@transaction.atomic
def release_cloth(*, garment_id: int, now: datetime) -> None:
    """Free everything that is set aside for a garment; nothing set aside is fine."""
    for cloth_id in sorted(reserved_for(garment_id)):
        cloth = _locked(Cloth(pk=cloth_id))
        held = reserved_for(garment_id).get(cloth_id)  # read again: another may have freed it meanwhile
        if held:
            _move(cloth, StockMove.Kind.RELEASED, held, now, garment_id=garment_id)


@transaction.atomic
def cut_cloth(*, cloth: Cloth, length_mm: float, garment_id: int, now: datetime) -> StockMove:
    """Take a cut length off the shelf; what was set aside of it for the garment is freed with it.

    Raises: BadAmount, NotInStock.
    """
    cloth = _locked(cloth)
    held = reserved_for(garment_id).get(cloth.pk, 0.0)
    if held:
        _move(cloth, StockMove.Kind.RELEASED, held, now, garment_id=garment_id)
    length_mm = _from_shelf(cloth, length_mm)
    return _move(cloth, StockMove.Kind.CUT, length_mm, now, garment_id=garment_id)


@transaction.atomic
def return_cloth(
    *, cloth: Cloth, length_mm: float, now: datetime, garment_id: int | None = None, note: str = ""
) -> StockMove:
    """Put a length back on the shelf, of a garment where it was cut for one. Raises: BadAmount."""
    return _move(_locked(cloth), StockMove.Kind.RETURNED, length_mm, now, garment_id=garment_id, note=note)


@transaction.atomic
def waste_cloth(*, cloth: Cloth, length_mm: float, now: datetime, note: str = "") -> StockMove:
    """Take a spoilt length off the shelf. Raises: BadAmount, NotInStock."""
    cloth = _locked(cloth)
    length_mm = _from_shelf(cloth, length_mm)
    return _move(cloth, StockMove.Kind.WASTED, length_mm, now, note=note)


def buy_notion(*, notion: Notion, count: float, garment_id: int, now: datetime) -> StockMove:
    """Note that notions were bought for a garment. Raises: BadAmount."""
    if not isfinite(count) or not 0 < count <= MOST_NOTIONS:
        raise BadAmount(f"Notions are bought by the piece: from 1 to {MOST_NOTIONS}.", field="count")
    return StockMove.objects.create(
        workshop_id=notion.workshop_id,
        notion=notion,
        kind=StockMove.Kind.BOUGHT,
        amount=count,
        garment_id=garment_id,
        at=now,
    )


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
    cloth: Cloth, kind: str, length_mm: float, now: datetime, *, garment_id: int | None = None, note: str = ""
) -> StockMove:
    _refuse_length(length_mm)
    return StockMove.objects.create(
        workshop_id=cloth.workshop_id,
        cloth=cloth,
        kind=kind,
        amount=length_mm,
        garment_id=garment_id,
        note=note[:200],
        at=now,
    )
