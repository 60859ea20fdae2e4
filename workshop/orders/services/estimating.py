"""From a draft, its lays and the price list to an estimate."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from django.db import transaction

from costing import queries as costing_queries
from costing import services as costing_services
from costing.models import Cloth, Estimate, Notion, Rates
from costing.rules.estimate import Estimate as Reckoned
from costing.rules.estimate import HourRates, NotionUse, Pricing, estimate, thread_use
from costing.rules.labour import Operation
from costing.rules.materials import ClothNeed
from costing.rules.money import ZERO
from costing.rules.notions import fitting_notion, notion_words
from costing.rules.overhead import overhead_rate, overhead_words
from costing.rules.tax import TaxKey
from drafting.body import SIZES
from drafting.geometry import polygon_area
from drafting.pattern import Draft as Pattern
from workshop.errors import Refusal
from workshop.orders.models import Draft, Garment, LayPlan
from workshop.orders.queries.garments import current_draft, current_lays, needed_roles, pattern_of
from workshop.orders.queries.operations import priced_operations
from workshop.orders.queries.waste import learnt_waste
from workshop.people.models import Workshop

GUESSED_UTILISATION = 0.7
"""Share of the cloth that the pieces cover where no lay was made yet. Common practice, no source."""


class NotPriced(Refusal):
    """The price list lacks what an estimate needs."""


@transaction.atomic
def estimate_garment(*, garment: Garment, now: datetime) -> Estimate:
    """Reckon and keep the estimate of a garment's draft.

    Raises: NotPriced where the rates are not set; Refusal where there is no draft.
    """
    # Two who reckon at once would both put an estimate in the place of the one that holds.
    rows = Garment.objects.select_for_update(of=("self",)).select_related("workshop", "order")
    garment = rows.get(pk=garment.pk)
    draft = current_draft(garment)
    if draft is None:
        raise Refusal(f"Draft {garment.title} first; the price is reckoned from its pattern.")
    workshop = garment.workshop
    rates = rates_to_price_by(workshop)
    pattern = pattern_of(draft)
    cloths, provisional = _cloths(garment, draft, pattern)
    pricing = pricing_of(garment, rates)
    reckoned, done = reckon(garment=garment, pattern=pattern, cloths=cloths, rates=rates, pricing=pricing)
    return costing_services.store_estimate(
        workshop=workshop,
        garment=garment,
        reckoned=reckoned,
        operations=done,
        inputs={
            "draft": draft.pk,
            "rates": rates.version,
            "pricing": pricing.to_json(),
            "on_learnt": rates.prices_on_learnt,
        },
        provisional=provisional or bool(garment.size),
        now=now,
    )


def estimate_anew(garments: Iterable[Garment], now: datetime) -> None:
    """Reckon estimates again after what they rest on changed, where there are rates and a draft.

    Inside the caller's transaction. Raises: BadAmount.
    """
    for garment in garments:
        if costing_queries.rates_of(garment.workshop) is not None and current_draft(garment) is not None:
            estimate_garment(garment=garment, now=now)


def rates_to_price_by(workshop: Workshop) -> Rates:
    """Raises: NotPriced until the owner has said what an hour costs."""
    rates = costing_queries.rates_of(workshop)
    if rates is None:
        raise NotPriced(
            "Set what an hour costs on the page of prices first; no price can be reckoned without it."
        )
    return rates


def reckon(
    *, garment: Garment, pattern: Pattern, cloths: list[ClothNeed], rates: Rates, pricing: Pricing
) -> tuple[Reckoned, tuple[Operation, ...]]:
    """Return the estimate of a pattern with its operations; nothing is stored. Raises: BadAmount."""
    workshop = garment.workshop
    listed = priced_operations(garment, pattern, rates)
    done = listed.operations
    notions, cautions = _notions(workshop, pattern, done, rates)
    cautions += [
        f"You changed the operation {name!r}, which this draft does not have: look through the list."
        for name in listed.missed
    ]
    priced = {need.role for need in cloths}
    cautions += [
        f"No {role} is chosen: it is not in this price."
        for role in needed_roles(pattern)
        if role not in priced
    ]
    if garment.size:
        cautions.append(
            f"Reckoned for a {SIZES[garment.size].title}, who stands in: measure the wearer, then draft anew."
        )
    reckoned = estimate(
        currency=workshop.currency,
        cloths=cloths,
        notions=notions,
        operations=done,
        rates=hour_of(rates, workshop.currency),
        pricing=pricing,
        cautions=cautions,
    )
    return reckoned, done


def hour_of(rates: Rates, currency: str) -> HourRates:
    """What an hour costs in that workshop: its wage, and its share of the month's overhead."""
    return HourRates(
        wage=rates.hourly_wage,
        overhead=overhead_rate(rates.overhead, rates.hours_per_month),
        why=overhead_words(rates.overhead, rates.hours_per_month, currency),
    )


