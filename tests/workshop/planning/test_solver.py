from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from workshop.planning.rules.checker import faults
from workshop.planning.rules.compiled import Compiled
from workshop.planning.rules.dispatch import best_dispatch, dispatch
from workshop.planning.rules.errors import CannotPlan
from workshop.planning.rules.problem import (
    Machine,
    Objective,
    Order,
    Placement,
    Problem,
    Resource,
    Span,
    Task,
    cost_of,
)
from workshop.planning.rules.solver import make_plan


def one_machine(minutes, due, weights=None, objective=Objective.TARDINESS):
    weights = weights or [1] * len(minutes)
    orders = tuple(
        Order(str(n), (Task("work", p, ("machine",)),), due=d, weight=w)
        for n, (p, d, w) in enumerate(zip(minutes, due, weights, strict=True))
    )
    return Problem(objective, (Resource("machine"),), orders)


def test_make_plan_beats_every_rule_where_waiting_pays():
    # The long task is ready first, but starting it makes the heavy one 9 minutes late; waiting a minute
    # costs 1.
    problem = Problem(
        Objective.TARDINESS,
        (Resource("machine"),),
        (
            Order("long", (Task("work", 10, ("machine",)),), due=10, weight=1),
            Order("heavy", (Task("work", 2, ("machine",)),), release=1, due=3, weight=100),
        ),
    )

    plan = make_plan(problem, seconds=5)

    assert best_dispatch(Compiled(problem)).cost == 900
    assert (plan.objective, plan.bound, plan.optimal) == (3, 3, True)
    assert plan.places == (
        (Placement("machine", (Span(3, 13),)),),
        (Placement("machine", (Span(1, 3),)),),
    )


def test_make_plan_splits_a_task_over_the_openings_of_its_own_resource():
    problem = Problem(
        Objective.MAKESPAN,
        (Resource("Ada", (Span(0, 60), Span(100, 160))), Resource("Bo", (Span(10, 50), Span(55, 120)))),
        (Order("dress", (Task("sew", 80, ("Ada", "Bo"), split=True),)),),
    )

    plan = make_plan(problem, seconds=5)

    assert plan.places == ((Placement("Bo", (Span(10, 50), Span(55, 95))),),)
    assert (plan.objective, plan.optimal) == (95, True)


def test_make_plan_keeps_a_task_that_may_not_split_in_one_opening():
    problem = Problem(
        Objective.MAKESPAN,
        (Resource("Ada", (Span(0, 60), Span(100, 200))),),
        (Order("dress", (Task("cut", 80, ("Ada",)), Task("press", 60, ("Ada",), after=(0,), split=True))),
         Order("skirt", (Task("cut", 60, ("Ada",)),))),
    )  # fmt: skip

    with pytest.raises(CannotPlan, match="open"):
        make_plan(problem, seconds=5)


def test_make_plan_finds_a_fit_that_no_rule_finds():
    # Openings of 10 and 7: only 6 + 4 and 7 fill them; every rule starts the 7 (due first, shortest per
    # weight) at 0.
    problem = Problem(
        Objective.TARDINESS,
        (Resource("Ada", (Span(0, 10), Span(20, 27))),),
        tuple(
            Order(str(p), (Task("work", p, ("Ada",)),), due=due, weight=weight)
            for p, due, weight in ((6, 100, 1), (4, 100, 1), (7, 1, 10))
        ),
    )

    plan = make_plan(problem, seconds=5)

    assert best_dispatch(Compiled(problem)) is None
    assert faults(problem, plan.places) == ()
    assert (plan.objective, plan.optimal) == (260, True)


def test_make_plan_without_seconds_is_the_best_rule():
    problem = one_machine([5, 10, 2, 8, 6], [10, 15, 5, 12, 8])

    plan = make_plan(problem, seconds=0)

    assert plan.objective == best_dispatch(Compiled(problem)).cost


def test_make_plan_stops_when_cancelled():
    problem = one_machine([((7 * n) % 50) + 1 for n in range(60)], [((11 * n) % 400) for n in range(60)])

    # An hour: were the wish to stop not heard, this would not end.
    plan = make_plan(problem, seconds=3600, cancelled=lambda: True)

    assert plan.optimal is False
    assert faults(problem, plan.places) == ()


