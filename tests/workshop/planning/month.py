"""A month of a workshop that promises days and then works as long as things really take.

It replays what the services do, on the rules alone: when an order comes, the open work is planned by due
day, the new work goes between, and the day of nine times out of ten becomes its due day. Then the workshop
works on, each task as long as it really takes, until the next order comes. Time is counted in open minutes,
so that nights and week's ends vanish: ``OPEN`` to a day.

What really happens has all that a promise has to reckon with: noise of each task's own, garments that are
harder than their estimate knows, people whose pace is not quite known, and a fitting in the middle of each
garment, for which the wearer comes when it suits her.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from dataclasses import dataclass, replace

from costing.rules.learning import SCATTER
from workshop.planning.rules.common_noise import USUAL_GARMENT, own_noise
from workshop.planning.rules.dispatch import dispatch
from workshop.planning.rules.openings import Openings
from workshop.planning.rules.problem import Objective, Order, Placement, Places, Problem, Resource, Span, Task
from workshop.planning.rules.promise import promise

OPEN, DAYS_AHEAD, LEFT_AT_LEAST = 480, 60, 10
RUNS = 200
STEPS = (
    ("cut", 90),
    ("prepare", 60),
    ("sew", 220),
    ("press", 30),
    ("sew", 80),
    ("press", 20),
    ("finish", 70),
)
TRIED_ON = 4
"""The step before which the wearer tries it on."""

WAIT, WAIT_SPREAD = 2 * OPEN, 0.5
GARMENT_SPREAD, PACE_SPREAD = USUAL_GARMENT, 0.08
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
    finished: bool = False


@dataclass
class Garment:
    """What was promised of it, and what came of it.

    ``likely`` is the minute by which it is ready nine times out of ten, ``due`` the end of the first day by
    which it is so, and ``chance`` what the promise gives that end. ``wait`` is how long the wearer really
    lets it wait, ``fitted`` when she comes, once the work before that is done.
    """

    steps: list[Step]
    likely: int = 0
    due: int = 0
    chance: float = 0.0
    ended: float = math.inf
    wait: float = 0.0
    fitted: float | None = None

    @property
    def left(self) -> list[Step]:
        return [step for step in self.steps if not step.finished]


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
    paces = {name: _shared(chance, PACE_SPREAD * spread) for name in SKILLS}
    garments: list[Garment] = []
    now = 0
    for number in range(orders):
        new = _ordered(chance, spread, gamma=gamma)
        _promise(garments, new, now, seed + number)
        garments.append(new)
        coming = now + math.ceil(chance.expovariate(1 / every))
        _work(garments, now, coming, paces)
        now = coming
    while any(garment.left for garment in garments):
        _work(garments, now, now + OPEN, paces)
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
    harder = _shared(chance, GARMENT_SPREAD * spread)
    for number, (group, usual) in enumerate(STEPS):
        minutes = max(10, round(usual * chance.lognormvariate(0, 0.35)))
        people = tuple(name for name, skills in SKILLS.items() if group in skills)
        after = (number - 1,) if number else ()
        noise = own_noise(SCATTER[group], GARMENT_SPREAD)
        task = Task(group, minutes, people, after, split=group != "cut", noise=noise)
        own = noise.median * _factor(chance, noise.spread * spread, gamma=gamma)
        steps.append(Step(task, minutes * own * harder))
    return Garment(steps, wait=WAIT * chance.lognormvariate(0, WAIT_SPREAD * spread))


def _shared(chance: random.Random, spread: float) -> float:
    """Return a factor that much work shares: log-normal, 1 on average."""
    return chance.lognormvariate(-(spread**2) / 2, spread)


def _factor(chance: random.Random, spread: float, *, gamma: bool) -> float:
    if not gamma:
        return chance.lognormvariate(0, spread)
    mean, variance = math.exp(spread**2 / 2), math.expm1(spread**2) * math.exp(spread**2)
    return chance.gammavariate(mean**2 / variance, variance / mean)


def _promise(garments: list[Garment], new: Garment, now: int, seed: int) -> None:
    problem, places = _plan(garments, now)
    made = promise(problem, places, [_order(new, now)], runs=RUNS, seed=seed)
    new.likely = now + made.likely
    # The first day by whose end nine runs of ten are done.
    new.due = math.ceil(new.likely / OPEN) * OPEN
    new.chance = made.kept(new.due - now)


def _plan(garments: list[Garment], now: int) -> tuple[Problem, Places]:
    resources = tuple(Resource(name, _spans(now), PACE_SPREAD) for name in SKILLS)
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
    first = len(garment.steps) - len(garment.left)
    for number, step in enumerate(garment.left):
        tried_on = first + number == TRIED_ON
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
                wait=WAIT if tried_on and number else 0,
                wait_spread=WAIT_SPREAD,
                release=max(0, math.ceil((garment.fitted or 0) - now)) if tried_on and not number else 0,
            )
        )
    return Order("garment", tuple(tasks), due=garment.due - now, spread=GARMENT_SPREAD)


def _work(garments: list[Garment], now: int, until: int, paces: dict[str, float]) -> None:
    """Work by the plan from now until then: everyone in the turns of the plan, as long as it really takes.
    While something is waited for, what comes next is done as far as it fits."""
    free = dict.fromkeys(SKILLS, float(now))
    gaps: dict[str, tuple[float, float]] = {}
    ready = {id(garment): float(now) for garment in garments}
    for garment, step, place in _in_turn(garments, now):
        name, waited = place.resource, step is garment.steps[TRIED_ON] and step.by is None
        begin = max(ready[id(garment)], garment.fitted or 0.0) if waited else ready[id(garment)]
        left = step.real * paces[name] - step.worked
        start = _start(step, max(free[name], begin))
        if name in gaps and step.by is None:
            inside = _start(step, max(gaps[name][0], begin))
            if inside + left <= gaps[name][1]:
                start, gaps[name] = inside, (inside + left, gaps[name][1])
        if start > free[name]:
            gaps[name] = (free[name], start)
        end = start + left
        ready[id(garment)] = end if start < until else math.inf
        if name not in gaps or end > gaps[name][0]:
            free[name] = max(free[name], ready[id(garment)])
        if end <= until:
            step.worked, garment.ended = step.real * paces[name], end
            step.finished = True
            if step is garment.steps[TRIED_ON - 1]:
                garment.fitted = end + garment.wait
        elif start < until:
            step.worked, step.by = step.worked + until - start, name


def _start(step: Step, wished: float) -> float:
    """Return when the step is begun: what is not split is begun where its estimate fits into the day."""
    if not step.task.split and step.by is None and OPEN - wished % OPEN < step.task.minutes:
        return math.ceil((wished + 1) / OPEN) * OPEN
    return wished


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
