"""A garment as it was reckoned, beside what it took."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any, TypeVar

from costing.models import Estimate, Quote, QuoteState, Rates
from costing.queries import learnt_corrections
from costing.rules.after import Timed, actual_cost, cloths_reckoned, price_for, rates_in
from costing.rules.estimate import Pricing
from costing.rules.learning import Correction
from workshop.orders.models import Garment, LayPlan
from workshop.orders.queries import current_estimate, cut_lengths, held_lays
from workshop.orders.services.estimating import pricing_of
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
class Step:
    """An operation of a task that ran over: its minutes, and what such operations usually take of theirs.

    ``usual`` is None where nothing of its kind was timed.
    """

    name: str
    minutes: float
    usual: Correction | None

    @property
    def is_suspect(self) -> bool:
        """Whether its kind is known to run over: the whole interval lies above the standard."""
        return self.usual is not None and self.usual.interval[0] > 1

    @property
    def beyond(self) -> float:
        """Minutes by which it is expected to run over."""
        return 0.0 if self.usual is None else self.minutes * (self.usual.factor - 1)


@dataclass(frozen=True, slots=True)
class OverTask:
    """A task that took longer than was reckoned, minutes, with its operations, the likeliest cause first."""

    title: str
    planned: float
    spent: float
    steps: tuple[Step, ...]


@dataclass(frozen=True, slots=True)
class ClothLength:
    """A cloth of a garment, mm.

    Args:
        price_per_metre: of the estimate, so that a price which changed since moves nothing.
        charged: by the estimate.
        bought: for its lays, ends and the seller's steps included; of that the lays take ``laid``.
        cut: what was really cut; None before it is.
    """

    cloth_id: int
    name: str
    price_per_metre: Decimal
    charged: float
    bought: float
    laid: float
    cut: float | None

    @property
    def beyond(self) -> float:
        """What it took beyond what was charged: a lay other than was guessed, more or less cut than laid."""
        return 0.0 if self.cut is None else self.bought + self.cut - self.laid - self.charged


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
        reckoned: the estimate that was quoted and accepted; before that, the one that holds.
        taken: its price with what the garment cost by now.
        needed: what its price should have been.
        over: tasks that ran over, those by most first.
    """

    groups: tuple[GroupTime, ...]
    over: tuple[OverTask, ...]
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
    estimate = quoted_estimate(garment) if spent and rates is not None else None
    if estimate is None or rates is None:
        return None
    tasks = list(Task.objects.filter(garment=garment).order_by("position"))
    cloths = cloths_of(_lays(garment), cut_lengths(garment.pk), estimate.content["lines"])
    return After(
        groups=tuple(_groups(tasks, spent)),
        over=_over(garment, tasks, spent),
        cloths=cloths,
        **_prices(estimate, garment, rates, [timed_of(task, spent) for task in tasks], cloths),
    )


def minutes_spent(entries: Iterable[TimeEntry]) -> dict[int, float]:
    """Minutes timed on each task, by its key; a timer that runs still counts once it is stopped."""
    spent: dict[int, float] = {}
    for entry in entries:
        if entry.ended_at is not None:
            minutes = (entry.ended_at - entry.started_at).total_seconds() / 60
            spent[entry.task_id] = spent.get(entry.task_id, 0.0) + minutes
    return spent


def timed_of(task: Task, spent: dict[int, float]) -> Timed:
    planned = 0.0 if task.position >= FIRST_ADDED else float(task.minutes_planned)
    return Timed(task.group, planned, spent.get(task.pk), task.done_at is not None)


def _groups(tasks: list[Task], spent: dict[int, float]) -> Iterable[GroupTime]:
    for group in TaskGroup:
        timed = [timed_of(task, spent) for task in tasks if task.group == group]
        if timed:
            yield GroupTime(
                title=str(group.label),
                planned=sum(task.planned for task in timed),
                spent=sum(task.spent or 0.0 for task in timed),
                beyond=sum(task.beyond for task in timed),
                untimed=sum(1 for task in timed if task.done and task.spent is None),
                done=all(task.done for task in timed),
            )


def _over(garment: Garment, tasks: list[Task], spent: dict[int, float]) -> tuple[OverTask, ...]:
    """The timer knows tasks only: which operation of one ran over is told by what others of its kind took."""
    known = learnt_corrections(garment.workshop)
    rows = [(task, timed_of(task, spent)) for task in tasks]
    late = sorted((row for row in rows if row[1].beyond >= 1), key=lambda row: -row[1].beyond)
    return tuple(
        OverTask(task.title, timed.planned, timed.spent or 0.0, _steps(task, known)) for task, timed in late
    )


def _steps(task: Task, known: Mapping[str, Correction]) -> tuple[Step, ...]:
    steps = [
        Step(step["name"], float(step["minutes"]), known.get(step.get("kind", "")))
        for step in task.operations
    ]
    return tuple(sorted(steps, key=lambda step: -step.beyond))


def quoted_estimate(garment: Garment) -> Estimate | None:
    """The estimate that a garment was quoted by: what was reckoned when its price was agreed.

    Before a quote is accepted, the one that holds.
    """
    accepted = Quote.objects.filter(order_id=garment.order_id, state=QuoteState.ACCEPTED)
    accepted_at = accepted.values_list("created_at", flat=True).first()
    if accepted_at is None:
        return current_estimate(garment)
    rows = Estimate.objects.filter(garment=garment)
    before = rows.filter(created_at__lte=accepted_at).order_by("-created_at", "-pk").first()
    return before or rows.order_by("created_at", "pk").first()


Found = TypeVar("Found", bound=Mapping[str, Any])


def held_at(rows: Sequence[Found], at: datetime) -> Found | None:
    """Of rows in the order of making the last that was made by ``at`` ("created_at"); else the first."""
    before = [row for row in rows if row["created_at"] <= at]
    return before[-1] if before else next(iter(rows), None)


def _lays(garment: Garment) -> list[LayPlan]:
    lays = held_lays(draft__garment=garment).select_related("cloth")
    return list(lays.defer("output").order_by("pk"))


def cloths_of(
    lays: Iterable[LayPlan], cut: Mapping[int, float], lines: Sequence[Mapping[str, str]]
) -> tuple[ClothLength, ...]:
    """Each cloth once: one that serves two purposes is laid twice and cut in one go."""
    reckoned = cloths_reckoned(lines)
    found: dict[int, ClothLength] = {}
    for lay in lays:
        known, before = reckoned.get(str(lay.cloth_id)), found.get(lay.cloth_id)
        laid = lay.cut_mm + (before.laid if before else 0.0)
        bought = lay.buy_length_mm + (before.bought if before else 0.0)
        found[lay.cloth_id] = ClothLength(
            lay.cloth_id,
            lay.cloth.name,
            known.price_per_metre if known else Decimal(lay.cloth.price_per_metre),
            known.length_mm if known else bought,
            bought,
            laid,
            cut.get(lay.cloth_id),
        )
    return tuple(found.values())


def _prices(
    estimate: Estimate,
    garment: Garment,
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
    stored = estimate.inputs.get("pricing")
    pricing = pricing_of(garment, rates) if stored is None else Pricing.read(stored)
    needed = price_for(taken, pricing=pricing, currency=content["currency"])
    return {
        "reckoned": Price(cost, net, total),
        "taken": Price(taken, net, total),
        "needed": Price(taken, needed.net, needed.total),
    }
