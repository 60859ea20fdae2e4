"""What the workshop learns of its own pace: repeats go faster, and timed work corrects the standard minutes.

**Repeats.** Each doubling of the quantity multiplies the average time by one rate. Source: T. P. Wright's
cumulative-average model (1936), average(n) = first x n ** log2(rate).

**Corrections.** A task of a kind of work g that worker w did in y minutes, where the standard says s, is
taken as

    ln(y / s) = theta(g, w) - sigma^2 / 2 + error,   error ~ N(0, sigma^2)

so that s x exp(theta) is the expected time. The worker's theta lies around that of the kind of work,
N(mu(g), WORKER_SPREAD^2), and that around the standard, N(0, GROUP_SPREAD^2). What is known of theta is its
mean and variance given all that was timed: precision-weighted means of log ratios, exact for a known sigma.
With nothing timed the correction is 1; with little it stays near the standard, then near the kind of work;
with much it follows the worker. sigma is the scatter within a worker's kind of work, pooled with SCATTER as
if that had been seen SCATTER_WEIGHT times. Source: shrinkage of normal means (Efron and Morris 1975; best
linear unbiased prediction, Robinson 1991; both from memory). The spreads before anything is timed are
judgement: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import exp, log, log2, pow, sqrt

from costing.errors import BadAmount

GROUP_SPREAD = 0.30
"""How far the standard of a kind of work is usually off, as the deviation of a log ratio: a third or so."""
WORKER_SPREAD = 0.20
"""How far workers differ in it."""
SCATTER = 0.25
"""How far one task differs from the next of the same worker, before that was seen."""
SCATTER_WEIGHT = 10.0
SLIP = 8.0
"""A task timed at so many times its standard, or at that part of it, is a slip of the timer: left out."""

_QUANTILE_80 = 0.8416212335729143  # of the standard normal: four of five lie below
_QUANTILE_90 = 1.2815515655446004  # four of five lie between this and its negative


def average_time(first: float, *, quantity: int, rate: float) -> float:
    """Return the average time of ``quantity`` garments alike, in the unit of ``first``.

    Args:
        first: time of the first garment.
        quantity: how many are made, at least 1.
        rate: 0.8 = each doubling takes the average to 80 %; 1 = nothing is learnt.

    Raises: BadAmount.
    """
    if quantity < 1:
        raise BadAmount("A quantity must be at least 1.", field="quantity")
    if not 0.5 <= rate <= 1:
        # Below one half, the second garment would take less than no time.
        raise BadAmount("A learning rate must be from 50 % to 100 %.", field="learning_rate")
    return first * pow(quantity, log2(rate))


def total_time(first: float, *, quantity: int, rate: float) -> float:
    """Return the time of all ``quantity`` garments together. Raises: BadAmount."""
    return average_time(first, quantity=quantity, rate=rate) * quantity


@dataclass(frozen=True, slots=True)
class TimedTask:
    """A task that one worker did from beginning to end: kind of work, standard minutes, minutes it took."""

    group: str
    worker: int
    standard: float
    spent: float

    @property
    def is_slip(self) -> bool:
        """Whether the timer says nothing: it was forgotten, or pressed only afterwards."""
        return self.standard <= 0 or not self.standard / SLIP <= self.spent <= self.standard * SLIP

    @property
    def log_ratio(self) -> float:
        return log(self.spent / self.standard)


@dataclass(frozen=True, slots=True)
class Correction:
    """What is known of a theta: its mean, its variance, and how many tasks of the kind of work were timed."""

    mean: float = 0.0
    variance: float = GROUP_SPREAD**2 + WORKER_SPREAD**2
    count: int = 0

    @property
    def factor(self) -> float:
        """Expected over standard minutes; 1 where nothing was timed."""
        return exp(self.mean)

    @property
    def interval(self) -> tuple[float, float]:
        """Where the true factor lies, four times in five."""
        half = _QUANTILE_90 * sqrt(self.variance)
        return exp(self.mean - half), exp(self.mean + half)


@dataclass(frozen=True, slots=True)
class Learnt:
    """Corrections of a workshop: by kind of work for somebody who was not timed at it, and by worker."""

    scatter: float
    groups: Mapping[str, Correction]
    workers: Mapping[tuple[str, int], Correction]

    def correction(self, group: str, worker: int | None = None) -> Correction:
        """Return the narrowest that is known: of the worker, of the kind of work, or none."""
        known = None if worker is None else self.workers.get((group, worker))
        return known or self.groups.get(group, Correction())


@dataclass(frozen=True, slots=True)
class Forecast:
    """Minutes of a garment: by the standard, expected, and those that four garments of five stay within."""

    standard: float
    expected: float
    cautious: float


def learn(tasks: Iterable[TimedTask]) -> Learnt:
    """Return the corrections that timed tasks make; see the head of this module for the method."""
    cells: dict[tuple[str, int], list[float]] = {}
    for task in tasks:
        if not task.is_slip:
            cells.setdefault((task.group, task.worker), []).append(task.log_ratio)
    scatter2 = _scatter2(cells.values())
    groups: dict[str, Correction] = {}
    workers: dict[tuple[str, int], Correction] = {}
    for group in sorted({group for group, _ in cells}):
        means = {worker: _Mean.of(rows, scatter2) for (of, worker), rows in cells.items() if of == group}
        middle, variance = _middle(means.values())
        count = sum(mean.count for mean in means.values())
        groups[group] = Correction(middle, variance + WORKER_SPREAD**2, count)
        for worker, mean in means.items():
            workers[group, worker] = _of_worker(mean, middle, variance, count)
    return Learnt(sqrt(scatter2), groups, workers)


@dataclass(frozen=True, slots=True)
class _Mean:
    """The mean of a worker's log ratios, moved to that of a theta, and its variance for that theta."""

    value: float
    variance: float
    count: int

    @classmethod
    def of(cls, rows: list[float], scatter2: float) -> _Mean:
        return cls(sum(rows) / len(rows) + scatter2 / 2, scatter2 / len(rows), len(rows))


