"""The buying list: what is to buy by when, over all orders that are agreed on."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import groupby
from typing import Any

from costing.models import Cloth, Notion, QuoteState
from costing.queries import lengths_of
from workshop.orders.models import Garment, Parcel, Stage
from workshop.orders.queries.garments import held_lays
from workshop.orders.queries.needs import Need, lacking_of
from workshop.orders.queries.notions import notions_had, notions_needed, notions_over
from workshop.orders.queries.parcels import parcels_under_way
from workshop.orders.rules.buying import (
    SLACK,
    Share,
    Want,
    amount_to_buy,
    days_until_here,
    shared_out,
    still_to_buy,
)
from workshop.people.models import Workshop

CLOTH_STAGES = (Stage.MEASURE, Stage.DRAFT)
"""Cloth is cut from after these; a garment that is past them has it."""
NOTION_STAGES = (*CLOTH_STAGES, Stage.CUT, Stage.SEW)

Days = Mapping[int, date]
"""The day by which each garment needs its things, by key; where there is none, its order's due day."""

OpenDay = Callable[[date], date]


@dataclass(frozen=True, slots=True)
class ToBuy:
    """One line: so much of a cloth (mm) or a notion (pieces) for these garments, needed first by that day.

    Args:
        order_on: the last day on which to order it, so that it is here when it is needed.
    """

    row: Any
    amount: float
    needed_on: date
    garments: tuple[Garment, ...]
    order_on: date

    @property
    def is_cloth(self) -> bool:
        return isinstance(self.row, Cloth)


@dataclass(frozen=True, slots=True)
class OnShelf:
    """Cloth that lies free and would serve garments that wait for it."""

    row: Cloth
    amount: float
    garments: tuple[Garment, ...]


@dataclass(frozen=True, slots=True)
class LeftOver:
    """Notions that some garments have over (``givers``) and that would serve others."""

    row: Notion
    amount: float
    garments: tuple[Garment, ...]
    givers: tuple[Garment, ...]


@dataclass(frozen=True, slots=True)
class BuyingList:
    """What is to buy by supplier, each supplier's most pressing line first, and what cannot be said.

    Args:
        suppliers: name (empty where none is noted) and lines.
        on_shelf: cloth that need not be bought, only set aside.
        left_over: notions that a cancelled or changed garment does not need any more.
        unlisted: notions that the price list does not have, in words with their garment.
        unlaid: garments whose cloth is not known yet.
        coming: cloth that is ordered and on its way, the first expected first.
    """

    suppliers: tuple[tuple[str, tuple[ToBuy, ...]], ...]
    on_shelf: tuple[OnShelf, ...]
    left_over: tuple[LeftOver, ...]
    unlisted: tuple[tuple[str, Garment], ...]
    unlaid: tuple[Garment, ...]
    coming: tuple[Parcel, ...]


def buying_list(workshop: Workshop, days: Days, open_day: OpenDay = lambda day: day) -> BuyingList:
    """Return what is to buy for the agreed orders, in a fixed number of queries.

    ``open_day``: the last day up to a day on which somebody is there to order.
    """
    garments = agreed_garments(workshop, NOTION_STAGES)
    waiting = {pk: row for pk, row in garments.items() if row.stage in CLOTH_STAGES}
    coming = tuple(parcels_under_way(workshop))
    cloth_lines, on_shelf = _cloth_lines(workshop, waiting, days, coming)
    notion_lines, left_over, unlisted = _notion_lines(workshop, garments, days)
    laid = set(held_lays(draft__garment__in=waiting).values_list("draft__garment_id", flat=True))
    lines = [replace(line, order_on=open_day(line.order_on)) for line in (*cloth_lines, *notion_lines)]
    return BuyingList(
        suppliers=_by_supplier(lines),
        on_shelf=tuple(on_shelf),
        left_over=tuple(left_over),
        unlisted=tuple(unlisted),
        unlaid=tuple(row for pk, row in waiting.items() if pk not in laid),
        coming=coming,
    )


def agreed_garments(workshop: Workshop, stages: Collection[str]) -> dict[int, Garment]:
    """Garments at these stages of orders whose quote is accepted, due first, by key."""
    rows = Garment.objects.filter(
        workshop=workshop,
        stage__in=stages,
        order__cancelled_at=None,
        order__in=workshop.orders.filter(quotes__state=QuoteState.ACCEPTED).values("pk"),
    )
    return {row.pk: row for row in rows.select_related("order").order_by("order__due_on", "pk")}


def cloth_to_buy(workshop: Workshop, cloth: Cloth) -> ToBuy | None:
    """Return the line of a cloth: what to buy for all who wait for it; None where nothing is."""
    waiting = agreed_garments(workshop, CLOTH_STAGES)
    lines, _ = _cloth_lines(workshop, waiting, {}, parcels_under_way(workshop), cloth=cloth)
    return lines[0] if lines else None


def notion_share(workshop: Workshop, notion: Notion) -> tuple[dict[int, float], dict[int, float]]:
    """How many of a notion each garment lacks, by key: those to buy, and those that others have over."""
    garments = agreed_garments(workshop, NOTION_STAGES)
    wants, _ = _notion_wants(workshop, garments, {})
    share = _shared(wants.get(notion.pk, []), notions_over(workshop).get(notion.pk, {}))
    to_buy, served = (
        {want.garment_ids[0]: want.amount for want in rows} for rows in (share.to_buy, share.served)
    )
    return to_buy, served


