from __future__ import annotations

import pytest

from workshop.planning.rules.checker import Fault, faults
from workshop.planning.rules.problem import Objective, Order, Placement, Problem, Resource, Span, Task

PROBLEM = Problem(
    Objective.TARDINESS,
    (Resource("Ada", (Span(0, 100), Span(200, 300))), Resource("Bo")),
    (
        Order(
            "dress",
            (Task("cut", 50, ("Ada",), release=10), Task("sew", 60, ("Ada", "Bo"), (0,), split=True)),
            due=0,
        ),
    ),
)
GOOD = ((Placement("Ada", (Span(10, 60),)), Placement("Ada", (Span(60, 100), Span(200, 220)))),)


def test_faults_finds_none_in_a_feasible_plan():
    assert faults(PROBLEM, GOOD) == ()


@pytest.mark.parametrize(
    ("index", "place", "message"),
    [
        (0, Placement("Bo", (Span(10, 60),)), "'Bo' cannot do this task"),
        (0, Placement("Ada", (Span(10, 59),)), "lasts 49 minutes instead of 50"),
        (0, Placement("Ada", (Span(5, 55),)), "starts at 5, before its release 10"),
        (0, Placement("Ada", (Span(10, 30), Span(30, 60))), "is split and may not be"),
        (1, Placement("Ada", (Span(60, 120),)), "works from 60 to 120, when 'Ada' is not there"),
        (1, Placement("Ada", (Span(60, 90), Span(200, 230))), "pauses from 90 to 200 while 'Ada' is there"),
        (1, Placement("Bo", (Span(50, 110),)), "starts at 50, before task 0 has ended (60)"),
        (1, Placement("Bo", ()), "has no span, or an empty one"),
    ],
)
def test_faults_names_what_is_wrong(index, place, message):
    row = list(GOOD[0])
    row[index] = place

    assert Fault(f"tasks[0][{index}]", message) in faults(PROBLEM, (tuple(row),))


def test_faults_sees_two_tasks_at_once():
    problem = Problem(
        Objective.MAKESPAN,
        (Resource("Bo"),),
        (Order("a", (Task("sew", 10, ("Bo",)),)), Order("b", (Task("sew", 10, ("Bo",)),))),
    )
    places = ((Placement("Bo", (Span(0, 10),)),), (Placement("Bo", (Span(9, 19),)),))

    assert faults(problem, places) == (Fault("tasks[1][0]", "overlaps tasks[0][0] on 'Bo' at minute 9"),)


def test_faults_wants_one_placement_a_task():
    assert [fault.field for fault in faults(PROBLEM, (GOOD[0][:1],))] == ["tasks"]
