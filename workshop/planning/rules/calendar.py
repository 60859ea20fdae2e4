"""Where planning meets clocks: opening hours as instants, working minutes, free times.

Every instant that leaves this module is in UTC. That is not taste: Python compares and subtracts two aware
datetimes of one zone by their wall clocks, which is wrong by an hour across a clock change.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from typing import NamedTuple

MINUTE = timedelta(minutes=1)
DAY = timedelta(days=1)

Week = Mapping[int, Sequence[tuple[time, time]]]
"""Weekday (0 = Monday) to its opening and closing times on the wall clock."""


class Interval(NamedTuple):
    """Instants from ``start`` up to, not including, ``end``."""

    start: datetime
    end: datetime


@dataclass(frozen=True, slots=True)
class MinuteAxis:
    """The minutes of a problem: whole elapsed minutes since ``zero``, whatever the clocks on the wall did."""

    zero: datetime

    def minute_at_or_after(self, instant: datetime) -> int:
        """Return the first whole minute that is not before the instant."""
        return -((self.zero.astimezone(UTC) - instant.astimezone(UTC)) // MINUTE)

    def minute_at_or_before(self, instant: datetime) -> int:
        """Return the last whole minute that is not after the instant."""
        return (instant.astimezone(UTC) - self.zero.astimezone(UTC)) // MINUTE

    def instant(self, minute: int) -> datetime:
        """Return the instant of a minute, in UTC."""
        return self.zero.astimezone(UTC) + minute * MINUTE


def wall_instant(day: date, at: time, zone: tzinfo, *, last: bool = False) -> datetime:
    """Return when the wall clock first (or ``last``) shows that time or a later one on that day.

    A time that the clocks skip is the instant of the change; a time that comes twice is the first or the
    last.
    """
    shown = datetime.combine(day, at)
    first = shown.replace(tzinfo=zone, fold=0).astimezone(UTC)
    second = shown.replace(tzinfo=zone, fold=1).astimezone(UTC)
    if second < first:  # the clocks skip it: PEP 495 gives the two sides of the change
        return _change_between(second, first, zone)
    return second if last else first


def opening_intervals(
    week: Week, first_on: date, last_on: date, zone: tzinfo, closed_on: Collection[date] = ()
) -> list[Interval]:
    """Return when it is open from the first day to the last, both included.

    A closing time not after the opening time is on the next day. Where the clocks go back the repeated hour
    counts twice; where they go forward the skipped one not at all.
    """
    found: list[Interval] = []
    for day in days(first_on, last_on):
        if day not in closed_on:
            found += (_opening(day, opens, closes, zone) for opens, closes in week.get(day.weekday(), ()))
    return joined(interval for interval in found if interval.start < interval.end)


def whole_days(from_on: date, to_on: date, zone: tzinfo) -> Interval:
    """Return the days from midnight to midnight, both included, in the zone."""
    return Interval(wall_instant(from_on, time.min, zone), wall_instant(to_on + DAY, time.min, zone))


def days(first_on: date, last_on: date) -> Iterator[date]:
    """Yield each day, both ends included."""
    for number in range((last_on - first_on).days + 1):
        yield first_on + number * DAY


def joined(intervals: Iterable[Interval]) -> list[Interval]:
    """Return the instants that lie in any of the intervals, as intervals in order and apart."""
    found: list[Interval] = []
    for interval in sorted(intervals):
        if found and interval.start <= found[-1].end:
            found[-1] = Interval(found[-1].start, max(found[-1].end, interval.end))
        elif interval.start < interval.end:
            found.append(interval)
    return found


def without(intervals: Iterable[Interval], away: Iterable[Interval]) -> list[Interval]:
    """Return the intervals with everything in ``away`` taken out, in order and apart."""
    left = joined(intervals)
    for gone in joined(away):
        left = [
            piece
            for interval in left
            for piece in (
                Interval(interval.start, min(interval.end, gone.start)),
                Interval(max(interval.start, gone.end), interval.end),
            )
            if piece.start < piece.end
        ]
    return left


def common(intervals: Iterable[Interval], others: Iterable[Interval]) -> list[Interval]:
    """Return the instants that lie in both, as intervals in order and apart."""
    held = joined(intervals)
    return without(held, without(held, others))


def within(intervals: Iterable[Interval], start: datetime, end: datetime) -> list[Interval]:
    """Return the parts of the intervals that lie from ``start`` to ``end``."""
    cut = (Interval(max(interval.start, start), min(interval.end, end)) for interval in intervals)
    return [interval for interval in cut if interval.start < interval.end]


def working_minutes(intervals: Iterable[Interval]) -> int:
    """Return the whole minutes that the intervals hold together; they must be apart."""
    return sum((interval.end - interval.start for interval in intervals), timedelta()) // MINUTE


def minutes_between(openings: Iterable[Interval], start: datetime, end: datetime) -> int:
    """Return the working minutes from ``start`` to ``end``; 0 where the end is not later."""
    return working_minutes(within(openings, start, end))


def by_weekly_share(intervals: Sequence[Interval], weekly_minutes: int, week_minutes: int) -> list[Interval]:
    """Return each opening shortened from its end to a person's share of the week.

    Somebody who works 20 hours in a workshop that is open for 40 is there for the first half of each
    opening: a plan needs to know not only how much but when, and this spreads it evenly. More than the week
    is the week.
    """
    if weekly_minutes >= week_minutes:
        return list(intervals)
    shortened = (
        Interval(
            interval.start,
            interval.start
            + (interval.end - interval.start) // MINUTE * weekly_minutes // week_minutes * MINUTE,
        )
        for interval in intervals
    )
    return [interval for interval in shortened if interval.start < interval.end]


def free_slots(
    openings: Iterable[Interval],
    busy: Iterable[Interval],
    *,
    length: timedelta,
    step: timedelta,
    zone: tzinfo,
    earliest: datetime,
    latest: datetime,
) -> Iterator[Interval]:
    """Yield the free times of that length, in order, starting when the wall clock shows a multiple of
    ``step``."""
    for free in without(within(openings, earliest, latest), busy):
        start = _next_on_grid(free.start, step, zone)
        while start + length <= free.end:
            yield Interval(start, start + length)
            start = _next_on_grid(start + MINUTE, step, zone)


def clock_changes(first_on: date, last_on: date, zone: tzinfo) -> Iterator[datetime]:
    """Yield the instants, in UTC, at which the clocks of the zone change within the days (of UTC)."""
    before = datetime.combine(first_on, time.min, tzinfo=UTC)
    for day in days(first_on + DAY, last_on + DAY):
        after = datetime.combine(day, time.min, tzinfo=UTC)
        if before.astimezone(zone).utcoffset() != after.astimezone(zone).utcoffset():
            yield _change_between(before, after, zone)
        before = after


def _opening(day: date, opens: time, closes: time, zone: tzinfo) -> Interval:
    closing_day = day if closes > opens else day + DAY
    return Interval(wall_instant(day, opens, zone), wall_instant(closing_day, closes, zone, last=True))


def _change_between(before: datetime, after: datetime, zone: tzinfo) -> datetime:
    """Return the first second at which the zone's offset is that of ``after``."""
    offset = after.astimezone(zone).utcoffset()
    low, high = before, after
    while high - low > timedelta(seconds=1):
        middle = low + (high - low) // 2
        if middle.astimezone(zone).utcoffset() == offset:
            high = middle
        else:
            low = middle
    return high.replace(microsecond=0)


def _next_on_grid(instant: datetime, step: timedelta, zone: tzinfo) -> datetime:
    """Return the first whole minute from the instant on at which the wall clock shows a multiple of the
    step."""
    whole = instant.astimezone(UTC)
    if whole.second or whole.microsecond:
        whole = whole.replace(second=0, microsecond=0) + MINUTE
    shown = whole.astimezone(zone)
    past = (shown.hour * 60 + shown.minute) % (step // MINUTE)
    ahead = whole if past == 0 else whole + step - past * MINUTE
    # A clock change on the way may have moved the grid by part of a step.
    shown = ahead.astimezone(zone)
    return (
        ahead
        if (shown.hour * 60 + shown.minute) % (step // MINUTE) == 0
        else _next_on_grid(ahead + MINUTE, step, zone)
    )
