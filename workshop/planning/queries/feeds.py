"""What somebody's calendar program fetches: fittings, days on which something is due, own tasks.

Titles and times only: the address may lie on a server of whoever made the calendar program, so no customer,
no wearer and no measure is named.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta

from django.conf import settings
from django.db.models import Exists, OuterRef, QuerySet

from workshop.orders.models import Garment
from workshop.people.models import Staff, Workshop
from workshop.planning.models import CalendarFeed, Fitting, Task
from workshop.planning.queries.calendar_files import fitting_entry, organizer_of
from workshop.planning.queries.hours import hours_of
from workshop.planning.queries.week import open_garments
from workshop.planning.rules.calendar import Interval, within
from workshop.planning.rules.ics import Entry, calendar_file

FEED_BACK = timedelta(days=60)
"""So long a fitting stays in a feed: a cancelled one must be learnt of."""

SHORTEST_SECRET, LONGEST_SECRET = 20, 64


def feed_of(secret: str) -> CalendarFeed | None:
    """Return the feed of a secret; None, without a difference, where it is guessed or withdrawn, or the
    person has left."""
    if not SHORTEST_SECRET <= len(secret) <= LONGEST_SECRET or "\x00" in secret:
        return None
    rows = CalendarFeed.objects.select_related("staff__workshop")
    return rows.filter(secret=secret, withdrawn_at=None, staff__active=True).first()


def open_feeds(workshop: Workshop) -> QuerySet[CalendarFeed]:
    """Return the feeds of the workshop that are open, by name."""
    rows = CalendarFeed.objects.filter(staff__workshop=workshop, withdrawn_at=None)
    return rows.select_related("staff").order_by("staff__name", "pk")


def feed_address(feed: CalendarFeed) -> str:
    """Return the address that a calendar program subscribes to."""
    return f"{settings.PUBLIC_ADDRESS}/calendar/{feed.secret}.ics"


def work_feed(staff: Staff, *, now: datetime, host: str) -> bytes:
    """Return somebody's feed: an owner's has all fittings and due days, a worker's those of their own work;
    both have their own tasks, in the hours in which they work on them.

    ``host``: see ``site_host``.
    """
    workshop = staff.workshop
    entries = [
        *(_fitting(fitting, host) for fitting in _fittings(staff, now)),
        *_due_days(_garments(staff), host),
        *_tasks(staff, host),
    ]
    return calendar_file(
        entries,
        zone=workshop.zone,
        stamp=now,
        organizer=organizer_of(workshop),
        name=f"{workshop.name}: {staff.name}",
    )


def _fittings(staff: Staff, now: datetime) -> QuerySet[Fitting]:
    rows = Fitting.objects.filter(workshop=staff.workshop, ends_at__gt=now - FEED_BACK)
    if not staff.is_owner:
        rows = rows.filter(fitter=staff)
    return rows.select_related("garment__order", "workshop").order_by("starts_at", "pk")


def _fitting(fitting: Fitting, host: str) -> Entry:
    garment = fitting.garment
    return fitting_entry(fitting, host, f"Fitting: {garment.title}, order {garment.order.number}")


def _garments(staff: Staff) -> QuerySet[Garment]:
    rows = open_garments(staff.workshop)
    if not staff.is_owner:
        rows = rows.filter(Exists(Task.objects.filter(garment=OuterRef("pk"), staff=staff, done_at=None)))
    return rows.select_related("order").order_by("order__due_on", "order__number", "position")


def _due_days(garments: Iterable[Garment], host: str) -> Iterator[Entry]:
    """Yield one entry an order, for the whole day on which it is due."""
    by_order: dict[int, list[Garment]] = defaultdict(list)
    for garment in garments:
        by_order[garment.order_id].append(garment)
    for rows in by_order.values():
        order = rows[0].order
        yield Entry(
            uid=f"due-{order.pk}@{host}",
            starts_at=order.due_on,
            ends_at=order.due_on + timedelta(days=1),
            summary=f"Due: order {order.number}, {', '.join(garment.title for garment in rows)}",
            sequence=order.version,
            busy=False,
        )


def _tasks(staff: Staff, host: str) -> Iterator[Entry]:
    """Yield the stretches in which somebody works on what is planned for them and not done."""
    rows = Task.objects.filter(staff=staff, done_at=None)
    spans = [
        (task, Interval(task.planned_start_at, task.planned_end_at))
        for task in rows.select_related("garment__order").order_by("planned_start_at", "pk")
        if task.planned_start_at is not None and task.planned_end_at is not None
    ]
    if not spans:
        return
    day_of = staff.workshop.day_of
    first_on = min(day_of(span.start) for _, span in spans)
    last_on = max(day_of(span.end) for _, span in spans)
    there = hours_of(staff.workshop, first_on, last_on).of(staff)
    for task, span in spans:
        # What is pinned may lie outside the hours.
        for number, stretch in enumerate(within(there, *span) or [span]):
            yield Entry(
                uid=f"task-{task.pk}-{number}@{host}",
                starts_at=stretch.start,
                ends_at=stretch.end,
                summary=f"{task.title}: {task.garment.title}, order {task.garment.order.number}",
            )
