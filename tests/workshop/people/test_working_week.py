"""Working times as they are written, and a person's own week as it is kept."""

from __future__ import annotations

from datetime import time

import pytest

from tests.workshop.people.test_staff import edit, hire
from workshop.errors import Refusal
from workshop.people.rules.working_week import BadTimes, as_kept, as_week, read_day, write_day

MORNING, AFTERNOON = (time(9), time(13)), (time(14), time(17, 30))


@pytest.mark.parametrize(
    ("text", "spans"),
    [
        ("", []),
        ("  ", []),
        ("9:00 to 13:00, 14:00 to 17:30", [MORNING, AFTERNOON]),
        ("9-13; 14.00-17.30", [MORNING, AFTERNOON]),
        ("09:00\u201313:00,", [MORNING]),
    ],
)
def test_read_day_reads_what_people_write(text, spans):
    assert read_day(text) == spans
    assert read_day(write_day(spans)) == spans


@pytest.mark.parametrize("text", ["nine", "9", "9:00", "9-25", "9:60-10", "9-13 14-17", "-9-13", "9-13\x00"])
def test_read_day_refuses_what_is_no_time(text):
    with pytest.raises(BadTimes, match="write it like 9:00 to 13:00"):
        read_day(text)


def test_as_week_gives_back_what_as_kept_stores_in_order():
    spans = [(4, *AFTERNOON), (0, *AFTERNOON), (0, *MORNING)]

    assert as_kept(spans)[0] == [0, "09:00", "13:00"]
    assert as_week(as_kept(spans)) == {0: [MORNING, AFTERNOON], 4: [AFTERNOON]}


def test_a_person_has_no_times_of_their_own_until_they_are_written(room):
    assert hire(room).working_week == []

    edited = edit(room, room.apprentice, working_week=[(1, *AFTERNOON), (1, *MORNING)])

    edited.refresh_from_db()
    assert as_week(edited.working_week) == {1: [MORNING, AFTERNOON]}


@pytest.mark.parametrize(
    ("spans", "words"),
    [
        ([(7, *MORNING)], "A weekday is from 0"),
        ([(0, time(13), time(9))], "Monday ends before it begins"),
        ([(0, time(9), time(9))], "Monday ends before it begins"),
        ([(2, *MORNING), (2, time(12), time(15))], "Two spans of Wednesday overlap"),
        ([(0, time(hour), time(hour, 30)) for hour in range(7)], "at most 6 spans for Monday"),
    ],
)
def test_a_week_that_cannot_be_is_refused_and_the_old_one_kept(room, spans, words):
    kept = edit(room, room.apprentice, working_week=[(1, *MORNING)])

    with pytest.raises(Refusal, match=words) as refused:
        edit(room, kept, working_week=spans)

    kept.refresh_from_db()
    assert refused.value.field == "working_week"
    assert as_week(kept.working_week) == {1: [MORNING]}
