"""The facts that a garment's moves depend on, for many garments in a fixed number of queries."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.db.models import Prefetch, prefetch_related_objects
from django.utils import timezone

from costing.models import Cloth, Quote, QuoteState, StockMove
from costing.queries import RESERVED_SIGN, Balance, balances
from costing.rules.lengths import SLACK_MM
from costing.rules.money import format_money
from drafting.units import Unit, format_length
from workshop.orders.models import CuttingLine, Draft, Garment, LayPlan
from workshop.orders.queries.garments import cut_for_draft
from workshop.orders.queries.parcels import Coming, coming_for
from workshop.orders.rules import stages
from workshop.orders.rules.buying import as_sold, days_until_here
from workshop.orders.rules.stages import Facts

_STATE_ORDER = (QuoteState.ACCEPTED, QuoteState.SENT, QuoteState.OPEN, QuoteState.DECLINED)


def facts_of(garments: Sequence[Garment], *, now: datetime | None = None) -> dict[int, Facts]:
    """Return the facts of each garment, by key. The garments come with their order, workshop and wearer."""
    now = now or timezone.now()
    prefetch_related_objects(
        list(garments),
        Prefetch(
            "drafts",
            Draft.objects.filter(superseded_at=None).defer("inputs", "output"),
            to_attr="held_drafts",
        ),
        Prefetch(
            "held_drafts__lay_plans",
            LayPlan.objects.filter(superseded_at=None)
            .select_related("cloth")
            .defer("inputs", "output")
            .order_by("pk"),
            to_attr="held_lays",
        ),
        Prefetch(
            "held_drafts__cutting_lines", CuttingLine.objects.only("draft_id", "cut_at"), to_attr="held_lines"
        ),
        "cloths",
        "tasks",
        "fittings",
    )
    order_ids = {garment.order_id for garment in garments}
    money = balances(order_ids)
    quotes = _quotes(order_ids)
    keys = [garment.pk for garment in garments]
    cloth = _ClothHeld(reserved_of(keys), cut_for_draft(keys), coming_for(keys))
    return {
        garment.pk: _facts(garment, quotes.get(garment.order_id), money[garment.order_id], cloth, now)
        for garment in garments
    }


def facts_of_one(garment: Garment, *, now: datetime | None = None) -> Facts:
    # Read anew: what was fetched before may be older than the lock that the caller holds.
    fresh = Garment.objects.select_related("workshop", "order", "wearer").get(pk=garment.pk)
    return facts_of([fresh], now=now)[fresh.pk]


def next_needs(garments: Sequence[Garment], *, now: datetime | None = None) -> dict[int, str]:
    """The next thing that each garment needs, in words."""
    return {pk: stages.next_need(facts) for pk, facts in facts_of(garments, now=now).items()}


def next_need(garment: Garment, *, now: datetime | None = None) -> str:
    return stages.next_need(facts_of_one(garment, now=now))


@dataclass(frozen=True, slots=True)
class MoveShown:
    """A move that the page offers, or says what is missing for."""

    to: str
    back: bool
    refusals: list[str]
    waivable: bool


def moves(garment: Garment, *, now: datetime | None = None) -> list[MoveShown]:
    """The moves from the garment's stage, onward first."""
    facts = facts_of_one(garment, now=now)
    return [
        MoveShown(rule.to, rule.back, stages.refusals(rule, facts), stages.is_waivable(rule, facts))
        for rule in stages.moves_from(facts.stage)
    ]


def _quotes(order_ids: Iterable[int]) -> dict[int, Quote]:
    """The version of each order's quote that says where it stands."""
    found: dict[int, Quote] = {}
    for quote in Quote.objects.filter(order_id__in=order_ids, state__in=_STATE_ORDER).order_by("version"):
        held = found.get(quote.order_id)
        if held is None or _STATE_ORDER.index(QuoteState(quote.state)) <= _STATE_ORDER.index(
            QuoteState(held.state)
        ):
            found[quote.order_id] = quote
    return found


def reserved_of(garment_ids: Collection[int]) -> dict[tuple[int | None, int | None], float]:
    """Return what is set aside, mm by garment and cloth."""
    sums: dict[tuple[int | None, int | None], float] = {}
    rows = StockMove.objects.filter(garment__in=garment_ids, kind__in=RESERVED_SIGN)
    for garment_id, cloth_id, kind, amount in rows.values_list("garment_id", "cloth_id", "kind", "amount"):
        key = (garment_id, cloth_id)
        sums[key] = sums.get(key, 0.0) + RESERVED_SIGN[kind] * amount
    return sums


@dataclass(frozen=True, slots=True)
class _ClothHeld:
    """``reserved``: mm set aside by garment and cloth. ``cut``: by garment, what its draft was cut from.
    ``coming``: what is on its way by garment and cloth."""

    reserved: dict[tuple[int | None, int | None], float]
    cut: dict[int, set[int]]
    coming: dict[tuple[int, int], Coming]


