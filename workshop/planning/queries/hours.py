"""When people are there, as instants: opening hours, closures, absences, each one's own times or share."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, time
from functools import cached_property

from workshop.people.models import OpeningHours, Role, Staff, Workshop
from workshop.people.rules.working_week import as_week
from workshop.planning.models import Closure
from workshop.planning.rules.calendar import (
    DAY,
    Interval,
    by_weekly_share,
    common,
    days,
    opening_intervals,
    whole_days,
    without,
    working_minutes,
)

LONGEST_CLOSED = 60
"""Days: an open day is looked for so far and no further."""


@dataclass(frozen=True)
class Hours:
    """The hours of a workshop from the first day to the last, both included. Read with ``hours_of``."""

    workshop: Workshop
    first_on: date
    last_on: date
    week: Mapping[int, list[tuple[time, time]]]
    closures: tuple[Closure, ...]
    staff: tuple[Staff, ...]

    @cached_property
    def open(self) -> list[Interval]:
        """Return when the workshop is open."""
        return opening_intervals(self.week, self.first_on, self.last_on, self.workshop.zone, self.closed_on)

    @cached_property
    def closed_on(self) -> set[date]:
        """Return the days on which the whole workshop is closed."""
        return self._days(closure for closure in self.closures if closure.staff_id is None)

    def of(self, staff: Staff) -> list[Interval]:
        """Return when that person is there: never outside the opening hours."""
        away = [
            whole_days(closure.from_on, closure.to_on, self.workshop.zone)
            for closure in self.closures
            if closure.staff_id == staff.pk
        ]
        return without(self._usual(staff), away)

    def is_open(self, day: date) -> bool:
        """Tell whether that day has opening hours."""
        return bool(self.week.get(day.weekday())) and day not in self.closed_on

    def open_days(self, after: date, before: date) -> int:
        """Return how many days with opening hours lie between the two, neither included."""
        return sum(1 for day in days(after, before) if after < day < before and self.is_open(day))

    def open_on_or_before(self, day: date) -> date:
        """Return the last open day up to that day; the day itself where it is closed for very long."""
        return next(filter(self.is_open, (day - number * DAY for number in range(LONGEST_CLOSED))), day)

    def open_on_or_after(self, day: date) -> date:
        """Return the first open day from that day on; the day itself where it is closed for very long."""
        return next(filter(self.is_open, (day + number * DAY for number in range(LONGEST_CLOSED))), day)

    def _usual(self, staff: Staff) -> list[Interval]:
        """Return when the person is there without absences: at their own times where these are written."""
        if not staff.working_week:
            return by_weekly_share(self.open, staff.weekly_minutes, self._week_minutes)
        own = as_week(staff.working_week)
        return common(self.open, opening_intervals(own, self.first_on, self.last_on, self.workshop.zone))

    @cached_property
    def _week_minutes(self) -> int:
        # A week without a clock change: what is agreed with people is an ordinary week.
        ordinary = opening_intervals(self.week, date(2024, 1, 1), date(2024, 1, 7), UTC)
        return max(1, working_minutes(ordinary))

    def _days(self, closures: Iterable[Closure]) -> set[date]:
        return {
            day
            for closure in closures
            for day in days(max(closure.from_on, self.first_on), min(closure.to_on, self.last_on))
        }


def hours_of(workshop: Workshop, first_on: date, last_on: date) -> Hours:
    """Read the workshop's hours from the first day to the last, in three queries."""
    week: dict[int, list[tuple[time, time]]] = {}
    for hours in OpeningHours.objects.filter(workshop=workshop).order_by("weekday", "opens_at", "pk"):
        week.setdefault(hours.weekday, []).append((hours.opens_at, hours.closes_at))
    closures = Closure.objects.filter(
        workshop=workshop, from_on__lte=last_on, to_on__gte=first_on
    ).select_related("staff")
    staff = Staff.objects.filter(workshop=workshop, active=True)
    return Hours(
        workshop, first_on, last_on, week, tuple(closures.order_by("pk")), tuple(staff.order_by("pk"))
    )


def able(staff: Iterable[Staff], skill: str) -> list[Staff]:
    """Return who can do that kind of work; where nobody is said to, the owners do it."""
    people = list(staff)
    skilled = [person for person in people if skill in person.skills]
    return skilled or [person for person in people if person.role == Role.OWNER]
