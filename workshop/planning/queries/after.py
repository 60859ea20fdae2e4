"""A garment as it was reckoned, beside what it took."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from costing.models import Estimate, Rates
from costing.rules.after import Timed, actual_cost, price_for, pricing_in, rates_in
from workshop.orders.models import Garment, LayPlan
from workshop.orders.queries import current_estimate, cut_lengths
from workshop.orders.services.estimating import pricing_of
from workshop.people.models import Workshop
from workshop.planning.models import Task, TaskGroup, TimeEntry
from workshop.planning.rules.joining import FIRST_ADDED


@dataclass(frozen=True, slots=True)
class GroupTime:
    """The tasks of one kind, minutes. ``beyond``: of those that were timed, above what was planned."""

    title: str
    planned: float
    spent: float
    beyond: float
    untimed: int
    done: bool


@dataclass(frozen=True, slots=True)
class ClothLength:
    """A cloth of a garment, mm: laid by its lay plans, and cut (None before the garment is cut)."""

    cloth_id: int
    name: str
    price_per_metre: Decimal
    laid: float
    cut: float | None

    @property
    def beyond(self) -> float:
        return 0.0 if self.cut is None else self.cut - self.laid


@dataclass(frozen=True, slots=True)
class Price:
    """Cost, price before tax, price with tax, and what is left as profit."""

    cost: Decimal
    net: Decimal
    total: Decimal

    @property
    def profit(self) -> Decimal:
        return self.net - self.cost


@dataclass(frozen=True, slots=True)
class After:
    """Planned against actual.

    Args:
        groups: by kind of work, in the order of a garment.
        cloths: laid against cut.
        reckoned: the estimate that holds.
        taken: its price with what the garment cost by now.
        needed: what its price should have been.
    """

    groups: tuple[GroupTime, ...]
    cloths: tuple[ClothLength, ...]
    reckoned: Price
    taken: Price
    needed: Price

    @property
    def is_over(self) -> bool:
        return self.taken.cost > self.reckoned.cost

    @property
    def is_done(self) -> bool:
        return all(group.done for group in self.groups)


def after_of(garment: Garment, rates: Rates | None) -> After | None:
    """Return what a garment took beside what was reckoned, in a fixed number of queries.

    None where nobody timed anything on it, or nothing is reckoned.
    """
    spent = minutes_spent(TimeEntry.objects.filter(task__garment=garment))
    estimate = current_estimate(garment) if spent and rates is not None else None
    if estimate is None or rates is None:
        return None
    tasks = list(Task.objects.filter(garment=garment).order_by("position"))
    cloths = _cloths(garment)
    return After(
        groups=tuple(_groups(tasks, spent)),
        cloths=cloths,
        **_prices(estimate, garment.workshop, rates, [_timed(task, spent) for task in tasks], cloths),
    )


def minutes_spent(entries: Iterable[TimeEntry]) -> dict[int, float]:
    """Minutes timed on each task, by its key; a timer that runs still counts once it is stopped."""
    spent: dict[int, float] = {}
    for entry in entries:
        if entry.ended_at is not None:
            minutes = (entry.ended_at - entry.started_at).total_seconds() / 60
            spent[entry.task_id] = spent.get(entry.task_id, 0.0) + minutes
    return spent


def _timed(task: Task, spent: dict[int, float]) -> Timed:
    planned = 0.0 if task.position >= FIRST_ADDED else float(task.minutes_planned)
    return Timed(task.group, planned, spent.get(task.pk), task.done_at is not None)


def _groups(tasks: list[Task], spent: dict[int, float]) -> Iterable[GroupTime]:
    for group in TaskGroup:
        timed = [_timed(task, spent) for task in tasks if task.group == group]
        if timed:
            yield GroupTime(
                title=str(group.label),
                planned=sum(task.planned for task in timed),
                spent=sum(task.spent or 0.0 for task in timed),
                beyond=sum(task.beyond for task in timed),
                untimed=sum(1 for task in timed if task.done and task.spent is None),
                done=all(task.done for task in timed),
            )


def _cloths(garment: Garment) -> tuple[ClothLength, ...]:
    """Each cloth once: one that serves two purposes is laid twice and cut in one go."""
    lays = LayPlan.objects.filter(
        draft__garment=garment, draft__superseded_at=None, superseded_at=None
    ).select_related("cloth")
    laid: dict[int, float] = {}
    rows = {}
    for lay in lays.order_by("pk"):
        laid[lay.cloth_id] = laid.get(lay.cloth_id, 0.0) + lay.length_mm
        rows[lay.cloth_id] = lay.cloth
    cut = cut_lengths(garment.pk)
    return tuple(
        ClothLength(pk, row.name, row.price_per_metre, laid[pk], cut.get(pk)) for pk, row in rows.items()
    )


def _prices(
    estimate: Estimate,
    workshop: Workshop,
    rates: Rates,
    tasks: list[Timed],
    cloths: tuple[ClothLength, ...],
) -> dict[str, Price]:
    content = estimate.content
    cost, net, total = (Decimal(content[name]) for name in ("cost", "net", "total"))
    taken = actual_cost(
        cost,
        rates=rates_in(content["lines"]),
        tasks=tasks,
        cloths=[(row.beyond, row.price_per_metre) for row in cloths],
        currency=content["currency"],
    )
    pricing = pricing_in(content["lines"], cost, pricing_of(workshop, rates))
    needed = price_for(taken, pricing=pricing, currency=content["currency"])
    return {
        "reckoned": Price(cost, net, total),
        "taken": Price(taken, net, total),
        "needed": Price(taken, needed.net, needed.total),
    }
