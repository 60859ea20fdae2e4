"""Weighted lateness of the solver against the best rule of dispatch, on generated workshops.

``python -m tests.benchmarks.bench_planning`` prints one JSON line a case; ``ratio`` is solver / best rule
(less is better, 1 is no better), over the same workshops. Then how long large workshops take. Then the share
of promises that a workshop keeps, by the minute of nine times out of ten and by its day, beside what was
foretold of the day.
"""

from __future__ import annotations

import json
import random
import time
from collections.abc import Sequence
from dataclasses import replace

from tests.workshop.planning.month import foretold_by_day, kept_by_day, kept_by_minute, promises
from workshop.planning.rules.checker import faults
from workshop.planning.rules.compiled import Compiled
from workshop.planning.rules.dispatch import best_dispatch
from workshop.planning.rules.problem import Machine, Objective, Order, Problem, Resource, Span, Task
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
FITTED = (*STEPS, ("sew", 120, True), ("press", 30, False), ("finish", 60, True))
"""With what is done after the fitting, which is waited for."""

FITTING_DAYS = 3
LARGE = ((15, 300, 10.0), (15, 600, 20.0), (15, 1500, 40.0), (15, 3000, 60.0))
"""People, garments and the seconds in which they are to have a plan."""


def workshop(load: float, seed: int, *, people: int = PEOPLE, garments: int = GARMENTS) -> Problem:
    """Return people of two or three skills and garments whose work fills ``load`` of the hours before the
    last due."""
    chance = random.Random(seed)
    skills = _skills(chance, people)
    orders = [(_tasks(chance, skills, STEPS), chance.choice([1, 1, 2, 5])) for _ in range(garments)]
    return _problem(chance, load, people, orders, days_more=8)


def large_workshop(load: float, seed: int, *, people: int, garments: int) -> Problem:
    """Return a workshop with fittings, two overlockers and two steam tables; every third garment is altered:
    25 tasks for three garments."""
    chance = random.Random(seed)
    skills = _skills(chance, people)
    orders = []
    for number in range(garments):
        steps = (*FITTED, ("sew", 45, True)) if number % 3 == 0 else FITTED
        tasks = [_with_machine(task) for task in _tasks(chance, skills, steps)]
        tasks[len(STEPS)] = replace(tasks[len(STEPS)], wait=FITTING_DAYS * DAY)
        orders.append((tuple(tasks), chance.choice([1, 1, 2, 5])))
    return _problem(chance, load, people, orders, days_more=3)


def _skills(chance: random.Random, people: int) -> list[set[str]]:
    groups = [name for name, _, _ in STEPS]
    # Sewing is most of the work and everybody sews; two can do everything, the others have two more skills.
    return [{"sew", *chance.sample(groups, 2)} for _ in range(people - 2)] + [set(groups), set(groups)]


def _tasks(
    chance: random.Random, skills: Sequence[set[str]], steps: Sequence[tuple[str, int, bool]]
) -> tuple[Task, ...]:
    return tuple(
        Task(
            name,
            max(10, round(chance.lognormvariate(0, 0.35) * minutes)),
            tuple(f"P{number}" for number, known in enumerate(skills) if name in known),
            after=(step - 1,) if step else (),
            split=split,
        )
        for step, (name, minutes, split) in enumerate(steps)
    )


def _with_machine(task: Task) -> Task:
    needs = {"press": ("steam table",), "finish": ("overlocker",)}
    return replace(task, machines=needs.get(task.name, ()))


def _problem(
    chance: random.Random,
    load: float,
    people: int,
    orders: Sequence[tuple[tuple[Task, ...], int]],
    *,
    days_more: int,
) -> Problem:
    work = sum(task.minutes for tasks, _ in orders for task in tasks)
    days = max(2, round(work / (load * people * (CLOSES - OPENS))))
    openings = tuple(
        Span(day * DAY + OPENS, day * DAY + CLOSES)
        for day in range(days_more * days)
        if day % 7 < 5  # closed at week's end
    )
    last = openings[days - 1].end
    made = tuple(
        Order(f"G{number}", tasks, due=chance.randint(last // 4, last), weight=weight)
        for number, (tasks, weight) in enumerate(orders)
    )
    machines = (Machine("overlocker", 2), Machine("steam table", 2))
    return Problem(
        Objective.TARDINESS, tuple(Resource(f"P{n}", openings) for n in range(people)), made, machines
    )


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


def large() -> None:
    """Print how long a large workshop takes to plan, and its lateness against that of the best rule."""
    for people, garments, seconds in LARGE:
        problem = large_workshop(1.0, 1, people=people, garments=garments)
        known = best_dispatch(Compiled(problem))
        assert known is not None
        began = time.perf_counter()
        plan = make_plan(problem, seconds=0.9 * seconds, seed=1)
        took = time.perf_counter() - began
        assert faults(problem, plan.places) == ()
        line = {
            "benchmark": "large workshop",
            "people": people,
            "garments": garments,
            "tasks": sum(len(order.tasks) for order in problem.orders),
            "seconds": round(took, 1),
            "within": seconds,
            "ratio": round(plan.objective / known.cost, 4) if known.cost else 1.0,
        }
        print(json.dumps(line), flush=True)


def weighted_lateness() -> None:
    """Print the weighted lateness of plans over that of the best rule, at several loads."""
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


def main() -> None:
    weighted_lateness()
    large()
    kept_promises()


if __name__ == "__main__":
    main()
