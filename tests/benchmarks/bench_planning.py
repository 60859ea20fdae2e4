"""Weighted lateness of the solver against the best rule of dispatch, on generated workshops.

``python -m tests.benchmarks.bench_planning`` prints one JSON line a case; ``ratio`` is solver / best rule
(less is better, 1 is no better), over the same workshops. Then the share of promises that a workshop keeps,
by the minute of nine times out of ten and by its day, beside what was foretold of the day.
"""

from __future__ import annotations

import json
import random
import time

from tests.workshop.planning.month import foretold_by_day, kept_by_day, kept_by_minute, promises
from workshop.planning.rules.checker import faults
from workshop.planning.rules.compiled import Compiled
from workshop.planning.rules.dispatch import best_dispatch
from workshop.planning.rules.problem import Objective, Order, Problem, Resource, Span, Task
from workshop.planning.rules.solver import make_plan

LOADS = (0.8, 1.0, 1.2)
SEEDS = (1, 2, 3)
PEOPLE, GARMENTS, SECONDS = 5, 40, 10.0
DAY, OPENS, CLOSES = 1440, 540, 1020
STEPS = (
    ("cut", 90, False),
    ("prepare", 60, False),
    ("sew", 300, True),
    ("press", 40, False),
    ("finish", 80, True),
)


def workshop(load: float, seed: int) -> Problem:
    """Return people of two or three skills and garments whose work fills ``load`` of the hours before the
    last due."""
    chance = random.Random(seed)
    groups = [name for name, _, _ in STEPS]
    # Sewing is most of the work and everybody sews; two can do everything, the others have two more skills.
    skills = [{"sew", *chance.sample(groups, 2)} for _ in range(PEOPLE - 2)] + [set(groups), set(groups)]
    orders = []
    for number in range(GARMENTS):
        tasks = tuple(
            Task(
                name,
                max(10, round(chance.lognormvariate(0, 0.35) * minutes)),
                tuple(f"P{n}" for n in range(PEOPLE) if name in skills[n]),
                after=(step - 1,) if step else (),
                split=split,
            )
            for step, (name, minutes, split) in enumerate(STEPS)
        )
        orders.append((number, tasks, chance.choice([1, 1, 2, 5])))
    work = sum(task.minutes for _, tasks, _ in orders for task in tasks)
    days = max(2, round(work / (load * PEOPLE * (CLOSES - OPENS))))
    openings = tuple(
        Span(day * DAY + OPENS, day * DAY + CLOSES)
        for day in range(8 * days)
        if day % 7 < 5  # closed at week's end
    )
    last = openings[days - 1].end
    made = tuple(
        Order(f"G{number}", tasks, due=chance.randint(last // 4, last), weight=weight)
        for number, tasks, weight in orders
    )
    return Problem(Objective.TARDINESS, tuple(Resource(f"P{n}", openings) for n in range(PEOPLE)), made)


def kept_promises() -> None:
    """Print how promises are kept at several loads: as noisy as reckoned, of another shape, and noisier."""
    for every in (250, 220, 200):
        for words, how in (
            ("as reckoned", {}),
            ("gamma", {"gamma": True}),
            ("1.4 x spread", {"spread": 1.4}),
        ):
            made = [row for seed in range(1, 13) for row in promises(seed, orders=60, every=every, **how)]
            line = {
                "benchmark": "promises kept",
                "open_minutes_an_order": every,
                "noise": words,
                "promises": len(made),
                "kept_by_minute": round(kept_by_minute(made), 3),
                "kept_by_day": round(kept_by_day(made), 3),
                "foretold_by_day": round(foretold_by_day(made), 3),
            }
            print(json.dumps(line), flush=True)


def main() -> None:
    kept_promises()
    for load in LOADS:
        solved = ruled = 0.0
        began = time.perf_counter()
        for seed in SEEDS:
            problem = workshop(load, seed)
            known = best_dispatch(Compiled(problem))
            plan = make_plan(problem, seconds=SECONDS, seed=seed)
            assert known is not None
            assert faults(problem, plan.places) == ()
            solved, ruled = solved + plan.objective, ruled + known.cost
        line = {
            "benchmark": "plan weighted lateness",
            "load": load,
            "workshops": len(SEEDS),
            "tasks": GARMENTS * len(STEPS),
            "solver": round(solved),
            "best_rule": round(ruled),
            "ratio": round(solved / ruled, 4) if ruled else 1.0,
            "seconds": round(time.perf_counter() - began, 1),
        }
        print(json.dumps(line), flush=True)


if __name__ == "__main__":
    main()
