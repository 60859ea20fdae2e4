"""How likely each open garment is to be late, from the present plan, and on which day that turned."""

from __future__ import annotations

from datetime import datetime

import numpy as np
from django.db import transaction

from workshop.orders.models import Garment
from workshop.people.models import Workshop
from workshop.planning.models import LateRisk
from workshop.planning.rules.errors import PlanningError
from workshop.planning.rules.present import present_plan
from workshop.planning.rules.risk import is_turned
from workshop.planning.rules.simulation import simulate
from workshop.planning.services.floor import Floor, on_floor, standing
from workshop.planning.services.replanning import CannotPlanWorkshop


def reckon_late_risks(*, workshop: Workshop, now: datetime) -> list[Garment]:
    """Simulate the present plan, keep how often each garment is late, and return those that turned today.

    What has nothing left to do has no risk any more. Run twice on a day, the second time finds the same.

    Raises:
        CannotPlanWorkshop: the open work fits in nobody's hours; what was kept is forgotten.
    """
    try:
        risks = on_floor(workshop, now, _risks)
    except PlanningError:
        LateRisk.objects.filter(garment__workshop=workshop).delete()
        raise CannotPlanWorkshop(
            "The open work fits in nobody's hours; open longer, or give somebody more."
        ) from None
    return _keep(workshop, risks, now)


def _risks(floor: Floor) -> list[tuple[Garment, int]]:
    """Return the percent of runs in which each garment is done after its day has begun."""
    places = present_plan(floor.problem, [standing(floor, row) for row in floor.rows])
    ends = simulate(floor.problem, places)
    return [
        (garment, 0 if order.due is None else round(100 * float(np.mean(row > order.due))))
        for garment, order, row in zip(floor.garments, floor.problem.orders, ends, strict=True)
    ]


@transaction.atomic
def _keep(workshop: Workshop, risks: list[tuple[Garment, int]], now: datetime) -> list[Garment]:
    today = workshop.day_of(now)
    rows = LateRisk.objects.select_for_update().filter(garment__workshop=workshop).order_by("pk")
    known = {row.garment_id: row for row in rows}
    kept, turned = [], []
    for garment, percent in risks:
        before = known.pop(garment.pk, None)
        turned_on = None
        if is_turned(percent):
            turned_on = (before and before.turned_on) or today
        if turned_on == today:
            turned.append(garment)
        kept.append(LateRisk(garment=garment, percent=percent, turned_on=turned_on, reckoned_at=now))
    LateRisk.objects.filter(pk__in=[row.pk for row in known.values()]).delete()
    LateRisk.objects.bulk_create(
        kept,
        update_conflicts=True,
        unique_fields=["garment"],
        update_fields=["percent", "turned_on", "reckoned_at"],
    )
    return turned