def _scatter2(cells: Iterable[list[float]]) -> float:
    """Variance within a worker's kind of work, pooled over all, with what was assumed before."""
    squares, freedom = SCATTER_WEIGHT * SCATTER**2, SCATTER_WEIGHT
    for rows in cells:
        middle = sum(rows) / len(rows)
        squares += sum((row - middle) ** 2 for row in rows)
        freedom += len(rows) - 1
    return squares / freedom


def _middle(means: Iterable[_Mean]) -> tuple[float, float]:
    """Mean and variance of a mu given its workers' means: each weighs by its precision, the standard too."""
    precision, weighted = 1 / GROUP_SPREAD**2, 0.0
    for mean in means:
        weight = 1 / (WORKER_SPREAD**2 + mean.variance)
        precision += weight
        weighted += weight * mean.value
    return weighted / precision, 1 / precision


def _of_worker(mean: _Mean, middle: float, variance: float, count: int) -> Correction:
    """A worker's theta: her own mean, drawn towards that of the kind of work where she was timed little."""
    drawn = mean.variance / (WORKER_SPREAD**2 + mean.variance)
    return Correction(
        drawn * middle + (1 - drawn) * mean.value, drawn**2 * variance + drawn * WORKER_SPREAD**2, count
    )


def forecast(
    learnt: Learnt, work: Iterable[tuple[str, int | None, float]], *, fixed: float = 0.0
) -> Forecast:
    """Return the minutes that a garment will take.

    Args:
        work: kind of work, who does it (None: not known), standard minutes.
        fixed: minutes that nobody times (a trying-on); they count as they are.

    Source: the sum of log-normal times is taken as log-normal with the same mean and variance (Fenton and
    Wilkinson, from memory); kinds of work vary independently of one another.
    """
    standard = expected = variance = 0.0
    for group, worker, minutes in work:
        known = learnt.correction(group, worker)
        mean = minutes * known.factor
        standard += minutes
        expected += mean
        variance += mean**2 * (exp(known.variance + learnt.scatter**2) - 1)
    return Forecast(standard + fixed, expected + fixed, _within(expected, variance) + fixed)


def _within(mean: float, variance: float) -> float:
    """The amount that four of five stay within, of a log-normal with that mean and variance."""
    if mean <= 0:
        return mean
    spread2 = log(1 + variance / mean**2)
    return mean * exp(_QUANTILE_80 * sqrt(spread2) - spread2 / 2)
