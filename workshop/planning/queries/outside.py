"""What a garment's work depends on outside the workshop: the customer's yes, the cloth, the wearer."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta

from workshop.orders.models import Garment, Stage
from workshop.orders.queries import facts_of
from workshop.orders.rules.stages import Facts
from workshop.people.models import Workshop
from workshop.planning.queries.week import open_garments
from workshop.planning.rules.calendar import whole_days

NOT_AGREED = (Stage.MEASURE, Stage.DRAFT)
"""The stages in which a garment may be drafted although nobody has agreed to it yet."""

UNCUT = (*NOT_AGREED, Stage.CUT)


@dataclass(frozen=True, slots=True)
class Outside:
    """``tentative``: the quote is not accepted. ``cloth_at``: when the last of its cloth is here, None where
    all of it is. ``is_fitted``: the wearer tried it on and it fits."""

    tentative: bool = False
    cloth_at: datetime | None = None
    is_fitted: bool = False


def outside_of(garment_ids: Collection[int], now: datetime) -> dict[int, Outside]:
    """Return what each garment depends on, by key, in a fixed number of queries."""
    garments = list(
        Garment.objects.filter(pk__in=garment_ids)
        .select_related("workshop", "order__workshop", "wearer")
        .order_by("pk")
    )
    facts = facts_of(garments, now=now)
    return {garment.pk: _outside(garment, facts[garment.pk], now) for garment in garments}


def tentative_garments(workshop: Workshop, now: datetime) -> set[int]:
    """Return the open garments whose quote is not accepted, by key."""
    early = open_garments(workshop).filter(stage__in=NOT_AGREED).values_list("pk", flat=True)
    return {pk for pk, found in outside_of(list(early), now).items() if found.tentative}


def _outside(garment: Garment, facts: Facts, now: datetime) -> Outside:
    return Outside(
        tentative=garment.stage in NOT_AGREED and facts.quote != "accepted",
        cloth_at=_cloth_at(garment.workshop, facts, now) if garment.stage in UNCUT else None,
        is_fitted=bool(facts.fits),
    )


def _cloth_at(workshop: Workshop, facts: Facts, now: datetime) -> datetime | None:
    """Return when all cloth is here: what is to buy as though it were ordered now, what is on its way from
    the beginning of the day on which it is expected, and what is late not before tomorrow."""
    found = []
    if facts.cloth_lacking:
        found.append(now + timedelta(days=facts.cloth_days))
    if facts.cloth_on is not None:
        today = workshop.day_of(now)
        day = facts.cloth_on if facts.cloth_on >= today else today + timedelta(days=1)
        found.append(whole_days(day, day, workshop.zone).start)
    return max(found, default=None)
