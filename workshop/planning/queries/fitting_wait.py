"""How long a garment that is ready to be tried on waits until it is."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import timedelta
from statistics import fmean, stdev

from django.db.models import F, Max, Q

from workshop.people.models import Workshop
from workshop.planning.models import Fitting
from workshop.planning.rules.joining import POSITIONS_A_HALF

ENOUGH = 6
MOST_READ = 60
LONGEST = timedelta(days=60)


@dataclass(frozen=True, slots=True)
class FittingWait:
    """Minutes of the clock at even odds, their spread (of the logarithm), and how many fittings they are
    from."""

    minutes: int
    spread: float
    fittings: int


USUAL = FittingWait(3 * 24 * 60, 0.6, 0)
"""Until the workshop's own is known: three days. Common practice, no source."""


def fitting_wait(workshop: Workshop) -> FittingWait:
    """Return how long the workshop's garments waited, from the last work before the fitting to it, in one
    query."""
    before = Q(garment__tasks__position__lte=POSITIONS_A_HALF, garment__tasks__done_at__lt=F("starts_at"))
    rows = (
        Fitting.objects.filter(workshop=workshop, held_at__isnull=False, cancelled_at__isnull=True)
        .annotate(ready_at=Max("garment__tasks__done_at", filter=before))
        .filter(ready_at__isnull=False)
        .order_by("-held_at", "-pk")
        .values_list("ready_at", "starts_at")[:MOST_READ]
    )
    waits = [
        math.log(max(1.0, (starts_at - ready_at) / timedelta(minutes=1)))
        for ready_at, starts_at in rows
        if starts_at - ready_at <= LONGEST
    ]
    if len(waits) < ENOUGH:
        return USUAL
    return FittingWait(round(math.exp(fmean(waits))), stdev(waits), len(waits))
