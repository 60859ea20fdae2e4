"""One overlocker, one steam table: in every plan no more are held than there are."""

from __future__ import annotations

import pytest

from workshop.errors import EditedMeanwhile, Refusal
from workshop.planning.models import Machine as Kept
from workshop.planning.rules.checker import faults
from workshop.planning.rules.compiled import Compiled
from workshop.planning.rules.dispatch import best_dispatch
from workshop.planning.rules.machines import Held
from workshop.planning.rules.problem import (
    Machine,
    Objective,
    Order,
    Placement,
    Problem,
    Resource,
    Span,
    Task,
)
from workshop.planning.rules.simulation import simulate
from workshop.planning.rules.solver import make_plan
from workshop.planning.services import add_machine, drop_machine, edit_machine

PEOPLE = (Resource("Ada"), Resource("Bo"), Resource("Cy"))


def presses(minutes, *, count=1, pins=()):
    """An order a task, each of which anybody may do, all needing the steam table."""
    everybody = tuple(person.name for person in PEOPLE)
    orders = tuple(
        Order(
            str(number),
            (Task("press", length, everybody, machines=("steam table",), pinned=dict(pins).get(number)),),
            due=0,
        )
        for number, length in enumerate(minutes)
    )
    return Problem(Objective.TARDINESS, PEOPLE, orders, (Machine("steam table", count),))


def starts(plan):
    return sorted(row[0].start for row in plan.places)


@pytest.mark.parametrize(("count", "expected"), [(1, [0, 10, 20]), (2, [0, 0, 10]), (3, [0, 0, 0])])
def test_as_many_at_once_as_there_are(count, expected):
    problem = presses([10, 10, 10], count=count)

    plan = make_plan(problem, seconds=2)

    assert starts(plan) == starts(best_dispatch(Compiled(problem))) == expected
    assert faults(problem, plan.places) == ()
    assert plan.optimal is True


def test_the_checker_sees_a_machine_that_is_held_twice():
    problem = presses([10, 10])
    places = (((Placement("Ada", (Span(0, 10),)),)), ((Placement("Bo", (Span(9, 19),)),)))

    (fault,) = faults(problem, places)

    assert (fault.field, fault.message) == (
        "tasks[1][0]",
        "is the 2th at minute 9 to need 'steam table', of which there are 1",
    )


def test_what_is_pinned_together_is_a_fact_and_the_rest_goes_around_it():
    pins = ((0, Placement("Ada", (Span(0, 10),))), (1, Placement("Bo", (Span(5, 15),))))
    problem = presses([10, 10, 10], pins=pins)

    plan = make_plan(problem, seconds=2)

    assert plan.places[2][0].start == 15
    assert faults(problem, plan.places) == ()


def test_a_machine_is_held_over_a_pause():
    people = (Resource("Ada", (Span(0, 10), Span(20, 40))), Resource("Bo"))
    first = Order("a", (Task("press", 15, ("Ada",), split=True, machines=("table",)),), due=0, weight=9)
    second = Order("b", (Task("press", 5, ("Bo",), machines=("table",)),), due=25)
    problem = Problem(Objective.TARDINESS, people, (first, second), (Machine("table"),))

    plan = make_plan(problem, seconds=2)

    assert [row[0].start for row in plan.places] == [0, 25]
    assert plan.objective == 9 * 25 + 5


def test_held_says_from_when_a_machine_may_be_had():
    pins = ((0, Placement("Ada", (Span(10, 20),))), (1, Placement("Bo", (Span(15, 30),))))
    compiled = Compiled(presses([10, 15, 5], count=2, pins=pins))
    held, work = Held(compiled), compiled.works[2]

    assert held.freed(work, 0, 15) is None
    assert held.freed(work, 0, 16) == 20
    assert held.freed(work, 20, 25) is None
    assert held.is_full(0, 15) is True
    assert held.profile(0) == [(Span(10, 15), 1), (Span(15, 20), 2), (Span(20, 30), 1)]


def test_runs_of_a_simulation_wait_for_the_machine():
    problem = presses([10, 20, 30], count=2)
    places = make_plan(problem, seconds=0).places

    ends = simulate(problem, places, runs=2)

    assert ends.tolist() == [[10, 10], [20, 20], [40, 40]]


def test_an_owner_keeps_the_machines(place, now):
    kept = {"workshop": place.workshop, "by": place.ada, "now": now}
    machine = add_machine(name=" overlocker ", count=1, groups=["sew", "finish"], **kept)
    with pytest.raises(Refusal, match="There is a machine of that name"):
        add_machine(name="overlocker", count=1, groups=["sew"], **kept)
    with pytest.raises(Refusal, match="which kinds of work"):
        add_machine(name="iron", count=1, groups=[], **kept)

    changed = edit_machine(
        machine=machine,
        name="overlocker",
        count=2,
        groups=["finish"],
        expected_version=1,
        by=place.ada,
        now=now,
    )
    assert (changed.count, changed.groups, changed.version) == (2, ["finish"], 2)
    with pytest.raises(EditedMeanwhile):
        edit_machine(
            machine=machine,
            name="overlocker",
            count=3,
            groups=["sew"],
            expected_version=1,
            by=place.ada,
            now=now,
        )

    drop_machine(machine=machine, by=place.ada, now=now)
    assert list(Kept.objects.all()) == []
    with pytest.raises(Refusal, match="taken off the list already"):
        drop_machine(machine=machine, by=place.ada, now=now)


def test_an_apprentice_keeps_none(place, now):
    with pytest.raises(Refusal):
        add_machine(workshop=place.workshop, name="iron", count=1, groups=["press"], by=place.bo, now=now)
