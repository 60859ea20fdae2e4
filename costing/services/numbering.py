"""Numbers of papers: one series a workshop, kind and year, without a gap."""

from __future__ import annotations

from typing import Any

from django.db import IntegrityError, transaction

from costing.models import NumberSeries


def next_number(*, workshop: Any, kind: str, year: int) -> int:
    """Take the next number, inside the caller's transaction: if that fails, the number was never taken.

    The series' row is locked until the transaction ends, so two who issue at once get two numbers in turn.
    """
    key = {"workshop": workshop, "kind": kind, "year": year}
    if not NumberSeries.objects.filter(**key).exists():
        try:
            with transaction.atomic():
                NumberSeries.objects.create(**key)
        except IntegrityError:
            pass  # another transaction began the year's series; its row is what we lock
    series = NumberSeries.objects.select_for_update().get(**key)
    series.last += 1
    series.save(update_fields=["last"])
    return series.last
