"""Fittings of which their clients are to be reminded."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db.models import Exists, OuterRef, QuerySet

from workshop.people.models import Workshop
from workshop.planning.models import Fitting

MOST_DAYS = 14
MORNING = 8
"""The hour on the workshop's clock from which letters go: nobody is reminded in the night."""


def fittings_to_remind_of(workshop: Workshop, now: datetime) -> list[Fitting]:
    """Return the fittings of the coming days, as many as the workshop reminds before, by time.

    Not those of cancelled orders, of clients without an address or who do not want it, nor what was booked
    today: that is fresh in mind.
    """
    today = workshop.day_of(now)
    rows = _ahead(now).filter(workshop=workshop, garment__order__client__reminded=True)
    rows = rows.exclude(garment__order__client__email="").select_related(
        "workshop", "fitter", "garment__order__workshop", "garment__order__client"
    )
    return [
        fitting
        for fitting in rows.order_by("starts_at", "pk")
        if (workshop.day_of(fitting.starts_at) - today).days <= workshop.remind_days_before
        and workshop.day_of(fitting.created_at) < today
    ]


def workshops_that_remind(now: datetime) -> list[Workshop]:
    """Return the workshops that remind, with a fitting in the coming days, where it is past MORNING."""
    ahead = _ahead(now).filter(workshop=OuterRef("pk"))
    rows = Workshop.objects.filter(Exists(ahead), remind_days_before__gt=0)
    return [row for row in rows.order_by("pk") if now.astimezone(row.zone).hour >= MORNING]


def _ahead(now: datetime) -> QuerySet[Fitting]:
    return Fitting.objects.filter(
        cancelled_at=None,
        held_at=None,
        starts_at__gt=now,
        starts_at__lt=now + timedelta(days=MOST_DAYS + 1),
        garment__order__cancelled_at=None,
    )
