"""What the owner and the apprentice look at: what is due, what to do today."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import Prefetch, Q, QuerySet

from workshop.orders.models import Garment, Stage
from workshop.people.models import Staff, Workshop
from workshop.planning.models import Fitting, LateRisk, Task, TaskGroup, TimeEntry
from workshop.planning.queries.hours import Hours, hours_of
from workshop.planning.rules.calendar import whole_days
from workshop.planning.rules.joining import turn
from workshop.planning.rules.risk import risk_words

DAYS_SHOWN = 7


@dataclass(frozen=True, slots=True)
class GarmentDue:
    """A garment on the rail.

    ``days_in_hand`` are the working days between the day on which it is planned to be ready and the day on
    which it is due, neither counted; below zero it is late by as many, 0 is ready just in time. None: not
    everything that is left has its time in the plan, or nothing is known to be left before the garment is
    drafted.
    """

    garment: Garment
    due_on: date
    ready_at: datetime | None
    days_in_hand: int | None
    minutes_left: int
    next_task: Task | None
    next_fitting: Fitting | None
    risk: LateRisk | None

    @property
    def risk_words(self) -> str:
        """Return how likely it is to be late, in words with the figure; empty where that is not reckoned."""
        return risk_words(self.risk.percent) if self.risk else ""


def open_garments(workshop: Workshop) -> QuerySet[Garment]:
    """Return the garments that are not delivered, of orders that are not cancelled."""
    return Garment.objects.filter(workshop=workshop, order__cancelled_at__isnull=True).exclude(
        stage=Stage.DELIVERED
    )


def due_by(workshop: Workshop, now: datetime, *, days_ahead: int = DAYS_SHOWN) -> list[GarmentDue]:
    """Return the open garments due within the days ahead or already past, by due day, in a fixed number of
    queries."""
    today = workshop.day_of(now)
    garments = (
        open_garments(workshop)
        .filter(order__due_on__lte=today + timedelta(days=days_ahead))
        .select_related("order", "order__client", "wearer", "late_risk")
        .prefetch_related(
            Prefetch("tasks", Task.objects.filter(done_at__isnull=True).order_by("position", "pk")),
            Prefetch("fittings", upcoming_fittings(now)),
        )
        .order_by("order__due_on", "order__number", "position", "pk")
    )
    return _with_days(workshop, list(garments), now)


def days_in_hand(garment: Garment, now: datetime) -> GarmentDue:
    """Return what ``due_by`` says of one garment."""
    found = (
        Garment.objects.filter(pk=garment.pk)
        .select_related("order", "order__client", "wearer", "workshop", "late_risk")
        .prefetch_related(
            Prefetch("tasks", Task.objects.filter(done_at__isnull=True).order_by("position", "pk")),
            Prefetch("fittings", upcoming_fittings(now)),
        )
        .get()
    )
    return _with_days(found.workshop, [found], now)[0]


def running_task(staff: Staff) -> Task | None:
    """Return the task on which the person's timer runs."""
    return (
        Task.objects.filter(time_entries__staff=staff, time_entries__ended_at__isnull=True)
        .select_related("garment", "garment__order")
        .first()
    )


def today_tasks(staff: Staff, now: datetime) -> list[Task]:
    """Return what the person has still to do today, the overdue first, without what runs."""
    return list(_planned_for(staff).filter(planned_start_at__lt=_midnight(staff.workshop, now)))


def next_tasks(staff: Staff, now: datetime, *, limit: int = 3) -> list[Task]:
    """Return the next few tasks of the person after today."""
    return list(_planned_for(staff).filter(planned_start_at__gte=_midnight(staff.workshop, now))[:limit])


def own_cuts(staff: Staff, now: datetime) -> set[int]:
    """Return the garments that the person cuts now, today or next, or has cut and not ticked off, by key."""
    near = [*today_tasks(staff, now), *next_tasks(staff, now), running_task(staff)]
    own = {task.garment_id for task in near if task is not None and task.group == TaskGroup.CUT}
    done = Task.objects.filter(
        staff=staff, group=TaskGroup.CUT, done_at__isnull=False, garment__stage=Stage.CUT
    )
    return own | set(done.values_list("garment_id", flat=True))


