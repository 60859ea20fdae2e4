from __future__ import annotations

import json

import pytest
from django.core.management import CommandError, call_command

from workshop.planning.rules.checker import faults
from workshop.planning.rules.contract import read_places, read_problem

PROBLEM = {
    "objective": "tardiness",
    "resources": [{"name": "Ada", "open": [[480, 1020], [1920, 2460]]}, {"name": "Bo", "open": None}],
    "orders": [
        {
            "name": "G-12",
            "release": 0,
            "due": 900,
            "weight": 2,
            "tasks": [
                {"name": "cut", "minutes": 90, "resources": ["Ada", "Bo"], "after": [], "split": False},
                {"name": "sew", "minutes": 600, "resources": ["Ada"], "after": [0], "split": True},
            ],
        }
    ],
}


@pytest.fixture
def plan(tmp_path):
    def run(text, **options):
        problem = tmp_path / "problem.json"
        problem.write_text(text if isinstance(text, str) else json.dumps(text))
        call_command("plan", problem=str(problem), out=str(tmp_path / "plan.json"), **options)
        return json.loads((tmp_path / "plan.json").read_text())

    return run


def test_plan_writes_the_contract(plan):
    made = plan(PROBLEM, seconds="5")
    seconds = made.pop("seconds")

    assert seconds >= 0
    assert made == {
        "contract": 1,
        "status": "optimal",
        "objective": 2160,
        "bound": 2160,
        "tasks": [
            [
                {"resource": "Bo", "spans": [[0, 90]]},
                {"resource": "Ada", "spans": [[480, 1020], [1920, 1980]]},
            ]
        ],
    }
    assert faults(read_problem(PROBLEM), read_places(made)) == ()


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "problem: .* is not JSON text in UTF-8"),
        ("[" * 100_000, "problem: .* is not JSON text in UTF-8"),
        ("[]", "problem: must be an object, not \\[\\]"),
        (
            json.dumps(PROBLEM).replace("600", "NaN"),
            "orders\\[0\\].tasks\\[1\\].minutes: must be a finite number",
        ),
        (
            json.dumps(PROBLEM).replace("600", "9000"),
            "orders\\[0\\].tasks\\[1\\].minutes: 9000 minutes do not fit",
        ),
        (
            json.dumps(PROBLEM).replace('"after": []', '"after": [1]'),
            "orders\\[0\\].tasks: 'after' runs in a circle",
        ),
    ],
)
def test_plan_refuses_in_one_line_and_writes_nothing(plan, tmp_path, text, message):
    with pytest.raises(CommandError, match=f"^{message}") as refusal:
        plan(text)

    assert refusal.value.returncode == 2
    assert "\n" not in str(refusal.value)
    assert [path.name for path in tmp_path.iterdir()] == ["problem.json"]


@pytest.mark.parametrize(
    ("options", "field"),
    [
        ({"seconds": "nan"}, "seconds"),
        ({"seconds": "-1"}, "seconds"),
        ({"seconds": ""}, "seconds"),
        ({"seed": "1.5"}, "seed"),
    ],
)
def test_plan_refuses_options(plan, options, field):
    with pytest.raises(CommandError, match=f"^{field}: ") as refusal:
        plan(PROBLEM, **options)

    assert refusal.value.returncode == 2


def test_plan_refuses_a_missing_file_or_folder(tmp_path):
    with pytest.raises(CommandError, match=r"^problem: .* cannot be read: No such file"):
        call_command("plan", problem=str(tmp_path / "none.json"), out=str(tmp_path / "plan.json"))
    with pytest.raises(CommandError, match=r"^out: there is no folder"):
        call_command("plan", problem=str(tmp_path / "none.json"), out=str(tmp_path / "no" / "plan.json"))
