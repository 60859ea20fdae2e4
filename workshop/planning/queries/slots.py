"""Times at which a garment can be tried on: it is ready, the fitter is there and free, the workshop is
open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import ngettext

from workshop.orders.models import Garment
from workshop.people.models import Staff, Workshop
from workshop.planning.models import Fitting, Task
from workshop.planning.queries.hours import Hours, able, hours_of
from workshop.planning.rules.calendar import Interval, free_slots, within
from workshop.planning.rules.joining import waits_for_fitting

STEP = timedelta(minutes=30)
NOTICE = timedelta(hours=2)
"""Nobody is offered a time sooner than this."""

UNPLANNED = timedelta(days=7)
"""How long a garment that is not drafted yet takes at least until it can be tried on. Common practice, no
source."""

DAYS_OFFERED = 42
SKILL = "fit"
EVERY_TIME = 2000
"""More times than any garment is offered."""


@dataclass(frozen=True, slots=True)
class FittingSlot:
    """A time that is free, and with whom."""

    starts_at: datetime
    ends_at: datetime
    fitter: Staff


def free_fitting_slots(
    garment: Garment, now: datetime, *, limit: int = 60, moved: Fitting | None = None
) -> list[FittingSlot]:
    """Return the next free fitting times of the garment, in order, at most ``limit``.

    ``moved``: a fitting that would give its own time back; its start is not offered again.
    They end before the day on which the order is due, or, where that day has come, within DAYS_OFFERED.
    """
    workshop = garment.workshop
    earliest = max(ready_to_try(garment, now), now + NOTICE)
    first_on, due_on = workshop.day_of(earliest), garment.order.due_on
    last_on = min(due_on - timedelta(days=1), first_on + timedelta(days=DAYS_OFFERED))
    if last_on < first_on:
        last_on = first_on + timedelta(days=DAYS_OFFERED)
    hours = hours_of(workshop, first_on, last_on)
    fitters = able(hours.staff, SKILL)
    taken = busy_times(fitters, earliest, but=moved)
    length = timedelta(minutes=workshop.fitting_minutes)
    found: dict[datetime, FittingSlot] = {}
    for fitter in fitters:
        for interval in _of_fitter(hours, fitter, taken[fitter.pk], length, earliest):
            found.setdefault(interval.start, FittingSlot(interval.start, interval.end, fitter))
    if moved is not None:
        found.pop(moved.starts_at, None)
    return [found[start] for start in sorted(found)][:limit]


def next_free_slot(garment: Garment, now: datetime, wished: datetime) -> FittingSlot | None:
    """Return the first free time of the garment from the wished one on, the first of all where none is later,
    or None."""
    slots = free_fitting_slots(garment, now, limit=EVERY_TIME)
    return next((slot for slot in slots if slot.starts_at >= wished), next(iter(slots), None))


def may_change_alone(fitting: Fitting, workshop: Workshop, now: datetime) -> bool:
    """Tell whether it is early enough for the customer to move or cancel the fitting without calling."""
    return fitting.starts_at - now >= timedelta(hours=workshop.fitting_notice_hours)


def notice_words(workshop: Workshop) -> str:
    """Return how long before a fitting that ends: ``a day``, ``3 days``, ``36 hours``."""
    days, hours = divmod(workshop.fitting_notice_hours, 24)
    if hours or not days:
        many = workshop.fitting_notice_hours
        return ngettext("an hour", "%(hours)s hours", many) % {"hours": many}
    return ngettext("a day", "%(days)s days", days) % {"days": days}


def fittings_of(garment: Garment) -> list[Fitting]:
    """Return the garment's fittings, cancelled ones too, by time."""
    return list(garment.fittings.select_related("fitter").order_by("starts_at", "pk"))


def fitting_of(workshop: Workshop, pk: int) -> Fitting | None:
    """Return a fitting of the workshop with its garment, or None."""
    rows = Fitting.objects.filter(workshop=workshop, pk=pk)
    return rows.select_related("workshop", "fitter", "garment", "garment__order", "garment__wearer").first()


def ready_to_try(garment: Garment, now: datetime) -> datetime:
    """Return when all that comes before the fitting is planned to be done."""
    tasks = list(Task.objects.filter(garment=garment).order_by("position", "pk"))
    left = [task for task in tasks if task.done_at is None and not waits_for_fitting(task.position)]
    ends = [task.planned_end_at for task in left if task.planned_end_at is not None]
    if not tasks or len(ends) < len(left):
        return max([now + UNPLANNED, *ends])
    return max([now, *ends])


def busy_times(
    fitters: Sequence[Staff], after: datetime, *, but: Fitting | None = None
) -> dict[int, list[Interval]]:
    """Return the fittings that each already has, ``but`` one."""
    taken: dict[int, list[Interval]] = {fitter.pk: [] for fitter in fitters}
    booked = Fitting.objects.filter(fitter__in=fitters, cancelled_at__isnull=True, ends_at__gt=after)
    if but is not None:
        booked = booked.exclude(pk=but.pk)
    for fitting in booked.order_by("starts_at", "pk"):
        taken[fitting.fitter_id].append(Interval(fitting.starts_at, fitting.ends_at))
    return taken


def is_there(fitter: Staff, starts_at: datetime, ends_at: datetime) -> bool:
    """Tell whether the person is there for the whole of that time."""
    day = fitter.workshop.day_of(starts_at)
    there = hours_of(fitter.workshop, day, fitter.workshop.day_of(ends_at)).of(fitter)
    return within(there, starts_at, ends_at) == [Interval(starts_at, ends_at)]


def _of_fitter(
    hours: Hours, fitter: Staff, taken: Sequence[Interval], length: timedelta, earliest: datetime
) -> Iterator[Interval]:
    there = hours.of(fitter)
    if not there:
        return iter(())
    return free_slots(
        there,
        taken,
        length=length,
        step=STEP,
        zone=hours.workshop.zone,
        earliest=earliest,
        latest=there[-1].end,
    )
