"""Locking cloths: whoever moves several does it in one order, so that nobody waits in a ring."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from costing import services as costing_services
from costing.models import Cloth
from costing.queries import reserved_for


def lock_cloths(cloth_ids: Iterable[int]) -> dict[int, Cloth]:
    """Lock cloths for the rest of the transaction, the lowest key first, and return them by key."""
    rows = Cloth.objects.select_for_update().filter(pk__in=set(cloth_ids)).order_by("pk")
    return {cloth.pk: cloth for cloth in rows}


def release_for(garment_ids: Iterable[int], now: datetime, *, cloth_id: int | None = None) -> None:
    """Free what is set aside for garments; of one cloth only where it is named."""
    ids = list(garment_ids)
    lock_cloths(held for garment_id in ids for held in reserved_for(garment_id))
    for garment_id in ids:
        costing_services.release_cloth(garment_id=garment_id, cloth_id=cloth_id, now=now)