def planned_week(workshop: Workshop, from_on: date, *, days_shown: int = DAYS_SHOWN) -> list[Task]:
    """Return the tasks that lie in those days, by person and start, for the picture of the week."""
    week = whole_days(from_on, from_on + timedelta(days=days_shown - 1), workshop.zone)
    return list(
        Task.objects.filter(
            Q(planned_start_at__lt=week.end, planned_end_at__gt=week.start),
            workshop=workshop,
            done_at__isnull=True,
            staff__isnull=False,
            garment__order__cancelled_at__isnull=True,
        )
        .select_related("staff", "garment", "garment__order")
        .order_by("staff__name", "staff_id", "planned_start_at", "pk")
    )


def _planned_for(staff: Staff) -> QuerySet[Task]:
    running = TimeEntry.objects.filter(staff=staff, ended_at__isnull=True).values("task_id")
    return (
        Task.objects.filter(staff=staff, done_at__isnull=True, planned_start_at__isnull=False)
        .filter(garment__order__cancelled_at__isnull=True)
        .exclude(garment__stage=Stage.DELIVERED)
        .exclude(pk__in=running)
        .select_related("garment", "garment__order")
        .order_by("planned_start_at", "position", "pk")
    )


def _midnight(workshop: Workshop, now: datetime) -> datetime:
    return whole_days(workshop.day_of(now), workshop.day_of(now), workshop.zone).end


def left_in_turn(garment: Garment) -> list[Task]:
    """Return the garment's prefetched open tasks as they are done."""
    return sorted(garment.tasks.all(), key=lambda task: turn(task.position))


def upcoming_fittings(now: datetime) -> QuerySet[Fitting]:
    """Return the fittings that are not over, held or cancelled, in their order."""
    return Fitting.objects.filter(cancelled_at__isnull=True, held_at__isnull=True, ends_at__gt=now).order_by(
        "starts_at", "pk"
    )


def _with_days(workshop: Workshop, garments: Sequence[Garment], now: datetime) -> list[GarmentDue]:
    today = workshop.day_of(now)
    ready = {garment.pk: _ready_at(list(garment.tasks.all()), now) for garment in garments}
    far = [workshop.day_of(at) for at in ready.values() if at] + [
        garment.order.due_on for garment in garments
    ]
    hours = hours_of(workshop, min([today, *far]), max([today, *far]))
    return [_due(workshop, garment, ready[garment.pk], hours, now) for garment in garments]


def _ready_at(left: Sequence[Task], now: datetime) -> datetime | None:
    """Return when the last of what is left ends; a plan that has passed undone cannot end before now."""
    ends = [task.planned_end_at for task in left]
    known = [end for end in ends if end is not None]
    if not left or len(known) < len(ends):
        return None
    return max([now, *known])


def _due(
    workshop: Workshop, garment: Garment, ready_at: datetime | None, hours: Hours, now: datetime
) -> GarmentDue:
    left = left_in_turn(garment)
    ends = ready_at
    if ends is None and not left and garment.stage in {Stage.FIT, Stage.DELIVER}:
        ends = now  # all its work is done
    return GarmentDue(
        garment=garment,
        due_on=garment.order.due_on,
        ready_at=ends,
        days_in_hand=None
        if ends is None
        else days_between(hours, workshop.day_of(ends), garment.order.due_on),
        minutes_left=sum(task.minutes_planned for task in left),
        next_task=left[0] if left else None,
        next_fitting=next(iter(garment.fittings.all()), None),
        risk=getattr(garment, "late_risk", None),
    )


def days_between(hours: Hours, ready_on: date, due_on: date) -> int:
    """Return the working days in hand; negative where it is ready on the due day or later."""
    if ready_on < due_on:
        return hours.open_days(ready_on, due_on)
    return -1 - hours.open_days(due_on, ready_on)
