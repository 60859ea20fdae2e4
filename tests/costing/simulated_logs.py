"""Logs of a workshop whose true pace is known, drawn with a seed."""

from __future__ import annotations

from dataclasses import dataclass
from math import exp
from random import Random

from costing.rules.learning import Learnt, TimedTask, forecast, learn

STANDARD = {"cut": 45.0, "prepare": 30.0, "sew": 240.0, "press": 35.0, "finish": 70.0}
WORKERS = (1, 2)
SCATTER = 0.30
GARMENTS = (5, 20, 100)


@dataclass(frozen=True)
class Pace:
    """The true expected over standard minutes, by kind of work and worker."""

    factors: dict[tuple[str, int], float]

    @classmethod
    def drawn(cls, chance: Random) -> Pace:
        """Standards that are off by a quarter or so, workers who differ by a sixth."""
        factors = {}
        for group in STANDARD:
            middle = chance.gauss(0.0, 0.25)
            for worker in WORKERS:
                factors[group, worker] = exp(middle + chance.gauss(0.0, 0.15))
        return cls(factors)

    def garment(self, chance: Random) -> list[TimedTask]:
        """The tasks of a garment of any size, each done by either worker."""
        size = chance.uniform(0.6, 1.6)
        return [
            self._task(group, chance.choice(WORKERS), size * minutes, chance)
            for group, minutes in STANDARD.items()
        ]

    def _task(self, group: str, worker: int, standard: float, chance: Random) -> TimedTask:
        error = chance.gauss(-(SCATTER**2) / 2, SCATTER)
        return TimedTask(group, worker, standard, standard * self.factors[group, worker] * exp(error))

    def expected(self, tasks: list[TimedTask]) -> float:
        return sum(task.standard * self.factors[task.group, task.worker] for task in tasks)


def work_of(tasks: list[TimedTask]) -> list[tuple[str, int | None, float]]:
    return [(task.group, task.worker, task.standard) for task in tasks]


def errors(learnt: Learnt, pace: Pace, chance: Random, *, garments: int = 40) -> tuple[float, float, float]:
    """Mean error of the expected minutes, corrected and not, as a share of the true ones; and the share of
    garments that stayed within the cautious minutes."""
    corrected = uncorrected = 0.0
    within = 0
    for _ in range(garments):
        tasks = pace.garment(chance)
        truth, made = pace.expected(tasks), forecast(learnt, work_of(tasks))
        corrected += abs(made.expected / truth - 1)
        uncorrected += abs(made.standard / truth - 1)
        within += sum(task.spent for task in tasks) <= made.cautious
    return corrected / garments, uncorrected / garments, within / garments


def average_errors(count: int, *, workshops: int = 60, seed: int = 7) -> tuple[float, float, float]:
    """``errors`` after so many garments, averaged over workshops of different pace."""
    sums = [0.0, 0.0, 0.0]
    for number in range(workshops):
        chance = Random(f"{seed}-{number}")
        pace = Pace.drawn(chance)
        learnt = learn([task for _ in range(count) for task in pace.garment(chance)])
        for place, value in enumerate(errors(learnt, pace, chance)):
            sums[place] += value
    return sums[0] / workshops, sums[1] / workshops, sums[2] / workshops
