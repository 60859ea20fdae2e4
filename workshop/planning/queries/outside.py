"""What a garment's work depends on outside the workshop: the customer's yes, the cloth, the wearer."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime

from workshop.orders.models import Garment, Stage
from workshop.orders.queries import facts_of
from workshop.orders.rules.stages import Facts
from workshop.people.models import Workshop
from workshop.planning.queries.week import open_garments

NOT_AGREED = (Stage.MEASURE, Stage.DRAFT)
"""The stages in which a garment may be drafted although nobody has agreed to it yet."""


@dataclass(frozen=True, slots=True)
class Outside:
    """``tentative``: the quote is not accepted. ``cloth_days``: until the cloth that is still to be
    bought is here, 0 where none is. ``is_fitted``: the wearer tried it on and it fits."""

    tentative: bool = False
    cloth_days: int = 0
    is_fitted: bool = False


def outside_of(garment_ids: Collection[int], now: datetime) -> dict[int, Outside]:
    """Return what each garment depends on, by key, in a fixed number of queries."""
    garments = list(
        Garment.objects.filter(pk__in=garment_ids)
        .select_related("workshop", "order__workshop", "wearer")
        .order_by("pk")
    )
    facts = facts_of(garments, now=now)
    return {garment.pk: _outside(garment, facts[garment.pk]) for garment in garments}


def tentative_garments(workshop: Workshop, now: datetime) -> set[int]:
    """Return the open garments whose quote is not accepted, by key."""
    early = open_garments(workshop).filter(stage__in=NOT_AGREED).values_list("pk", flat=True)
    return {pk for pk, found in outside_of(list(early), now).items() if found.tentative}


def _outside(garment: Garment, facts: Facts) -> Outside:
    return Outside(
        tentative=garment.stage in NOT_AGREED and facts.quote != "accepted",
        cloth_days=facts.cloth_days if garment.stage in {*NOT_AGREED, Stage.CUT} else 0,
        is_fitted=bool(facts.fits),
    )
