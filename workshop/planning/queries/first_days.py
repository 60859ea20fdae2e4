"""The day on which the work on each garment begins in the plan."""

from __future__ import annotations

from datetime import date

from django.db.models import Min

from workshop.people.models import Workshop
from workshop.planning.models import Task


def first_days(workshop: Workshop) -> dict[int, date]:
    """Return the day on which the work on each garment begins, by key; only those with a planned time."""
    rows = (
        Task.objects.filter(workshop=workshop, done_at=None, planned_start_at__isnull=False)
        .order_by()
        .values_list("garment_id")
        .annotate(first=Min("planned_start_at"))
    )
    return {garment_id: workshop.day_of(first) for garment_id, first in rows}
