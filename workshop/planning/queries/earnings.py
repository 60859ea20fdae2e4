"""What delivered garments earned, by style: agreed prices less what they took."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db.models import QuerySet
from django.db.models.fields.json import KT

from costing.models import CreditNote, Estimate, Invoice, Quote, QuoteState
from costing.rules.after import Timed, actual_cost, carried_overhead, rates_in
from costing.rules.crediting import lowered_nets
from costing.rules.money import ZERO
from costing.rules.overhead import margin
from drafting.styles import STYLES
from workshop.orders.models import Garment, LayPlan, Stage
from workshop.orders.queries import cut_lengths_of, held_lays
from workshop.people.models import Workshop
from workshop.planning.models import Task, TimeEntry
from workshop.planning.queries.after import cloths_of, held_at, minutes_spent, timed_of


@dataclass(frozen=True, slots=True)
class StyleEarnings:
    """The delivered garments of a style.

    Args:
        price: agreed, before tax, less what credit notes took off it.
        reckoned: what they were reckoned to cost when they were quoted.
        cost: what they took: hours as timed, cloth as cut; what nobody timed as it was reckoned.
        overhead: of that, the month's overhead that their hours carry.
        timed: how many of them have any work timed.
    """

    title: str
    garments: int = 0
    price: Decimal = ZERO
    reckoned: Decimal = ZERO
    cost: Decimal = ZERO
    overhead: Decimal = ZERO
    timed: int = 0

    @property
    def profit(self) -> Decimal:
        return self.price - self.cost

    @property
    def variable_cost(self) -> Decimal:
        """What another garment would cost beside the month's overhead."""
        return self.cost - self.overhead

    @property
    def margin(self) -> Decimal | None:
        """Profit as a share of the price; None without a price."""
        return margin(cost=self.cost, price=self.price) if self.price > 0 else None

    def joined(self, other: StyleEarnings) -> StyleEarnings:
        """The two together, under this one's title."""
        return StyleEarnings(
            self.title,
            self.garments + other.garments,
            self.price + other.price,
            self.reckoned + other.reckoned,
            self.cost + other.cost,
            self.overhead + other.overhead,
            self.timed + other.timed,
        )


def profit_by_style(workshop: Workshop) -> list[StyleEarnings]:
    """Return what delivered garments earned, the style that earned most first, in a fixed number of queries.

    The price is the one of the accepted quote. A garment without one, or never reckoned, is left out.
    """
    sums: dict[str, StyleEarnings] = {}
    for style, earned in _garments(workshop):
        sums[style] = sums.get(style, StyleEarnings(earned.title)).joined(earned)
    return sorted(sums.values(), key=lambda row: (-row.profit, row.title))


def _garments(workshop: Workshop) -> Iterator[tuple[str, StyleEarnings]]:
    """Each delivered garment by itself, with its style."""
    rows = list(
        Garment.objects.filter(workshop=workshop, stage=Stage.DELIVERED)
        .order_by("pk")
        .values_list("pk", "order_id", "position", "style")
    )
    keys = [pk for pk, *_ in rows]
    agreed, estimates = _agreed(workshop, keys), _estimates(keys)
    took = _Took(keys)
    for pk, order_id, position, style in rows:
        if order_id not in agreed:
            continue
        quoted_at, nets = agreed[order_id]
        estimate = held_at(estimates.get(pk, []), quoted_at)
        if estimate is None or position > len(nets):
            continue
        title = STYLES[style].title if style in STYLES else style
        yield style, took.earned(pk, title, nets[position - 1], estimate, workshop)


def _agreed(workshop: Workshop, garment_ids: list[int]) -> dict[int, tuple[datetime, list[Decimal]]]:
    """Of each order, when its accepted quote was written and the net price of each garment in their order,
    less what credit notes took off it.

    Only the lines are read: the drawings in a quote are many times as long.
    """
    accepted = Quote.objects.filter(
        workshop=workshop, state=QuoteState.ACCEPTED, order__garments__in=garment_ids
    ).distinct()
    taken = _taken_off(accepted.values("pk"))
    found = {}
    for pk, order_id, at, lines in accepted.values_list("pk", "order_id", "created_at", "content__lines"):
        nets = [Decimal(line["net"]) for line in lines]
        off = ((place if place in range(len(nets)) else None, net) for place, net in taken.get(pk, ()))
        found[order_id] = (at, lowered_nets(nets, off, workshop.currency))
    return found


def _taken_off(quotes: QuerySet[Quote, Any]) -> dict[int, list[tuple[int | None, Decimal]]]:
    """By quote, each line of its credit notes: the garment's place, None where it is of all, and its net.

    A final invoice names the garments first, in their order; the lines of a deposit invoice are of all.
    """
    found: dict[int, list[tuple[int | None, Decimal]]] = {}
    notes = CreditNote.objects.filter(lowers__in=quotes).order_by("pk")
    for pk, kind, lines in notes.values_list("lowers_id", "invoice__kind", "content__lines"):
        for line in lines:
            place = line["of"] if kind == Invoice.Kind.FINAL else None
            found.setdefault(pk, []).append((place, Decimal(line["net"])))
    return found


def _estimates(garment_ids: list[int]) -> dict[int, list[dict[str, Any]]]:
    """Every estimate of each garment, the oldest first."""
    found: dict[int, list[dict[str, Any]]] = {}
    # The cost as text: a plain look-up would read the amount as a float on SQLite.
    rows = Estimate.objects.filter(garment__in=garment_ids).order_by("created_at", "pk")
    for pk, created_at, cost, lines in rows.values_list(
        "garment_id", "created_at", KT("content__cost"), "content__lines"
    ):
        row = {"created_at": created_at, "cost": Decimal(cost), "lines": lines}
        found.setdefault(pk, []).append(row)
    return found


class _Took:
    """The hours and the cloth that garments took, read for all of them at once."""

    def __init__(self, garment_ids: list[int]) -> None:
        self.spent = minutes_spent(TimeEntry.objects.filter(task__garment__in=garment_ids))
        self.tasks: dict[int, list[Task]] = {}
        for task in Task.objects.filter(garment__in=garment_ids).order_by("position", "pk"):
            self.tasks.setdefault(task.garment_id, []).append(task)
        self.lays: dict[int, list[LayPlan]] = {}
        rows = held_lays(draft__garment__in=garment_ids)
        for lay in rows.select_related("cloth", "draft").defer("output", "draft__output").order_by("pk"):
            self.lays.setdefault(lay.draft.garment_id, []).append(lay)
        self.cut = cut_lengths_of(garment_ids)

    def earned(
        self, pk: int, title: str, price: Decimal, estimate: Mapping[str, Any], workshop: Workshop
    ) -> StyleEarnings:
        tasks: list[Timed] = [timed_of(task, self.spent) for task in self.tasks.get(pk, [])]
        cloths = cloths_of(self.lays.get(pk, []), self.cut.get(pk, {}), estimate["lines"])
        rates = rates_in(estimate["lines"])
        return StyleEarnings(
            title,
            garments=1,
            price=price,
            reckoned=estimate["cost"],
            cost=actual_cost(
                estimate["cost"],
                rates=rates,
                tasks=tasks,
                cloths=[(row.beyond, row.price_per_metre) for row in cloths],
                currency=workshop.currency,
            ),
            overhead=carried_overhead(
                estimate["lines"], rates=rates, tasks=tasks, currency=workshop.currency
            ),
            timed=int(any(task.spent is not None for task in tasks)),
        )
