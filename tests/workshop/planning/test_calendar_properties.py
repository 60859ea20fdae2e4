"""What holds of the calendar on any day in any zone: clock changes, closed days, absences, midnight.

The oracle is the wall clock of the zone database, asked minute by minute.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from hypothesis import assume, example, given
from hypothesis import strategies as st

from workshop.people.models import Staff, Workshop
from workshop.people.rules.working_week import as_kept
from workshop.planning.models import Closure
from workshop.planning.queries import Hours
from workshop.planning.rules.calendar import (
    Interval,
    days,
    free_slots,
    minutes_between,
    opening_intervals,
    whole_days,
    within,
    without,
    working_minutes,
)

DAY = timedelta(days=1)
ZONES = ("Europe/Lisbon", "America/St_Johns", "Australia/Lord_Howe", "Pacific/Apia", "Asia/Kathmandu", "UTC")
"""Changes of an hour and of half an hour, north and south; odd offsets; none at all. Apia left out a whole
day in 2011 and changed its clocks until 2021."""

zones = st.sampled_from(ZONES).map(ZoneInfo)
some_days = st.dates(date(2010, 1, 1), date(2035, 12, 31))
# No clock of these zones changes between 4 in the morning and midnight.
mornings = st.times(time(4), time(13)).map(lambda at: at.replace(second=0, microsecond=0, fold=0))
evenings = st.times(time(14), time(23, 59)).map(lambda at: at.replace(second=0, microsecond=0, fold=0))
weeks = st.dictionaries(st.integers(0, 6), st.tuples(mornings, evenings).map(lambda span: [span]), max_size=7)
few_days = st.integers(0, 9)
stretches = st.tuples(weeks, some_days, few_days, zones)
"""Opening hours, the first day, how many more days, and where."""

LISBON = ZoneInfo("Europe/Lisbon")
SUNDAYS = {6: [(time(4), time(14))]}
A_DAY_OF_MINUTES = list(range(1440, 2880, 30))


def is_in(intervals: list[Interval], instant: datetime) -> bool:
    return any(interval.start <= instant < interval.end for interval in intervals)


def instants(first_on: date, last_on: date, minutes: list[int]) -> list[datetime]:
    """Some instants from a day before to a day after, in UTC."""
    zero = datetime.combine(first_on - DAY, time.min, tzinfo=UTC)
    whole = ((last_on - first_on).days + 3) * 24 * 60
    return [zero + timedelta(minutes=minute % whole) for minute in minutes]


some_minutes = st.lists(st.integers(0, 20_000), min_size=20, max_size=20)


@given(stretches, st.sets(st.integers(0, 9)), some_minutes)
@example((SUNDAYS, date(2025, 3, 30), 0, LISBON), set(), A_DAY_OF_MINUTES)
@example((SUNDAYS, date(2025, 10, 26), 0, LISBON), set(), A_DAY_OF_MINUTES)
def test_it_is_open_when_the_wall_clock_says_so(stretch, closed, minutes):
    week, first_on, more, zone = stretch
    last_on = first_on + more * DAY
    closed_on = {first_on + number * DAY for number in closed}
    found = opening_intervals(week, first_on, last_on, zone, closed_on)

    for instant in instants(first_on, last_on, minutes):
        shown = instant.astimezone(zone)
        spans = week.get(shown.weekday(), ()) if shown.date() not in closed_on else ()
        expected = first_on <= shown.date() <= last_on and any(
            opens <= shown.time() < closes for opens, closes in spans
        )
        assert is_in(found, instant) == expected, shown


@given(mornings, mornings, some_days, zones, some_minutes)
def test_hours_over_midnight_belong_to_the_day_on_which_they_begin(opens, closes, day, zone, minutes):
    """Open on one day from some morning hour over midnight to an earlier one."""
    assume(opens > closes)
    week = {day.weekday(): [(opens, closes)]}
    found = opening_intervals(week, day, day, zone)

    for instant in instants(day, day + DAY, minutes):
        shown = instant.astimezone(zone)
        on_day = shown.date() == day and shown.time() >= opens
        after_midnight = shown.date() == day + DAY and shown.time() < closes
        assert is_in(found, instant) == (on_day or after_midnight), shown


@given(some_days, few_days, zones, some_minutes)
@example(date(2011, 12, 29), 2, ZoneInfo("Pacific/Apia"), list(range(0, 7200, 60)))
@example(date(2025, 3, 30), 0, LISBON, list(range(0, 4320, 30)))
@example(date(2025, 10, 26), 0, LISBON, list(range(0, 4320, 30)))
def test_whole_days_hold_what_the_wall_clock_dates_on_them(first_on, more, zone, minutes):
    last_on = first_on + more * DAY
    interval = whole_days(first_on, last_on, zone)

    for instant in instants(first_on, last_on, minutes):
        on = instant.astimezone(zone).date()
        assert is_in([interval], instant) == (first_on <= on <= last_on), instant.astimezone(zone)


closures = st.lists(
    st.builds(
        lambda who, first, more: (who, first, first + more),
        st.sampled_from([None, 1, 2]),
        st.integers(-3, 12),
        st.integers(0, 5),
    ),
    max_size=5,
)


def hours(week, first_on, last_on, zone, away) -> Hours:
    """The hours of a workshop of two; closures as (person or None, first, last), days from the first one."""
    rows = tuple(
        Closure(staff_id=who, from_on=first_on + start * DAY, to_on=first_on + end * DAY)
        for who, start, end in away
    )
    workshop = Workshop(name="The Needle", time_zone=str(zone))
    staff = tuple(Staff(pk=number, workshop=workshop, weekly_minutes=10_080) for number in (1, 2))
    return Hours(workshop, first_on, last_on, week, rows, staff)


@given(stretches, closures, some_minutes)
def test_somebody_is_there_when_it_is_open_and_nobody_said_otherwise(stretch, away, minutes):
    week, first_on, more, zone = stretch
    last_on = first_on + more * DAY
    found = hours(week, first_on, last_on, zone, away)
    there = {staff.pk: found.of(staff) for staff in found.staff}

    for instant in instants(first_on, last_on, minutes):
        on = (instant.astimezone(zone).date() - first_on).days
        closed = any(who is None and start <= on <= end for who, start, end in away)
        for pk in (1, 2):
            absent = any(who == pk and start <= on <= end for who, start, end in away)
            open_then = is_in(opening_intervals(week, first_on, last_on, zone), instant)
            assert is_in(there[pk], instant) == (open_then and not closed and not absent)


@given(stretches)
def test_open_days_are_as_long_as_their_hours_whatever_the_clocks_do(stretch):
    """Hours from 4 in the morning on are as long on the day of a clock change as on any other."""
    week, first_on, more, zone = stretch
    last_on = first_on + more * DAY
    assume(not (str(zone) == "Pacific/Apia" and first_on <= date(2011, 12, 30) <= last_on))
    minutes = sum(
        (closes.hour - opens.hour) * 60 + closes.minute - opens.minute
        for day in days(first_on, last_on)
        for opens, closes in week.get(day.weekday(), ())
    )

    assert working_minutes(opening_intervals(week, first_on, last_on, zone)) == minutes


@given(
    stretches,
    st.lists(st.tuples(st.integers(0, 4320), st.integers(1, 400)), max_size=5),
    st.integers(10, 200),
    st.sampled_from([10, 15, 30, 60]),
    st.integers(0, 4320),
)
def test_free_times_lie_in_the_hours_beside_what_is_taken_and_on_the_grid(stretch, taken, length, step, late):
    week, first_on, _, zone = stretch
    minute = timedelta(minutes=1)
    zero = datetime.combine(first_on - DAY, time.min, tzinfo=UTC)
    earliest, latest = zero + late * minute, zero + 4320 * minute
    openings = opening_intervals(week, first_on, first_on + 2 * DAY, zone)
    busy = [Interval(zero + start * minute, zero + (start + more) * minute) for start, more in taken]
    sizes = {"length": length * minute, "step": step * minute}
    found = list(free_slots(openings, busy, zone=zone, earliest=earliest, latest=latest, **sizes))

    for slot in found:
        shown = slot.start.astimezone(zone)
        assert slot.end - slot.start == length * minute
        assert earliest <= slot.start < slot.end <= latest
        assert (shown.hour * 60 + shown.minute) % step == 0
        assert within(openings, *slot) == [slot]
        assert not any(slot.start < other.end and other.start < slot.end for other in busy)
        assert minutes_between(openings, *slot) == length
    assert found == sorted(set(found))


def _pairs(ends: list[int]) -> list[tuple[time, time]]:
    """Spans apart from minutes of the day."""
    walls = [time(minute // 60, minute % 60) for minute in sorted(ends)]
    return list(zip(walls[::2], walls[1::2], strict=False))


# From 4 in the morning on, as above: a span that ends in the hour that comes twice lasts to its second time.
spans_apart = st.lists(st.integers(240, 1439), min_size=2, max_size=6, unique=True).map(_pairs)
own_weeks = st.dictionaries(st.integers(0, 6), spans_apart, min_size=1, max_size=7)


ALL_SUNDAY = {6: [(time(0), time(14))]}


@given(stretches, own_weeks, closures, some_minutes)
@example((ALL_SUNDAY, date(2025, 3, 30), 0, LISBON), {6: [(time(1, 30), time(5))]}, [], A_DAY_OF_MINUTES)
@example((ALL_SUNDAY, date(2025, 10, 26), 0, LISBON), {6: [(time(0), time(5))]}, [], A_DAY_OF_MINUTES)
def test_own_times_hold_by_the_wall_clock_and_never_outside_the_opening_hours(stretch, own, away, minutes):
    week, first_on, more, zone = stretch
    last_on = first_on + more * DAY
    found = hours(week, first_on, last_on, zone, away)
    worker = found.staff[0]
    worker.working_week = as_kept((day, *span) for day, spans in own.items() for span in spans)
    there = found.of(worker)

    assert without(there, found.open) == []
    for instant in instants(first_on, last_on, minutes):
        shown = instant.astimezone(zone)
        on = (shown.date() - first_on).days
        gone = any(who in (None, 1) and start <= on <= end for who, start, end in away)
        in_times = any(begins <= shown.time() < ends for begins, ends in own.get(shown.weekday(), ()))
        open_then = is_in(found.open, instant)
        assert is_in(there, instant) == (open_then and in_times and not gone), shown