def _cloth_lines(
    workshop: Workshop,
    garments: Mapping[int, Garment],
    days: Days,
    coming: Iterable[Parcel],
    *,
    cloth: Cloth | None = None,
) -> tuple[list[ToBuy], list[OnShelf]]:
    wants = _cloth_wants(garments, days)
    if cloth is not None:
        wants = {pk: rows for pk, rows in wants.items() if pk == cloth.pk}
    lengths, parcels = lengths_of(wants), _parcels(coming)
    lines, on_shelf = [], []
    for pk, row in Cloth.objects.in_bulk(list(wants)).items():
        share = shared_out(wants[pk], [length.sound for length in lengths[pk]])
        to_buy = still_to_buy(share.to_buy, parcels.get(pk, ()))
        if to_buy:
            amount = amount_to_buy(to_buy, row.sold_by_mm)
            needed_on = min(want.needed_on for want in to_buy)
            lines.append(_line(workshop, row, amount, needed_on, _of(to_buy, garments)))
        if share.served:
            served = sum(want.amount for want in share.served)
            on_shelf.append(OnShelf(row, served, _of(share.served, garments)))
    return lines, on_shelf


def _parcels(coming: Iterable[Parcel]) -> dict[int, list[tuple[set[int], float]]]:
    """Return the parcels of each cloth: for whom, and how long."""
    found: dict[int, list[tuple[set[int], float]]] = {}
    for parcel in coming:
        row = ({garment.pk for garment in parcel.garments.all()}, parcel.length_mm)
        found.setdefault(parcel.cloth_id, []).append(row)
    return found


def _line(
    workshop: Workshop, row: Cloth | Notion, amount: float, needed_on: date, garments: tuple[Garment, ...]
) -> ToBuy:
    days = days_until_here(row.days_to_come, workshop.days_to_come)
    return ToBuy(row, amount, needed_on, garments, needed_on - timedelta(days=days))


def _cloth_wants(garments: Mapping[int, Garment], days: Days) -> dict[int, list[Want]]:
    """What is lacking of each cloth that garments are laid on: cloth -> wants, one for each length."""
    together: dict[tuple[int, int], list[Need]] = {}
    for number, need in enumerate(lacking_of(garments)):
        # Only the shares of a joint lay come from one length together.
        together.setdefault((need.cloth_id, need.joint_id or -number), []).append(need)
    wants: dict[int, list[Want]] = {}
    for (cloth_id, _), needs in together.items():
        day = min(_day(garments[need.garment_id], days) for need in needs)
        ids = tuple(need.garment_id for need in needs)
        wants.setdefault(cloth_id, []).append(Want(ids, sum(need.length_mm for need in needs), day))
    return wants


def _notion_lines(
    workshop: Workshop, garments: Mapping[int, Garment], days: Days
) -> tuple[list[ToBuy], list[LeftOver], list[tuple[str, Garment]]]:
    wants, unlisted = _notion_wants(workshop, garments, days)
    over = notions_over(workshop)
    donors = Garment.objects.in_bulk({pk for rows in over.values() for pk in rows})
    lines, left_over = [], []
    for pk, row in Notion.objects.in_bulk(list(wants)).items():
        share = _shared(wants[pk], over.get(pk, {}))
        if share.needed_on is not None:
            amount = amount_to_buy(share.to_buy, 1.0)
            lines.append(_line(workshop, row, amount, share.needed_on, _of(share.to_buy, garments)))
        if share.served:
            served = sum(want.amount for want in share.served)
            givers = tuple(donors[giver] for giver in over[pk])
            left_over.append(LeftOver(row, served, _of(share.served, garments), givers))
    return lines, left_over, unlisted


def _shared(wants: list[Want], over: Mapping[int, float]) -> Share:
    """What is over serves the wants whole, needed first; notions of several garments count as one heap."""
    return shared_out(wants, [sum(over.values())])


def _notion_wants(
    workshop: Workshop, garments: Mapping[int, Garment], days: Days
) -> tuple[dict[int, list[Want]], list[tuple[str, Garment]]]:
    """What each garment lacks of each notion: notion -> wants; and what the price list does not have."""
    needed, unlisted = notions_needed(workshop, garments)
    had = notions_had(garments)
    wants: dict[int, list[Want]] = {}
    for (garment_id, notion_id), count in needed.items():
        lacking = count - had.get((garment_id, notion_id), 0.0)
        if lacking > SLACK:
            wants.setdefault(notion_id, []).append(_want(garments[garment_id], lacking, days))
    return wants, unlisted


def _want(garment: Garment, amount: float, days: Days) -> Want:
    return Want((garment.pk,), amount, _day(garment, days))


def _day(garment: Garment, days: Days) -> date:
    return days.get(garment.pk, garment.order.due_on)


def _of(wants: Iterable[Want], garments: Mapping[int, Garment]) -> tuple[Garment, ...]:
    """Each garment of the wants once, in their order."""
    return tuple(garments[pk] for pk in dict.fromkeys(pk for want in wants for pk in want.garment_ids))


def _by_supplier(lines: Iterable[ToBuy]) -> tuple[tuple[str, tuple[ToBuy, ...]], ...]:
    def supplier(line: ToBuy) -> str:
        return str(line.row.supplier)

    rows = sorted(lines, key=lambda line: (supplier(line), line.order_on, line.row.name))
    return tuple((name, tuple(group)) for name, group in groupby(rows, key=supplier))
