"""A month of a workshop that promises days and then works as long as things really take.

It replays what the services do, on the rules alone: when an order comes, the open work is planned by due
day, the new work goes between, and the day of nine times out of ten becomes its due day. Then the workshop
works on, each task as long as it really takes, until the next order comes. Time is counted in open minutes,
so that nights and week's ends vanish: ``OPEN`` to a day.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass, replace

from workshop.planning.rules.dispatch import dispatch
from workshop.planning.rules.noise import USUAL
from workshop.planning.rules.openings import Openings
from workshop.planning.rules.problem import Objective, Order, Placement, Places, Problem, Resource, Span, Task
from workshop.planning.rules.promise import promise

OPEN, DAYS_AHEAD, LEFT_AT_LEAST = 480, 20, 10
RUNS = 200
STEPS = (("cut", 90), ("prepare", 60), ("sew", 300), ("press", 40), ("finish", 80))
SKILLS = {
    "Ada": {"cut", "sew", "press"},
    "Bo": {"prepare", "sew", "finish"},
    "Cy": {"prepare", "sew", "press", "finish"},
}


@dataclass
class Step:
    """A task in the real workshop: its estimate, what it really takes, what was worked of it, by whom."""

    task: Task
    real: float
    worked: float = 0.0
    by: str | None = None

    @property
    def done(self) -> bool:
        return self.worked >= self.real


@dataclass
class Garment:
    """``likely`` is the minute by which it is ready nine times out of ten, ``due`` the end of that day, and
    ``chance`` what the promise gives that end."""

    steps: list[Step]
    likely: int = 0
    due: int = 0
    chance: float = 0.0
    ended: float = math.inf

    @property
    def left(self) -> list[Step]:
        return [step for step in self.steps if not step.done]


def promises(
    seed: int, *, orders: int, every: float, spread: float = 1.0, gamma: bool = False
) -> list[Garment]:
    """Return garments with what was promised of each and the minute at which it was really done.

    Args:
        every: mean open minutes between two orders.
        spread: times the noise that the promises reckon with.
        gamma: whether the real noise is of a gamma distribution of the same mean and variance.
    """
    chance = random.Random(seed)
    garments: list[Garment] = []
    now = 0
    for number in range(orders):
        new = _ordered(chance, spread, gamma=gamma)
        _promise(garments, new, now, seed + number)
        garments.append(new)
        coming = now + math.ceil(chance.expovariate(1 / every))
        _work(garments, now, coming)
        now = coming
    while any(garment.left for garment in garments):
        _work(garments, now, now + OPEN)
        now += OPEN
    return garments


def kept_by_minute(garments: list[Garment]) -> float:
    """Return the share of the garments that were done by the minute of nine times out of ten."""
    return sum(garment.ended <= garment.likely for garment in garments) / len(garments)


def kept_by_day(garments: list[Garment]) -> float:
    """Return the share of the garments that were done on the day promised."""
    return sum(garment.ended <= garment.due for garment in garments) / len(garments)


def foretold_by_day(garments: list[Garment]) -> float:
    """Return the share that the promises foretold of that."""
    return sum(garment.chance for garment in garments) / len(garments)


def _ordered(chance: random.Random, spread: float, *, gamma: bool) -> Garment:
    steps = []
    for number, (group, usual) in enumerate(STEPS):
        minutes = max(10, round(usual * chance.lognormvariate(0, 0.35)))
        people = tuple(name for name, skills in SKILLS.items() if group in skills)
        after = (number - 1,) if number else ()
        task = Task(group, minutes, people, after, split=group != "cut", noise=USUAL[group])
        steps.append(Step(task, minutes * _factor(chance, USUAL[group].spread * spread, gamma=gamma)))
    return Garment(steps)


def _factor(chance: random.Random, spread: float, *, gamma: bool) -> float:
    if not gamma:
        return chance.lognormvariate(0, spread)
    mean, variance = math.exp(spread**2 / 2), math.expm1(spread**2) * math.exp(spread**2)
    return chance.gammavariate(mean**2 / variance, variance / mean)


def _promise(garments: list[Garment], new: Garment, now: int, seed: int) -> None:
    problem, places = _plan(garments, now)
    made = promise(problem, places, [_order(new, now)], runs=RUNS, seed=seed)
    new.likely = now + made.likely
    new.due = math.ceil(new.likely / OPEN) * OPEN
    new.chance = made.kept(new.due - now)


def _plan(garments: list[Garment], now: int) -> tuple[Problem, Places]:
    resources = tuple(Resource(name, _spans(now)) for name in SKILLS)
    orders = tuple(_order(garment, now) for garment in garments if garment.left)
    problem = Problem(Objective.TARDINESS, resources, orders)
    made = dispatch(problem, "earliest due date")
    assert made is not None
    return problem, made.places


def _spans(now: int) -> tuple[Span, ...]:
    today = OPEN - now % OPEN
    return (Span(0, today), *(Span(today + n * OPEN, today + (n + 1) * OPEN) for n in range(DAYS_AHEAD)))


def _order(garment: Garment, now: int) -> Order:
    """Return what is left of it as far as anybody can know: the estimate less what was worked."""
    tasks = []
    for number, step in enumerate(garment.left):
        minutes = max(LEFT_AT_LEAST, math.ceil(step.task.minutes - step.worked))
        begun = step.by is not None
        pin = Placement(step.by, Openings(_spans(now)).pieces(0, minutes)) if step.by else None
        tasks.append(
            replace(
                step.task,
                minutes=minutes,
                after=(number - 1,) if number else (),
                split=step.task.split or begun,
                pinned=pin,
            )
        )
    return Order("garment", tuple(tasks), due=garment.due - now)


def _work(garments: list[Garment], now: int, until: int) -> None:
    """Work by the plan from now until then: everyone in the turns of the plan, as long as it really takes."""
    free = dict.fromkeys(SKILLS, float(now))
    ready = {id(garment): float(now) for garment in garments}
    for garment, step, place in _in_turn(garments, now):
        start = max(free[place.resource], ready[id(garment)])
        if not step.task.split and step.by is None and OPEN - start % OPEN < step.task.minutes:
            start = math.ceil((start + 1) / OPEN) * OPEN
        end = start + step.real - step.worked
        free[place.resource] = ready[id(garment)] = end if start < until else math.inf
        if end <= until:
            step.worked, garment.ended = step.real, end
        elif start < until:
            step.worked, step.by = step.worked + until - start, place.resource


def _in_turn(garments: list[Garment], now: int) -> Iterator[tuple[Garment, Step, Placement]]:
    _, places = _plan(garments, now)
    left = [garment for garment in garments if garment.left]
    rows = [
        (place.start, number, garment, step, place)
        for garment, row in zip(left, places, strict=True)
        for number, (step, place) in enumerate(zip(garment.left, row, strict=True))
    ]
    for _, _, garment, step, place in sorted(rows, key=lambda row: row[:2]):
        yield garment, step, place