def _facts(
    garment: Any,
    quote: Quote | None,
    money: Balance,
    cloth: _ClothHeld,
    now: datetime,
) -> Facts:
    workshop = garment.order.workshop
    draft = garment.held_drafts[0] if garment.held_drafts else None
    short, coming = _short(garment, draft, cloth)
    unit = Unit(workshop.length_unit)
    tasks = [task for task in garment.tasks.all() if task.done_at is None]
    # A fitting tells of the draft that was tried on, not of one that was made afterwards.
    made_at = None if draft is None else draft.created_at
    held = sorted(
        (
            fit
            for fit in garment.fittings.all()
            if fit.held_at and (made_at is None or fit.held_at >= made_at)
        ),
        key=lambda fit: (fit.held_at, fit.pk),
    )
    booked = [fit for fit in garment.fittings.all() if fit.held_at is None and fit.cancelled_at is None]
    return Facts(
        stage=garment.stage,
        wearer=garment.wearer.name,
        cancelled=garment.order.cancelled_at is not None,
        measured=garment.measurements_id is not None,
        drafted=draft is not None,
        checks_failed=0 if draft is None else draft.failed_checks,
        checks_waived=draft is not None and bool(draft.waived_reason),
        quote=quote.state if quote else "none",
        quote_expired=quote is not None and quote.valid_until_on < workshop.day_of(now),
        quote_outdated=_outdated(quote, garment),
        deposit_needed=workshop.deposit_before_cutting and money.deposit > 0,
        deposit_in=money.deposit_in,
        laid=_laid(garment, draft),
        cloth_unchosen=_unchosen(garment, draft),
        cloth_lacking=tuple(_sold(row, length, unit) for row, length in short),
        cloth_days=_days_to_come(short, workshop.days_to_come),
        cloth_coming=tuple(
            f"{_sold(row, length, unit)}, expected {day:%a} {day.day} {day:%b}" for row, length, day in coming
        ),
        cloth_on=max((day for _, _, day in coming), default=None),
        cutting_lines=0 if draft is None else len(draft.held_lines),
        lines_left=0 if draft is None else sum(1 for line in draft.held_lines if line.cut_at is None),
        tasks=len(garment.tasks.all()),
        sewing_left=sum(1 for task in tasks if task.group != "cut" and not task.after_fitting),
        finishing_left=sum(1 for task in tasks if task.after_fitting),
        fitting_booked=_when(min(booked, key=lambda fit: fit.starts_at), workshop) if booked else "",
        fits=bool(held) and held[-1].outcome == "fits",
        settled=money.settled and (quote is not None and quote.state == QuoteState.ACCEPTED),
        due_words=format_money(money.due, workshop.currency),
    )


def _outdated(quote: Quote | None, garment: Any) -> bool:
    """Accepted for another style, other choices or another cloth than the garment has now."""
    if quote is None or quote.state != QuoteState.ACCEPTED:
        return False
    agreed = {row["garment_id"]: row["wish"] for row in quote.content["garments"]}
    return bool(agreed.get(garment.pk) != garment.wish(garment.cloths.all()))


def _laid(garment: Any, draft: Any) -> bool:
    if draft is None:
        return False
    laid = {lay.role for lay in draft.held_lays}
    return {
        cloth.role for cloth in garment.cloths.all() if cloth.role in draft.roles
    } <= laid and "shell" in laid


def _short(
    garment: Any, draft: Any, cloth_held: _ClothHeld
) -> tuple[list[tuple[Cloth, float]], list[tuple[Cloth, float, date]]]:
    """Return what of each cloth is not set aside for the garment, mm: what is to buy, and what is on its way
    with the day on which it is expected."""
    to_buy, coming = [], []
    for cloth, length in _needed(draft):
        short = length - cloth_held.reserved.get((garment.pk, cloth.pk), 0.0)
        if short <= SLACK_MM or cloth.pk in cloth_held.cut[garment.pk]:
            continue
        parcel = cloth_held.coming.get((garment.pk, cloth.pk))
        if parcel is None or parcel.length_mm < short - SLACK_MM:
            to_buy.append((cloth, short))
        else:
            coming.append((cloth, short, parcel.expected_on))
    return to_buy, coming


def _needed(draft: Any) -> Iterable[tuple[Cloth, float]]:
    """Return what the draft's lays need of each cloth, mm."""
    needed: dict[int, tuple[Cloth, float]] = {}
    for lay in [] if draft is None else draft.held_lays:
        cloth, length = needed.get(lay.cloth_id, (lay.cloth, 0.0))
        needed[lay.cloth_id] = (cloth, length + lay.need_mm)
    return needed.values()


def _sold(cloth: Cloth, length: float, unit: Unit) -> str:
    """Return a length as it is sold, in words: 2.5 m of Satin."""
    selling = Unit.YD if unit is Unit.IN else Unit.M
    return f"{format_length(as_sold(length, cloth.sold_by_mm), selling)} {selling} of {cloth.name}"


def _days_to_come(short: Sequence[tuple[Cloth, float]], usual: int) -> int:
    """Return the days until all that is to buy is here; 0 where nothing is."""
    return max((days_until_here(cloth.days_to_come, usual) for cloth, _ in short), default=0)


def _unchosen(garment: Any, draft: Any) -> tuple[str, ...]:
    """The cloths that the draft's pieces are cut from and nobody has chosen."""
    if draft is None:
        return ()
    chosen = {cloth.role for cloth in garment.cloths.all()}
    return tuple(role for role in draft.roles if role not in chosen)


def _when(fitting: Any, workshop: Any) -> str:
    start = fitting.starts_at.astimezone(workshop.zone)
    return f"{start:%A} {start.day} {start:%B}, {start:%H:%M}"
