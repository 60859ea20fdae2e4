from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workshop.planning.rules.calendar import (
    Interval,
    MinuteAxis,
    by_weekly_share,
    free_slots,
    joined,
    minutes_between,
    opening_intervals,
    wall_instant,
    whole_days,
    without,
    working_minutes,
)

LISBON = ZoneInfo("Europe/Lisbon")  # UTC in winter, +1 in summer
HOUR = timedelta(hours=1)


def utc(*parts: int) -> datetime:
    return datetime(*parts, tzinfo=UTC)


def test_opening_intervals_follow_the_wall_clock_over_the_change():
    # The clocks of Lisbon went forward on Sunday 30 March 2025.
    week = {weekday: [(time(9), time(17))] for weekday in range(7)}

    found = opening_intervals(week, date(2025, 3, 29), date(2025, 3, 30), LISBON)

    assert found == [
        Interval(utc(2025, 3, 29, 9), utc(2025, 3, 29, 17)),
        Interval(utc(2025, 3, 30, 8), utc(2025, 3, 30, 16)),
    ]


def test_opening_intervals_lose_the_skipped_hour_and_gain_the_repeated_one():
    week = {6: [(time(0, 30), time(3))]}

    assert working_minutes(opening_intervals(week, date(2025, 3, 30), date(2025, 3, 30), LISBON)) == 90
    assert working_minutes(opening_intervals(week, date(2025, 10, 26), date(2025, 10, 26), LISBON)) == 210
    assert working_minutes(opening_intervals(week, date(2025, 6, 1), date(2025, 6, 1), LISBON)) == 150


def test_opening_intervals_run_past_midnight_and_leave_out_closed_days():
    week = {4: [(time(20), time(2))], 5: [(time(20), time(0))]}

    found = opening_intervals(week, date(2025, 1, 3), date(2025, 1, 11), LISBON, {date(2025, 1, 10)})

    assert found == [
        Interval(utc(2025, 1, 3, 20), utc(2025, 1, 4, 2)),
        Interval(utc(2025, 1, 4, 20), utc(2025, 1, 5, 0)),
        Interval(utc(2025, 1, 11, 20), utc(2025, 1, 12, 0)),
    ]


def test_wall_instant_of_a_skipped_time_is_the_change_itself():
    assert wall_instant(date(2025, 3, 30), time(1, 20), LISBON) == utc(2025, 3, 30, 1)


@pytest.mark.parametrize(
    ("day", "hours"), [(date(2025, 3, 30), 23), (date(2025, 10, 26), 25), (date(2025, 6, 1), 24)]
)
def test_whole_days_last_as_long_as_the_clocks_make_them(day, hours):
    interval = whole_days(day, day, LISBON)

    assert interval.end - interval.start == hours * HOUR


def test_minute_axis_counts_elapsed_minutes():
    axis = MinuteAxis(datetime(2025, 3, 30, 0, 30, tzinfo=LISBON))

    assert axis.minute_at_or_before(datetime(2025, 3, 30, 2, 30, tzinfo=LISBON)) == 60
    assert axis.instant(60) == utc(2025, 3, 30, 1, 30)
    assert axis.minute_at_or_after(utc(2025, 3, 30, 0, 31, 1)) == 2
    assert axis.minute_at_or_before(utc(2025, 3, 30, 0, 31, 1)) == 1


def test_minutes_between_leaves_out_what_is_closed():
    openings = [
        Interval(utc(2025, 1, 6, 9), utc(2025, 1, 6, 12)),
        Interval(utc(2025, 1, 6, 13), utc(2025, 1, 6, 17)),
    ]

    assert minutes_between(openings, utc(2025, 1, 6, 11, 30), utc(2025, 1, 6, 13, 15)) == 45


def test_by_weekly_share_shortens_each_opening():
    openings = [Interval(utc(2025, 1, 6, 9), utc(2025, 1, 6, 17))]

    assert by_weekly_share(openings, 1200, 2400) == [Interval(utc(2025, 1, 6, 9), utc(2025, 1, 6, 13))]
    assert by_weekly_share(openings, 2500, 2400) == openings
    assert by_weekly_share(openings, 0, 2400) == []


def test_free_slots_start_on_the_grid_and_keep_clear():
    openings = [Interval(utc(2025, 1, 6, 9, 10), utc(2025, 1, 6, 12))]
    busy = [Interval(utc(2025, 1, 6, 10), utc(2025, 1, 6, 10, 40))]

    found = free_slots(
        openings,
        busy,
        length=timedelta(minutes=30),
        step=timedelta(minutes=30),
        zone=LISBON,
        earliest=utc(2025, 1, 6, 9, 0, 30),
        latest=utc(2025, 1, 6, 11, 59),
    )

    assert [slot.start for slot in found] == [utc(2025, 1, 6, 9, 30), utc(2025, 1, 6, 11)]


instants = st.datetimes(datetime(2025, 3, 25), datetime(2025, 4, 5), timezones=st.just(UTC))  # noqa: DTZ001  bounds
lengths = st.timedeltas(timedelta(minutes=1), timedelta(days=2))
some = st.lists(
    st.builds(lambda start, length: Interval(start, start + length), instants, lengths), max_size=6
)


@given(some, some, instants)
def test_without_leaves_exactly_what_is_not_taken(intervals, away, instant):
    def holds(found):
        return any(interval.start <= instant < interval.end for interval in found)

    assert holds(without(intervals, away)) == (holds(intervals) and not holds(away))
    assert holds(joined(intervals)) == holds(intervals)


@given(
    st.dates(date(2024, 1, 1), date(2027, 12, 31)),
    st.times(),
    st.sampled_from(["Europe/Lisbon", "America/St_Johns", "Australia/Lord_Howe"]),
)
def test_wall_instant_never_shows_an_earlier_time(day, at, name):
    zone = ZoneInfo(name)
    at = at.replace(microsecond=0)

    shown = wall_instant(day, at, zone).astimezone(zone)

    assert shown.replace(tzinfo=None) >= datetime.combine(day, at)
    assert (shown.replace(tzinfo=None) - datetime.combine(day, at)) < HOUR
