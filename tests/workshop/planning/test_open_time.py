from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tests.workshop.planning.test_openings import LENGTHS, spans_of
from workshop.planning.rules.open_time import OpenTime
from workshop.planning.rules.problem import Objective, Order, Placement, Problem, Resource, Span, Task


def problem_of(*openings, pinned=None):
    resources = tuple(Resource(f"R{number}", spans) for number, spans in enumerate(openings))
    return Problem(Objective.TARDINESS, resources, (Order("o", (Task("t", 1, ("R0",), pinned=pinned),)),))


NIGHTS = problem_of((Span(10, 20), Span(40, 45)), (Span(15, 22), Span(60, 70)))


def test_open_time_counts_the_minutes_in_which_anyone_is_there():
    time = OpenTime(NIGHTS)

    assert time.spans == [Span(10, 22), Span(40, 45), Span(60, 70)]
    assert [time.count(minute) for minute in (0, 10, 15, 22, 30, 40, 45, 59, 61, 99)] == [
        0,
        0,
        5,
        12,
        12,
        12,
        17,
        17,
        18,
        27,
    ]
    assert (time.end(12), time.start(12), time.end(17), time.start(17)) == (22, 40, 45, 60)
    assert list(time.pauses_after(30)) == [(12, 18), (17, 15)]
    assert list(time.pauses_after(41)) == [(17, 15)]


def test_shorten_takes_out_what_is_closed_to_all_and_keeps_openings_apart():
    short = OpenTime(NIGHTS).shorten(NIGHTS)

    assert [resource.open for resource in short.resources] == [
        (Span(0, 10), Span(12, 17)),
        (Span(5, 12), Span(17, 27)),
    ]


def test_open_time_of_somebody_always_there_leaves_all_in():
    problem = problem_of((Span(10, 20),), None)

    assert OpenTime(problem).shorten(problem) == problem


def test_open_time_holds_what_is_pinned_outside_of_all_openings():
    pin = Placement("R0", (Span(30, 31),))
    time = OpenTime(problem_of((Span(10, 20),), pinned=pin))

    assert time.spans == [Span(10, 20), Span(30, 31)]


@given(LENGTHS, LENGTHS, st.integers(0, 80), st.integers(0, 80))
def test_lateness_from_counts_is_the_lateness_in_minutes(one, other, end, due):
    """What the model adds up for an end that lies in open time."""
    time = OpenTime(problem_of(tuple(spans_of(one)), tuple(spans_of(other))))
    count = time.count(end)
    end = time.end(count)

    gone = sum(pause for at, pause in time.pauses_after(due) if count > at)

    assert max(0, count + time.offset(due) - due + gone) == max(0, end - due)
