"""What delivered garments earned, by style."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from django.db.models.fields.json import KT

from costing.models import Estimate, Quote, QuoteState
from costing.rules.money import ZERO
from costing.rules.overhead import margin
from drafting.styles import STYLES
from workshop.orders.models import Garment, Stage
from workshop.people.models import Workshop


@dataclass(frozen=True, slots=True)
class StyleEarnings:
    """The delivered garments of a style: agreed prices before tax, and what they were reckoned to cost."""

    title: str
    garments: int
    price: Decimal
    cost: Decimal

    @property
    def profit(self) -> Decimal:
        return self.price - self.cost

    @property
    def margin(self) -> Decimal | None:
        """Profit as a share of the price; None without a price."""
        return margin(cost=self.cost, price=self.price) if self.price > 0 else None


def profit_by_style(workshop: Workshop) -> list[StyleEarnings]:
    """Return what delivered garments earned, the style that earned most first, in three queries.

    The price is the one of the accepted quote; the cost is that of the estimate that holds. A garment without
    either is left out.
    """
    delivered = Garment.objects.filter(workshop=workshop, stage=Stage.DELIVERED)
    prices = _agreed_prices(workshop)
    # As text: a plain look-up would read the amount as a float on SQLite.
    costs = dict(
        Estimate.objects.filter(
            workshop=workshop, garment__stage=Stage.DELIVERED, superseded_at=None
        ).values_list("garment_id", KT("content__cost"))
    )
    sums: dict[str, StyleEarnings] = {}
    for pk, order_id, position, style in delivered.values_list("pk", "order_id", "position", "style"):
        price = prices.get((order_id, position))
        if price is None or pk not in costs:
            continue
        title = STYLES[style].title if style in STYLES else style
        held = sums.get(style, StyleEarnings(title, 0, ZERO, ZERO))
        sums[style] = StyleEarnings(
            title, held.garments + 1, held.price + price, held.cost + Decimal(costs[pk])
        )
    return sorted(sums.values(), key=lambda row: (-row.profit, row.title))


def _agreed_prices(workshop: Workshop) -> dict[tuple[int, int], Decimal]:
    """Price before tax by order and position: a quote has a line a garment, in their order.

    Only the lines are read: the drawings in a quote are many times as long.
    """
    delivered = Garment.objects.filter(workshop=workshop, stage=Stage.DELIVERED)
    accepted = Quote.objects.filter(
        workshop=workshop, state=QuoteState.ACCEPTED, order__in=delivered.values("order")
    )
    return {
        (order_id, position): Decimal(line["net"])
        for order_id, lines in accepted.values_list("order_id", "content__lines")
        for position, line in enumerate(lines, start=1)
    }
