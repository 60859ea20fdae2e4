"""How full the coming weeks are: hours booked against hours there."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from workshop.people.models import Workshop
from workshop.planning.models import Task
from workshop.planning.queries.hours import hours_of
from workshop.planning.queries.week import upcoming_fittings
from workshop.planning.rules.calendar import Interval, minutes_between, whole_days, within, working_minutes

WEEKS_AHEAD = 8

There = Mapping[int, Sequence[Interval]]
"""When each person is there, by key."""

Taken = tuple[int, datetime, datetime]
"""Who is taken, from when, until when."""


@dataclass(frozen=True, slots=True)
class WeekHours:
    """Minutes booked against minutes there, in the seven days from ``from_on``.

    ``asked`` are minutes planned for garments that nobody has agreed to yet: they are not booked.
    """

    from_on: date
    booked: int
    there: int
    asked: int = 0

    @property
    def title(self) -> str:
        return f"Week of {self.from_on.day} {self.from_on:%B}"

    @property
    def share(self) -> int:
        """Return the percent of the week that is booked, at most 100, for a bar."""
        return 100 if self.over else round(100 * self.booked / self.there) if self.there else 0

    @property
    def over(self) -> bool:
        return self.booked > self.there

    @property
    def free(self) -> int:
        """Return the minutes that are there and not booked."""
        return max(0, self.there - self.booked)

    @property
    def beyond(self) -> int:
        """Return the minutes that are booked and not there."""
        return max(0, self.booked - self.there)


def hours_booked(
    workshop: Workshop, now: datetime, *, weeks: int = WEEKS_AHEAD, tentative: Collection[int] = ()
) -> list[WeekHours]:
    """Return for each of the coming weeks, from Monday, the hours booked and the hours there; the past is
    left out. ``tentative`` are the keys of garments that nobody has agreed to yet."""
    today = workshop.day_of(now)
    monday = today - timedelta(days=today.weekday())
    hours = hours_of(workshop, monday, monday + timedelta(weeks=weeks) - timedelta(days=1))
    there = {person.pk: hours.of(person) for person in hours.staff}
    agreed, asked = _spans_of_tasks(workshop, now, tentative)
    agreed += [
        (fitting.fitter_id, fitting.starts_at, fitting.ends_at)
        for fitting in upcoming_fittings(now).filter(workshop=workshop)
    ]
    found = []
    for number in range(weeks):
        first = monday + timedelta(weeks=number)
        week = whole_days(first, first + timedelta(days=6), workshop.zone)
        left = Interval(max(week.start, now), week.end)
        free = sum(working_minutes(within(intervals, *left)) for intervals in there.values())
        found.append(WeekHours(first, _minutes(agreed, there, left), free, _minutes(asked, there, left)))
    return found


def _spans_of_tasks(
    workshop: Workshop, now: datetime, tentative: Collection[int]
) -> tuple[list[Taken], list[Taken]]:
    """Return who is planned from when until when: for what is agreed, and for the rest."""
    agreed: list[Taken] = []
    asked: list[Taken] = []
    planned = Task.objects.filter(
        workshop=workshop, done_at__isnull=True, planned_end_at__gt=now, staff__isnull=False
    ).order_by("pk")
    for task in planned:
        if task.staff_id and task.planned_start_at and task.planned_end_at:
            span = (task.staff_id, task.planned_start_at, task.planned_end_at)
            (asked if task.garment_id in tentative else agreed).append(span)
    return agreed, asked


def _minutes(spans: Iterable[Taken], there: There, week: Interval) -> int:
    """Return the minutes in which people are there and taken within the week."""
    return sum(
        minutes_between(there.get(person, []), max(begin, week.start), min(end, week.end))
        for person, begin, end in spans
    )
