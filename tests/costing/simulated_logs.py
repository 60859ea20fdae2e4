"""Logs of a workshop whose true pace is known, drawn with a seed."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp
from random import Random

from costing.rules.learning import Learnt, Stretch, TimedTask, forecast, learn

STANDARD: dict[str, dict[str, float]] = {
    "cut": {"cut": 45.0},
    "prepare": {"mark": 15.0, "fuse": 15.0},
    "sew": {"plain": 90.0, "press": 40.0, "zip": 35.0, "pleated": 45.0, "faced": 30.0},
    "finish": {"hem": 45.0, "button": 25.0, "final press": 20.0},
}
"""Standard minutes of a garment of middling size by kind of work and kind of operation."""
OFTEN = 0.6
"""How often a garment has an operation that is not the first of its kind of work."""
WORKERS = {1: 1.0, 2: 0.8}
"""Their paces, as the owner says them."""
SCATTER = 0.30
GARMENTS = (5, 20, 100)


@dataclass(frozen=True)
class Pace:
    """The true expected over standard minutes: of operations, and of each worker in each kind of work."""

    kinds: dict[tuple[str, str], float]
    workers: dict[tuple[str, int], float]

    @classmethod
    def drawn(cls, chance: Random) -> Pace:
        """Kinds of work off by a fifth, operations in them by another, workers by a seventh."""
        kinds, workers = {}, {}
        for group, operations in STANDARD.items():
            middle = chance.gauss(0.0, 0.20)
            for kind in operations:
                kinds[group, kind] = exp(middle + chance.gauss(0.0, 0.20))
            for worker, pace in WORKERS.items():
                workers[group, worker] = exp(chance.gauss(0.0, 0.15)) / pace
        return cls(kinds, workers)

    def garment(self, chance: Random) -> list[TimedTask]:
        """The tasks of a garment of any size and make, each done by either worker."""
        size = chance.uniform(0.6, 1.6)
        return [
            self._task(group, chance.choice(list(WORKERS)), self._made(group, size, chance), chance)
            for group in STANDARD
        ]

    def _made(self, group: str, size: float, chance: Random) -> dict[str, float]:
        first, *others = STANDARD[group]
        kinds = [first, *(kind for kind in others if chance.random() < OFTEN)]
        return {kind: size * STANDARD[group][kind] for kind in kinds}

    def _task(self, group: str, worker: int, made: dict[str, float], chance: Random) -> TimedTask:
        standard = sum(made.values())
        kinds = tuple((kind, minutes / standard) for kind, minutes in made.items())
        error = chance.gauss(-(SCATTER**2) / 2, SCATTER)
        task = TimedTask(group, worker, standard, 0.0, kinds)
        return TimedTask(group, worker, standard, self.expected([task]) * exp(error), kinds)

    def expected(self, tasks: list[TimedTask]) -> float:
        return sum(
            task.standard * share * self.kinds[task.group, kind] * self.workers[task.group, task.worker]
            for task in tasks
            for kind, share in task.kinds
        )


def work_of(tasks: list[TimedTask]) -> list[Stretch]:
    return [Stretch(task.group, task.worker, task.standard, task.kinds) for task in tasks]


def errors(learnt: Learnt, pace: Pace, chance: Random, *, garments: int = 40) -> tuple[float, float, float]:
    """Mean error of the expected minutes, corrected and not, as a share of the true ones; and the share of
    garments that stayed within the cautious minutes. Not corrected: the standard at each worker's pace."""
    corrected = uncorrected = 0.0
    within = 0
    for _ in range(garments):
        tasks = pace.garment(chance)
        truth, made = pace.expected(tasks), forecast(learnt, work_of(tasks))
        plain = sum(task.standard / WORKERS[task.worker] for task in tasks)
        corrected += abs(made.expected / truth - 1)
        uncorrected += abs(plain / truth - 1)
        within += sum(task.spent for task in tasks) <= made.cautious
    return corrected / garments, uncorrected / garments, within / garments


def average_errors(
    count: int, *, workshops: int = 60, seed: int = 7, by_operation: bool = True
) -> tuple[float, float, float]:
    """``errors`` after so many garments, averaged over workshops of different pace.

    ``by_operation``: whether the tasks tell their kinds of operation.
    """
    sums = [0.0, 0.0, 0.0]
    for number in range(workshops):
        chance = Random(f"{seed}-{number}")
        pace = Pace.drawn(chance)
        log = [task for _ in range(count) for task in pace.garment(chance)]
        if not by_operation:
            log = [TimedTask(task.group, task.worker, task.standard, task.spent) for task in log]
        learnt = learn(log, paces=WORKERS)
        for place, value in enumerate(errors(learnt, pace, chance)):
            sums[place] += value
    return sums[0] / workshops, sums[1] / workshops, sums[2] / workshops
