from __future__ import annotations

import copy

import pytest

from workshop.planning.rules.contract import read_problem
from workshop.planning.rules.errors import BadProblem
from workshop.planning.rules.problem import Objective, Order, Problem, Resource, Span, Task

GIVEN = {
    "objective": "tardiness",
    "resources": [{"name": "Ada", "open": [[480, 1020]]}, {"name": "Bo", "open": None}],
    "orders": [
        {
            "name": "G-12",
            "release": 0,
            "due": 4800,
            "weight": 2,
            "tasks": [
                {"name": "cut", "minutes": 90, "resources": ["Ada", "Bo"], "after": [], "split": False},
                {"name": "sew", "minutes": 700.0, "resources": ["Bo"], "after": [0], "split": True},
            ],
        }
    ],
}


def test_read_problem_reads_the_contract():
    tasks = (Task("cut", 90, ("Ada", "Bo")), Task("sew", 700, ("Bo",), after=(0,), split=True))

    assert read_problem(GIVEN) == Problem(
        Objective.TARDINESS,
        (Resource("Ada", (Span(480, 1020),)), Resource("Bo", None)),
        (Order("G-12", tasks, release=0, due=4800, weight=2),),
    )


TASK = "orders.0.tasks.0."


@pytest.mark.parametrize(
    ("path", "value", "field"),
    [
        ("objective", "lateness", "objective"),
        ("objective", ["tardiness"], "objective"),
        ("resources", [], "resources"),
        ("resources", {}, "resources"),
        ("resources.0.name", "", "resources[0].name"),
        ("resources.0.name", "Bo", "resources[1].name"),
        ("resources.0.open", [[480]], "resources[0].open[0]"),
        ("resources.0.open", [[480, 480]], "resources[0].open[0]"),
        ("resources.0.open", [[-5, 480]], "resources[0].open[0]"),
        ("resources.0.open", [[0, 480], [400, 500]], "resources[0].open[1]"),
        ("orders", [], "orders"),
        ("orders.0", "G-12", "orders[0]"),
        ("orders.0.due", None, "orders[0].due"),
        ("orders.0.due", float("nan"), "orders[0].due"),
        ("orders.0.release", -1, "orders[0].release"),
        ("orders.0.weight", -1, "orders[0].weight"),
        ("orders.0.weight", float("inf"), "orders[0].weight"),
        ("orders.0.weight", 0.12345, "orders[0].weight"),
        ("orders.0.weight", 10**400, "orders[0].weight"),
        ("orders.0.tasks", [], "orders[0].tasks"),
        (TASK + "each", [60, 90, 30], "orders[0].tasks[0].each"),
        (TASK + "machines", ["overlocker"], "orders[0].tasks[0].machines"),
        ("machines", [{"name": "overlocker", "count": 0}], "machines[0].count"),
        ("machines", [{"name": "press"}, {"name": "press"}], "machines[1].name"),
        (TASK + "due", "soon", "orders[0].tasks[0].due"),
        (TASK + "minutes", -90, "orders[0].tasks[0].minutes"),
        (TASK + "minutes", 90.5, "orders[0].tasks[0].minutes"),
        (TASK + "minutes", "90", "orders[0].tasks[0].minutes"),
        (TASK + "minutes", True, "orders[0].tasks[0].minutes"),
        (TASK + "minutes", float("inf"), "orders[0].tasks[0].minutes"),
        (TASK + "minutes", 10**9, "orders[0].tasks[0].minutes"),
        (TASK + "resources", ["Cy"], "orders[0].tasks[0].resources"),
        (TASK + "resources", [], "orders[0].tasks[0].resources"),
        (TASK + "resources", "Ada", "orders[0].tasks[0].resources"),
        (TASK + "after", [7], "orders[0].tasks[0].after"),
        (TASK + "after", [0], "orders[0].tasks[0].after"),
        (TASK + "after", [1], "orders[0].tasks"),
        (TASK + "split", "no", "orders[0].tasks[0].split"),
    ],
)
def test_read_problem_names_the_field_at_fault(path, value, field):
    data = copy.deepcopy(GIVEN)
    *inside, last = [int(step) if step.isdigit() else step for step in path.split(".")]
    at = data
    for step in inside:
        at = at[step]
    at[last] = value

    with pytest.raises(BadProblem) as refusal:
        read_problem(data)

    assert refusal.value.field == field
    assert str(refusal.value).startswith(f"{field}: ")


@pytest.mark.parametrize("key", ["objective", "resources", "orders"])
def test_read_problem_names_what_is_missing(key):
    data = {name: value for name, value in GIVEN.items() if name != key}

    with pytest.raises(BadProblem, match=f"^{key}: is missing$"):
        read_problem(data)


def test_read_problem_refuses_a_task_longer_than_any_opening():
    data = copy.deepcopy(GIVEN)
    data["orders"][0]["tasks"][0] = {"name": "cut", "minutes": 541, "resources": ["Ada"]}

    with pytest.raises(
        BadProblem, match="541 minutes do not fit: from minute 0 on its resources have at most 540"
    ):
        read_problem(data)


def test_read_problem_lets_the_due_be_left_out_for_a_makespan():
    data = copy.deepcopy(GIVEN)
    data["objective"] = "makespan"
    del data["orders"][0]["due"]

    assert read_problem(data).orders[0].due is None
