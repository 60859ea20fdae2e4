"""A large plan: queued before the scarcest thing, then planned anew window by window; never later for it."""

from __future__ import annotations

from hypothesis import given, settings

from tests.benchmarks.bench_planning import workshop
from tests.workshop.planning.test_solver import problems
from workshop.planning.rules import solver, windows
from workshop.planning.rules.checker import faults
from workshop.planning.rules.compiled import Compiled
from workshop.planning.rules.dispatch import best_dispatch
from workshop.planning.rules.problem import Machine, Objective, Order, Problem, Resource, Task, cost_of
from workshop.planning.rules.queues import best_queued
from workshop.planning.rules.search import Limit
from workshop.planning.rules.windows import plan_in_windows


@settings(max_examples=25, deadline=None)
@given(problems().filter(lambda problem: problem.objective is Objective.TARDINESS))
def test_queues_and_windows_are_feasible_and_never_later(problem):
    compiled = Compiled(problem)
    known = best_dispatch(compiled)

    queued = best_queued(compiled, known, Limit.of(60))
    made = plan_in_windows(compiled, queued, seed=1, limit=Limit.of(0.05))

    assert faults(problem, queued.places) == faults(problem, made.places) == ()
    assert queued.cost == cost_of(problem, queued.places) <= known.cost
    assert made.cost == cost_of(problem, made.places) <= queued.cost


def test_who_keeps_the_scarcest_machine_least_goes_first():
    """Both weigh the same and are late; long work at hand, short at the machine, passes first."""

    def order(name, sew, press):
        tasks = (
            Task("sew", sew, ("Ada", "Bo", "Cy")),
            Task("press", press, ("Ada", "Bo", "Cy"), after=(0,), machines=("steam table",)),
        )
        return Order(name, tasks, due=0)

    orders = (order("a", 10, 300), order("b", 60, 10), order("c", 10, 300))
    people = tuple(Resource(name) for name in ("Ada", "Bo", "Cy"))
    problem = Problem(Objective.TARDINESS, people, orders, (Machine("steam table"),))
    compiled = Compiled(problem)
    known = best_dispatch(compiled)

    made = best_queued(compiled, known, Limit.of(60))

    assert made.places[1][1].start == 60
    assert (made.cost, known.cost) == (70 + 370 + 670, 310 + 320 + 620)


def test_one_window_after_another_is_planned_anew(monkeypatch):
    monkeypatch.setattr(windows, "WINDOW", 6)
    compiled = Compiled(workshop(1.0, 2, garments=24))
    known = best_dispatch(compiled)

    made = plan_in_windows(compiled, known, seed=1, limit=Limit.of(1))

    assert made.cost < known.cost
    assert faults(compiled.problem, made.places) == ()


def test_make_plan_splits_by_time_what_is_too_large_for_a_model(monkeypatch):
    monkeypatch.setattr(solver, "BUILD_SECONDS_A_TASK", 1.0)
    monkeypatch.setattr(solver, "Model", None)
    problem = workshop(1.0, 2, garments=24)

    plan = solver.make_plan(problem, seconds=1)

    assert plan.objective < 0.7 * best_dispatch(Compiled(problem)).cost
    assert faults(problem, plan.places) == ()
