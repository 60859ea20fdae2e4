"""What the workshop's cloths really take beside their lays."""

from __future__ import annotations

from costing.rules.waste import CutOnce, Waste, learn_waste
from workshop.orders.models import LayPlan


def learnt_waste(workshop_id: int) -> Waste:
    """Return the corrections that the lengths noted so far make, in one query.

    A length that nobody noted says nothing, although the stock counts it as it was planned.
    """
    rows = LayPlan.objects.filter(workshop=workshop_id, real_cut_mm__isnull=False).order_by("pk")
    return learn_waste(
        CutOnce(cloth_id, planned, real)
        for cloth_id, planned, real in rows.values_list("cloth_id", "cut_mm", "real_cut_mm")
        if real is not None
    )
