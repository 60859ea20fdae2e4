"""Cloth that is ordered and on its way."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch

from workshop.orders.models import Garment, Parcel
from workshop.people.models import Workshop


@dataclass(frozen=True, slots=True)
class Coming:
    """What of a cloth is on its way for a garment: how long the parcel is, mm, and when it is expected."""

    length_mm: float
    expected_on: date


def parcels_under_way(workshop: Workshop) -> list[Parcel]:
    """Return what is on its way, the first expected first, with cloth and garments."""
    garments = Prefetch("garments", Garment.objects.order_by("pk"))
    rows = Parcel.objects.filter(workshop=workshop, came_at=None, given_up_at=None)
    return list(rows.select_related("cloth").prefetch_related(garments).order_by("expected_on", "pk"))


def late_parcels(workshop: Workshop, today: date) -> list[Parcel]:
    """Return what was expected before today and is not here, the longest late first."""
    rows = Parcel.objects.filter(workshop=workshop, came_at=None, given_up_at=None, expected_on__lt=today)
    return list(rows.select_related("cloth").order_by("expected_on", "pk"))


def parcel_of(workshop: Workshop, pk: int) -> Parcel | None:
    """Return one of the workshop's parcels, also one that came or was given up."""
    return Parcel.objects.filter(workshop=workshop, pk=pk).select_related("cloth").first()


def coming_for(garment_ids: Collection[int]) -> dict[tuple[int, int], Coming]:
    """Return what is on its way by garment and cloth; of several parcels the one expected last."""
    rows = Parcel.garments.through.objects.filter(
        garment__in=garment_ids, parcel__came_at=None, parcel__given_up_at=None
    ).order_by("parcel__expected_on", "parcel")
    return {
        (garment_id, cloth_id): Coming(length_mm, expected_on)
        for garment_id, cloth_id, length_mm, expected_on in rows.values_list(
            "garment_id", "parcel__cloth_id", "parcel__length_mm", "parcel__expected_on"
        )
    }
