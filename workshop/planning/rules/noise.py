"""How far real minutes lie from the estimate, by kind of work."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from statistics import fmean, stdev

from .problem import Noise

USUAL: Mapping[str, Noise] = {
    "cut": Noise(1.0, 0.20),
    "prepare": Noise(1.0, 0.25),
    "sew": Noise(1.0, 0.25),
    "press": Noise(1.0, 0.20),
    "finish": Noise(1.0, 0.30),
    "alter": Noise(1.0, 0.40),
}
"""Until the workshop's own is known: estimates right at even odds, and the spread about them. Common
practice, no source."""

ENOUGH = 12
"""Timed tasks of a kind from which the workshop's own noise is taken; with fewer a spread says little (its
relative standard error is about 1 / sqrt(2 x 11), a fifth). Common practice, no source."""

WIDEST = 3.0
"""A task that took more than this many times its estimate, or less than a third, was timed by mistake: a
timer left running, or a task ended as soon as it was begun. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Timed:
    """A finished task: what it was to take at its worker's pace, and what it took, minutes."""

    group: str
    planned: float
    spent: float


@dataclass(frozen=True, slots=True)
class KnownNoise:
    """The noise of a kind of work; ``tasks`` is how many of the workshop's own it comes from, 0 if usual."""

    noise: Noise
    tasks: int


def known_noise(timed: Iterable[Timed]) -> dict[str, KnownNoise]:
    """Return the noise of each kind of work: the workshop's own where enough was timed, else the usual.

    Median and spread are exp(mean) and the sample standard deviation of ln(spent / planned), the estimates
    for a log-normal (any textbook of statistics).
    """
    ratios: dict[str, list[float]] = {group: [] for group in USUAL}
    for row in timed:
        if row.group in ratios and row.planned > 0 and row.spent > 0:
            ratio = math.log(row.spent / row.planned)
            if abs(ratio) <= math.log(WIDEST):
                ratios[row.group].append(ratio)
    return {group: _known(group, found) for group, found in ratios.items()}


def _known(group: str, ratios: list[float]) -> KnownNoise:
    if len(ratios) < ENOUGH:
        return KnownNoise(USUAL[group], 0)
    return KnownNoise(Noise(math.exp(fmean(ratios)), stdev(ratios)), len(ratios))
