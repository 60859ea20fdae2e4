from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from workshop.planning.rules.openings import Openings
from workshop.planning.rules.problem import Span

LENGTHS = st.lists(st.tuples(st.integers(0, 6), st.integers(1, 8)), min_size=1, max_size=6)


def spans_of(lengths):
    at, spans = 0, []
    for gap, length in lengths:
        spans.append(Span(at + gap, at + gap + length))
        at += gap + length
    return spans


def end_minute_by_minute(spans, start, minutes):
    """Return the end by walking the clock; None where it is closed at the start or the openings end first."""
    open_minutes = {minute for span in spans for minute in range(span.start, span.end)}
    if start not in open_minutes:
        return None
    at = start
    while minutes and at <= spans[-1].end:
        minutes -= at in open_minutes
        at += 1
    return None if minutes else at


@given(LENGTHS, st.integers(0, 60), st.integers(1, 30))
def test_end_of_a_split_task_is_that_of_a_walk(lengths, start, minutes):
    spans = spans_of(lengths)

    assert Openings(spans).end(start, minutes, split=True) == end_minute_by_minute(spans, start, minutes)


@given(LENGTHS, st.integers(1, 30), st.booleans(), st.integers(0, 20), st.integers(10, 80))
def test_stretches_are_exactly_the_allowed_starts(lengths, minutes, split, earliest, latest_end):
    openings = Openings(spans_of(lengths))

    found = {
        start: start + minutes + stretch.pause
        for stretch in openings.stretches(minutes, earliest, latest_end, split=split)
        for start in range(stretch.first, stretch.last + 1)
    }

    wanted = {start: openings.end(start, minutes, split=split) for start in range(earliest, 90)}
    assert found == {start: end for start, end in wanted.items() if end is not None and end <= latest_end}


@given(LENGTHS, st.integers(1, 20), st.booleans(), st.integers(0, 60))
def test_next_start_is_the_first_allowed(lengths, minutes, split, earliest):
    openings = Openings(spans_of(lengths))
    allowed = (
        minute for minute in range(earliest, 120) if openings.end(minute, minutes, split=split) is not None
    )

    assert openings.next_start(earliest, minutes, split=split) == next(allowed, None)