def pricing_of(garment: Garment, rates: Rates) -> Pricing:
    """How a cost becomes the price of that garment now."""
    workshop, order = garment.workshop, garment.order
    share = rates.profit_percent / 100
    return Pricing(
        margin=ZERO if rates.profit_is_markup else share,
        markup=share if rates.profit_is_markup else None,
        tax=tax_of(garment),
        tax_label=workshop.tax_label,
        rush=order.rush_percent / 100,
        discount=order.discount_percent / 100,
        minimum=rates.minimum_price,
        friendly_step=rates.round_to,
        deposit=workshop.deposit_share / 100,
        quantity=alike_in_order(garment),
        learning_rate=float(rates.repeat_percent) / 100,
    )


def tax_of(garment: Garment) -> TaxKey:
    """The tax group of a garment: that of the rate it names, else the workshop's usual one."""
    named = garment.tax_rate
    if named is None:
        return TaxKey.of(garment.workshop.tax_rate)
    return TaxKey.of(named.percent, zero_rated=named.zero_rated)


def alike_in_order(garment: Garment) -> int:
    """How many garments of its order are made alike, itself included: of one style and the same choices."""
    rows = Garment.objects.filter(order_id=garment.order_id, style=garment.style)
    return sum(choices == garment.choices for choices in rows.values_list("choices", flat=True))


def _cloths(garment: Garment, draft: Draft, pattern: Pattern) -> tuple[list[ClothNeed], bool]:
    """What is bought of each cloth: from the lay where there is one, else guessed from the pieces' area."""
    lays = {lay.role: lay for lay in current_lays(draft)}
    needs = []
    for row in garment.cloths.select_related("cloth").order_by("pk"):
        if row.role not in draft.roles:
            continue
        lay = lays.get(row.role)
        if lay is not None:
            needs.append(need_of_lay(lay, row.cloth))
            continue
        length = guessed_length(pattern, row.role, row.cloth.width_mm)
        why = "guessed from the pieces' area: not laid yet"
        needs.append(need_of(row.cloth, row.role, length, why))
    return needs, any(need.role not in lays for need in needs) or len(needs) < len(draft.roles)


def need_of_lay(lay: LayPlan, cloth: Cloth) -> ClothNeed:
    """What a lay has one buy, with what the cloth really took beyond its lays before.

    Of a joint lay it is the share, which no seller cuts by itself.
    """
    known = learnt_waste(cloth.workshop_id).of(cloth.pk)
    more = known.more_mm(lay.cut_mm)
    length = max(lay.buy_length_mm, lay.need_mm + more) if more else lay.buy_length_mm
    shrunk = " once shrunk" if cloth.shrinkage_length else ""
    why = f"lay of {lay.length_mm / 1000:.2f} m{shrunk}, {lay.utilisation:.0%} used"
    step = cloth.sold_by_mm
    if lay.joint is not None:
        why = f"its share of {lay.joint.buy_length_mm / 1000:.2f} m, on which several garments are laid"
        length, step = lay.buy_length_mm + more, 0.0
    why = f"{why}; {known.words}" if known.words else why
    return replace(need_of(cloth, lay.role, length, why), increment_mm=step)


def need_of(cloth: Cloth, role: str, length_mm: float, why: str) -> ClothNeed:
    """A length of a cloth of the price list, for a role of a garment."""
    return ClothNeed(
        role, cloth.name, length_mm, cloth.price_per_metre, cloth.sold_by_mm, why, ref=str(cloth.pk)
    )


def guessed_length(pattern: Pattern, role: str, width_mm: float) -> float:
    """Length of a cloth that the pieces of a role will take, mm, where no lay says so."""
    return _area(pattern, role) / (width_mm * GUESSED_UTILISATION)


def _area(pattern: Pattern, role: str) -> float:
    """Area of all cut pieces of a cloth, mm2."""
    return sum(
        abs(polygon_area(piece.cut_line)) * cut.count * (2 if cut.on_fold else 1)
        for piece in pattern.pieces
        for cut in piece.cuts
        if cut.cloth == role
    )


def _notions(
    workshop: Workshop, pattern: Pattern, done: tuple[Operation, ...], rates: Rates
) -> tuple[list[NotionUse], list[str]]:
    """Thread from the operations, the rest from the closure; what has no price is said, not guessed."""
    listed = list(costing_queries.notions(workshop))
    uses, cautions = [], []
    for need in pattern.notions:
        found = fitting_notion(listed, need.kind, need.size_mm)
        if found is None:
            words = notion_words(need.kind, need.size_mm)
            cautions.append(f"The price list has no {words}: add it, it is not in this price.")
        else:
            uses.append(NotionUse(found.name, Decimal(str(need.count)), "", found.price_each, need.remark))
    thread = next((row for row in listed if row.kind == Notion.Kind.THREAD and row.size_mm), None)
    if thread is None or thread.size_mm is None:
        cautions.append("The price list has no thread with its length: add it, it is not in this price.")
    else:
        uses.append(
            thread_use(
                done,
                reel_metres=thread.size_mm / 1000,
                price_each=thread.price_each,
                name=thread.name,
                waste=float(rates.thread_waste) / 100,
            )
        )
    return uses, cautions
