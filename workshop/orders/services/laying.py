"""Lay plans of a draft, one a cloth."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from costing import queries as costing_queries
from costing.models import Cloth as ClothRow
from costing.models import Quote, QuoteState
from drafting.layplan import Cloth, LayPlan, items_for, plan_lay
from drafting.pattern import Draft as Pattern
from workshop.errors import Refusal
from workshop.orders import models
from workshop.orders.models import Draft, GarmentCloth
from workshop.orders.queries.garments import pattern_of
from workshop.orders.services.estimating import estimate_garment
from workshop.orders.services.stocking import reserve_for
from workshop.orders.services.superseding import ask_for_plan

SECONDS_A_LAY = 6.0
MOST_SECONDS = 120.0

Progress = Callable[[float, str], None]


class NoCloth(Refusal):
    """No cloth is chosen for the shell: there is nothing to lay on."""


def cloth_value(row: ClothRow, role: str, *, folded: bool) -> Cloth:
    """The cloth of the price list as the lay planner knows it."""
    return Cloth(
        name=role,
        width=row.width_mm,
        selvedge=row.selvedge_mm,
        one_way=row.one_way,
        folded=folded,
        shrinkage_length=row.shrinkage_length,
        shrinkage_width=row.shrinkage_width,
        repeat_length=row.repeat_length_mm,
        repeat_width=row.repeat_width_mm,
    )


def make_lay_plans(
    *,
    draft: Draft,
    now: datetime,
    progress: Progress = lambda percent, words: None,
    cancelled: Callable[[], bool] = lambda: False,
    seconds: float = SECONDS_A_LAY,
) -> list[models.LayPlan]:
    """Lay the pieces of a draft on each cloth that is chosen, and keep the plans.

    Laying takes seconds, so nothing is locked meanwhile; the plans are stored together at the end.

    Raises:
        NoCloth: the shell has no cloth.
        BadCloth: a piece does not go on a cloth; says by how much.
        Refusal: the draft was superseded meanwhile.
    """
    pattern = pattern_of(draft)
    chosen = [
        row for row in draft.garment.cloths.select_related("cloth").order_by("pk") if row.role in draft.roles
    ]
    if not any(row.role == GarmentCloth.Role.SHELL for row in chosen):
        raise NoCloth("Choose the shell cloth of the garment; then it can be laid.")
    plans = []
    for number, row in enumerate(chosen):
        share = _Share(progress, start=number * 90 / len(chosen), width=90 / len(chosen))
        share.begin(f"Laying the {row.role} on {row.cloth.name}")
        plans.append((row, _lay(pattern, row, seconds, share, cancelled)))
    progress(90, "Keeping the lay plans")  # a job that was cancelled while it laid ends here, nothing kept
    return _store(draft, plans, now)


@dataclass(frozen=True, slots=True)
class _Share:
    """One lay's part of the whole job's progress, in percent."""

    progress: Progress
    start: float
    width: float

    def begin(self, words: str) -> None:
        self.progress(self.start, words)

    def reached(self, part: float) -> None:
        self.progress(self.start + part * self.width, "")


def _lay(
    pattern: Pattern,
    row: GarmentCloth,
    seconds: float,
    share: _Share,
    cancelled: Callable[[], bool],
) -> LayPlan:
    cloth = cloth_value(row.cloth, row.role, folded=row.folded)
    items = items_for(pattern, row.role, cloth)
    return plan_lay(
        items,
        cloth,
        seconds=seconds,
        on_progress=lambda part, length: share.reached(part),
        cancelled=cancelled,
        increment_mm=row.cloth.sold_by_mm,
    )


@transaction.atomic
def _store(draft: Draft, plans: list[tuple[GarmentCloth, LayPlan]], now: datetime) -> list[models.LayPlan]:
    held = Draft.objects.select_for_update().get(pk=draft.pk)
    if held.superseded_at is not None:
        raise Refusal("The draft was superseded while it was laid; lay the one that holds now.")
    models.LayPlan.objects.filter(draft=draft, superseded_at=None).update(superseded_at=now)
    return [
        models.LayPlan.objects.create(
            workshop_id=draft.workshop_id,
            draft=draft,
            role=row.role,
            cloth=row.cloth,
            inputs={"cloth": row.cloth_id, "folded": row.folded, "seconds": plan.seconds},
            output=plan.to_contract(),
            length_mm=plan.length,
            buy_length_mm=plan.buy_length,
            utilisation=plan.utilisation,
            created_at=now,
        )
        for row, plan in plans
    ]


def lay_and_estimate(
    *,
    draft: Draft,
    now: datetime,
    progress: Progress,
    cancelled: Callable[[], bool],
    seconds: float = SECONDS_A_LAY,
) -> list[models.LayPlan]:
    """Lay a draft, reckon its estimate, and set cloth aside where the quote is accepted already."""
    plans = make_lay_plans(draft=draft, now=now, progress=progress, cancelled=cancelled, seconds=seconds)
    progress(92, "Reckoning the price")
    with transaction.atomic():
        if costing_queries.rates_of(draft.workshop) is not None:
            estimate_garment(garment=draft.garment, now=now)
        if Quote.objects.filter(order_id=draft.garment.order_id, state=QuoteState.ACCEPTED).exists():
            reserve_for(garments=[draft.garment], now=now)
        ask_for_plan(draft.garment)
    return plans
