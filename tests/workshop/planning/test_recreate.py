"""Some orders taken out and put back: never worse, and nearer to the plan that people know."""

from __future__ import annotations

from hypothesis import given, settings

from tests.workshop.planning.test_solver import problems
from workshop.planning.rules.checker import faults
from workshop.planning.rules.compiled import Compiled
from workshop.planning.rules.dispatch import Dispatched, best_dispatch
from workshop.planning.rules.problem import (
    Objective,
    Order,
    Placement,
    Problem,
    Resource,
    Span,
    Task,
    cost_of,
)
from workshop.planning.rules.recreate import recreate
from workshop.planning.rules.solver import make_plan


def never():
    return False


@settings(max_examples=60, deadline=None)
@given(problems())
def test_recreate_is_feasible_and_never_later(problem):
    compiled = Compiled(problem)
    known = best_dispatch(compiled)

    made = recreate(compiled, known, seed=1, stop=never)

    assert faults(problem, made.places) == ()
    assert made.cost == cost_of(problem, made.places) <= known.cost


def one_a_day(names, *, people=("Ada",), due=10_000, **more):
    days = tuple(Span(day * 1440, day * 1440 + 480) for day in range(30))
    orders = tuple(Order(name, (Task("sew", 480, people, split=True, **more),), due=due) for name in names)
    return Problem(Objective.TARDINESS, tuple(Resource(name, days) for name in people), orders)


def on(person, day):
    return Placement(person, (Span(day * 1440, day * 1440 + 480),))


def test_moved_work_is_put_back_where_people_know_it():
    problem = one_a_day("abc")
    compiled = Compiled(problem)
    known = [on("Ada", 2), on("Ada", 0), on("Ada", 1)]
    other = ((on("Ada", 0),), (on("Ada", 1),), (on("Ada", 2),))

    made = recreate(compiled, Dispatched("other", other, 0), seed=1, stop=never, known=known)

    assert [row[0] for row in made.places] == known


def test_work_that_fittings_wait_for_goes_first_where_nothing_is_late():
    days = one_a_day("ab")
    eager = Order("c", (Task("sew", 480, ("Ada",), split=True, eager=True),), due=10_000)
    problem = Problem(days.objective, days.resources, (*days.orders, eager))

    plan = make_plan(problem, seconds=1)

    assert plan.places[2] == (on("Ada", 0),)


def test_the_load_is_even_where_nothing_else_decides():
    problem = one_a_day("abcd", people=("Ada", "Bo"))
    one = tuple((on("Ada", day),) for day in range(4))

    made = recreate(Compiled(problem), Dispatched("one", one, 0), seed=1, stop=never)

    assert sorted(row[0].resource for row in made.places) == ["Ada", "Ada", "Bo", "Bo"]


def test_make_plan_moves_what_it_must_and_nothing_else():
    problem = one_a_day("abcde")
    urgent = Order("urgent", (Task("sew", 480, ("Ada",), split=True),), due=4 * 1440 - 960)
    problem = Problem(problem.objective, problem.resources, (*problem.orders, urgent))
    standing = [[("Ada", day * 1440)] for day in (3, 1, 4, 0, 2)] + [[(None, None)]]

    plan = make_plan(problem, seconds=2, standing=standing)

    assert plan.objective == 0
    moved = [
        number
        for number, (row, ((_, start),)) in enumerate(zip(plan.places, standing[:5], strict=False))
        if row[0].start != start
    ]
    # Ready by the fourth day, it takes one of the first four; whose day that is goes to the end.
    assert len(moved) <= 2