def test_make_plan_leaves_pinned_tasks_where_they_are():
    pin = Placement("Ada", (Span(5, 9),))
    problem = Problem(
        Objective.TARDINESS,
        (Resource("Ada"),),
        (
            Order(
                "pinned",
                (Task("sew", 4, ("Ada",), pinned=pin), Task("press", 1, ("Ada",), after=(0,))),
                due=10,
            ),
            Order("other", (Task("sew", 6, ("Ada",)),), due=0, weight=0.5),
        ),
    )

    plan = make_plan(problem, seconds=5)

    assert plan.places[0] == (pin, Placement("Ada", (Span(9, 10),)))
    assert plan.places[1] == (Placement("Ada", (Span(10, 16),)),)
    assert (plan.objective, plan.bound) == (8, 8)


def test_weights_of_thousandths_are_counted_exactly():
    problem = one_machine([3, 3], [0, 0], [0.125, 0.25])

    assert make_plan(problem, seconds=5).objective == 3 * 0.25 + 6 * 0.125


def test_dispatch_rules_differ_as_they_should():
    problem = one_machine([4, 1, 3], [4, 20, 5], [1, 1, 9])

    def turn(rule):
        return [row[0].start for row in dispatch(problem, rule).places]

    assert turn("earliest due date") == [0, 7, 4]
    assert turn("weighted shortest processing") == [4, 3, 0]  # 0.25, 1, 3 of weight a minute
    assert turn("apparent tardiness cost") == [3, 7, 0]


@st.composite
def durations(draw, names):
    """Who may do a task and what it takes: the same for all, or each their own; sometimes nothing at all."""
    may = tuple(draw(st.lists(st.sampled_from(names), min_size=1, unique=True)))
    each = tuple(draw(st.integers(0, 40)) for _ in may) if draw(st.booleans()) else ()
    return {"resources": may, "each": each, "minutes": min(each) if each else draw(st.integers(0, 40))}


@st.composite
def problems(draw):
    resources = []
    for number in range(draw(st.integers(1, 3))):
        openings, at = [], 0
        for _ in range(draw(st.integers(3, 6))):
            start = at + draw(st.integers(0, 30))
            at = start + draw(st.integers(20, 90))
            openings.append(Span(start, at))
        openings.append(Span(at + 5, at + 3000))
        resources.append(Resource(f"R{number}", draw(st.sampled_from([None, tuple(openings)]))))
    names = [resource.name for resource in resources]
    machines = tuple(Machine(f"M{n}", draw(st.integers(1, 2))) for n in range(draw(st.integers(0, 2))))
    orders = []
    for number in range(draw(st.integers(1, 4))):
        tasks = tuple(
            Task(
                f"t{index}",
                **draw(durations(names)),
                machines=tuple(machine.name for machine in machines if draw(st.booleans())),
                due=draw(st.one_of(st.none(), st.integers(0, 100))),
                wait=draw(st.sampled_from([0, 0, 0, 30])),
                after=tuple(draw(st.lists(st.integers(0, index - 1), max_size=2, unique=True)))
                if index
                else (),
                split=draw(st.booleans()),
                release=draw(st.integers(0, 60)),
            )
            for index in range(draw(st.integers(1, 4)))
        )
        orders.append(
            Order(
                f"o{number}",
                tasks,
                release=draw(st.integers(0, 50)),
                due=draw(st.integers(-20, 150)),
                weight=draw(st.sampled_from([0, 0.5, 1, 2.25, 5])),
            )
        )
    return Problem(draw(st.sampled_from(list(Objective))), tuple(resources), tuple(orders), machines)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(problems())
def test_make_plan_is_feasible_and_never_worse_than_a_rule(problem):
    plan = make_plan(problem, seconds=0.5)
    known = best_dispatch(Compiled(problem))

    assert faults(problem, plan.places) == ()
    assert plan.objective == cost_of(problem, plan.places)
    assert plan.bound <= plan.objective <= known.cost
    assert faults(problem, known.places) == ()


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(problems())
def test_optimal_plans_do_not_depend_on_what_the_search_started_from(problem):
    """An optimum found with domains cut by a known plan is the optimum found without."""
    from ortools.sat.python import cp_model

    from workshop.planning.rules.model import Model

    plan = make_plan(problem, seconds=3.0)
    compiled = Compiled(problem)
    model, solver = Model(compiled, None), cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = 3.0
    status = solver.solve(model.proto)

    if plan.optimal and status == cp_model.OPTIMAL and model.is_exact:
        assert plan.objective == cost_of(problem, compiled.places(model.placements(solver)))
