"""What waits for somebody to say something."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.db.models import QuerySet

from workshop.people.models import Workshop
from workshop.planning.models import Fitting


def fittings_to_hold(workshop: Workshop, now: datetime) -> QuerySet[Fitting]:
    """Fittings whose time has come and of which nobody has said yet how they went."""
    rows = Fitting.objects.filter(workshop=workshop, held_at=None, cancelled_at=None, starts_at__lte=now)
    return rows.select_related("garment").order_by("starts_at", "pk")


def fittings_ahead(workshop: Workshop, now: datetime, days: int = 14) -> QuerySet[Fitting]:
    """Fittings of the coming days."""
    rows = Fitting.objects.filter(
        workshop=workshop, cancelled_at=None, ends_at__gt=now, starts_at__lt=now + timedelta(days=days)
    )
    return rows.select_related("garment__order", "garment__wearer", "fitter").order_by("starts_at", "pk")
