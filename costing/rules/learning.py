"""What the workshop learns of its own pace: repeats go faster, and timed work corrects the standard minutes.

**Repeats.** Each doubling of the quantity multiplies the average time by one rate. Source: T. P. Wright's
cumulative-average model (1936), average(n) = first x n ** log2(rate).

**Corrections.** A task of a kind of work g, of which the share x_k is operations of kind k, done by worker w
in y minutes where the standard says s, is taken as

    ln(y / s) = theta - sigma_g^2 / 2 + error,   error ~ N(0, sigma_g^2)
    theta = -ln(pace_w) + m_g + sum of x_k d_k + u_gw

so that s x exp(theta) is the expected time. ``pace_w`` is what the owner says of the worker; m_g is how far
the standard of that kind of work is off, d_k how far that of a kind of operation, u_gw how far the worker
differs in that kind of work from her pace. Before anything is timed they are N(0, GROUP_SPREAD^2),
N(0, KIND_SPREAD^2) and N(0, WORKER_SPREAD^2). What is known of them afterwards is their joint normal
distribution given all that was timed: the solution of one linear mixed model. With nothing timed the
correction is the pace alone; with little it stays near the standard, then near the kind of work; with much it
follows the operation and the worker. sigma_g is found with it (expectation-maximisation), held near SCATTER
as if that had been seen SCATTER_WEIGHT times. Source: best linear unbiased prediction (Robinson 1991),
shrinkage of normal means (Efron and Morris 1975), EM for variances (Dempster, Laird and Rubin 1977); all from
memory. The spreads before anything is timed are judgement: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import exp, isfinite, log, log2, pow, sqrt

import numpy as np
from numpy.typing import NDArray

from costing.errors import BadAmount
from costing.rules.labour import Operation

GROUP_SPREAD = 0.22
"""How far the standard of a kind of work is usually off, as the deviation of a log ratio: a fifth or so."""
KIND_SPREAD = 0.20
"""How far that of a kind of operation is off beside its kind of work."""
WORKER_SPREAD = 0.20
"""How far workers differ in a kind of work from the pace that is said of them."""
SCATTER: Mapping[str, float] = {
    "cut": 0.20,
    "prepare": 0.25,
    "sew": 0.25,
    "press": 0.20,
    "finish": 0.30,
    "alter": 0.40,
}
"""How far one task of a kind of work differs from the next of the same worker, before that was seen."""
OTHER_SCATTER = 0.25
SCATTER_WEIGHT = 6.0
SLIP = 8.0
"""A task timed at so many times its standard, or at that part of it, is a slip of the timer: left out."""

_MOST_ROUNDS, _CLOSE = 50, 1e-6
_QUANTILE_80 = 0.8416212335729143  # of the standard normal: four of five lie below
_QUANTILE_90 = 1.2815515655446004  # four of five lie between this and its negative

Unknown = tuple[str, ...]
"""One of the numbers to be learnt: ("group", g), ("kind", k) or ("worker", g, w)."""
Vector = Mapping[Unknown, float]
"""How much of each unknown is in a theta."""


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
    """A task that one worker did from beginning to end.

    Args:
        group: kind of work.
        worker: key of who did it.
        standard, spent: minutes by the standard, and minutes it took.
        kinds: kinds of operation in it, each with its share of the standard minutes; empty where not known.
    """

    group: str
    worker: int
    standard: float
    spent: float
    kinds: tuple[tuple[str, float], ...] = ()

    @property
    def is_slip(self) -> bool:
        """Whether the timer says nothing: it was forgotten, or pressed only afterwards."""
        return self.standard <= 0 or not self.standard / SLIP <= self.spent <= self.standard * SLIP

    @property
    def log_ratio(self) -> float:
        return log(self.spent / self.standard)


@dataclass(frozen=True, slots=True)
class Correction:
    """What is known of a theta: its mean, its variance, and how many timed tasks speak of it."""

    mean: float = 0.0
    variance: float = GROUP_SPREAD**2 + WORKER_SPREAD**2
    count: int = 0

    @property
    def factor(self) -> float:
        """Expected over standard minutes; 1 where nothing was timed and the pace is the standard."""
        return exp(self.mean)

    @property
    def interval(self) -> tuple[float, float]:
        """Where the true factor lies, four times in five."""
        half = _QUANTILE_90 * sqrt(self.variance)
        return exp(self.mean - half), exp(self.mean + half)


@dataclass(frozen=True, slots=True)
class Stretch:
    """Work that is to be done: kind of work, who does it (None: not known), standard minutes, its kinds of
    operation by their share of these."""

    group: str
    worker: int | None
    minutes: float
    kinds: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Forecast:
    """Minutes of a garment: by the standard, expected, and those that four garments of five stay within."""

    standard: float
    expected: float
    cautious: float


@dataclass(frozen=True, slots=True, eq=False)
class Learnt:
    """What is known after all that was timed: the unknowns' joint normal distribution, and the scatter.

    Args:
        place: of each unknown that something was timed of, its row in ``mean`` and ``covariance``.
        scatter: sigma by kind of work.
        counts: tasks timed, by unknown.
        mixes: of each kind of work, the shares of its kinds of operation in what was timed.
        paces: what the owner says of each worker, 1 = the standard.
    """

    place: Mapping[Unknown, int] = field(default_factory=dict)
    mean: NDArray[np.float64] = field(default_factory=lambda: np.zeros(0))
    covariance: NDArray[np.float64] = field(default_factory=lambda: np.zeros((0, 0)))
    scatter: Mapping[str, float] = field(default_factory=dict)
    counts: Mapping[Unknown, int] = field(default_factory=dict)
    mixes: Mapping[str, tuple[tuple[str, float], ...]] = field(default_factory=dict)
    paces: Mapping[int, float] = field(default_factory=dict)

    def scatter_of(self, group: str) -> float:
        return self.scatter.get(group, SCATTER.get(group, OTHER_SCATTER))

    def correction(
        self, group: str, worker: int | None = None, kinds: Sequence[tuple[str, float]] | None = None
    ) -> Correction:
        """Return what corrects the standard of a stretch of work, pace included.

        Args:
            worker: None for somebody of the standard pace who was not timed.
            kinds: kinds of operation in it by share; None for the usual mix of that kind of work.
        """
        mix = self.mixes.get(group, ()) if kinds is None else kinds
        vector = _vector(group, worker, mix)
        pace = 0.0 if worker is None else -log(self.paces.get(worker, 1.0))
        only = ("kind", mix[0][0]) if len(mix) == 1 else ("group", group)
        return Correction(pace + self._mean(vector), self.shared(vector, vector), self.counts.get(only, 0))

    def shared(self, one: Vector, other: Vector) -> float:
        """Covariance of two thetas; what nothing was timed of varies as it did before."""
        return sum(a * b * self._shared(u, v) for u, a in one.items() for v, b in other.items())

    def _mean(self, vector: Vector) -> float:
        return sum(share * float(self.mean[self.place[u]]) for u, share in vector.items() if u in self.place)

    def _shared(self, one: Unknown, other: Unknown) -> float:
        if one in self.place and other in self.place:
            return float(self.covariance[self.place[one], self.place[other]])
        return _SPREADS[one[0]] ** 2 if one == other else 0.0


_SPREADS = {"group": GROUP_SPREAD, "kind": KIND_SPREAD, "worker": WORKER_SPREAD}


def _vector(group: str, worker: int | None, kinds: Iterable[tuple[str, float]]) -> Vector:
    """A worker who is not known differs like any: her unknown is one that nothing was timed of."""
    who = "" if worker is None else str(worker)
    return {("group", group): 1.0, ("worker", group, who): 1.0, **{("kind", k): x for k, x in kinds}}


def learn(tasks: Iterable[TimedTask], *, paces: Mapping[int, float] | None = None) -> Learnt:
    """Return the corrections that timed tasks make; see the head of this module for the method.

    Args:
        paces: what the owner says of each worker, 1 = the standard; whoever is not named has that.
    """
    known = {worker: pace for worker, pace in (paces or {}).items() if isfinite(pace) and pace > 0}
    rows = [task for task in tasks if not task.is_slip]
    if not rows:
        return Learnt(paces=known)
    vectors = [_vector(task.group, task.worker, task.kinds) for task in rows]
    place = {unknown: row for row, unknown in enumerate(dict.fromkeys(u for v in vectors for u in v))}
    design = np.zeros((len(rows), len(place)))
    for row, vector in enumerate(vectors):
        for unknown, share in vector.items():
            design[row, place[unknown]] = share
    seen = np.array([task.log_ratio + log(known.get(task.worker, 1.0)) for task in rows])
    groups = [task.group for task in rows]
    mean, covariance, scatter = _solved(design, seen, groups, [_SPREADS[u[0]] for u in place])
    counts = {unknown: sum(1 for vector in vectors if unknown in vector) for unknown in place}
    return Learnt(place, mean, covariance, scatter, counts, _mixes(rows), known)


def _solved(
    design: NDArray[np.float64], seen: NDArray[np.float64], groups: Sequence[str], spreads: Sequence[float]
) -> tuple[NDArray[np.float64], NDArray[np.float64], dict[str, float]]:
    """Mean and covariance of the unknowns, and sigma by kind of work, found in turns until they agree."""
    before = np.diag(1 / np.square(np.array(spreads)))
    prior = {group: SCATTER.get(group, OTHER_SCATTER) ** 2 for group in groups}
    variances, of = dict(prior), np.array(groups)
    for _ in range(_MOST_ROUNDS):
        sigma2 = np.array([variances[group] for group in groups])
        covariance = np.linalg.inv(before + design.T @ (design / sigma2[:, None]))
        mean = covariance @ (design.T @ ((seen + sigma2 / 2) / sigma2))
        squares = np.square(seen + sigma2 / 2 - design @ mean)
        squares += np.einsum("ij,jk,ik->i", design, covariance, design)
        found = {group: _pooled(prior[group], squares[of == group]) for group in prior}
        if all(abs(found[group] - variances[group]) < _CLOSE for group in prior):
            break
        variances = found
    return mean, covariance, {group: sqrt(value) for group, value in variances.items()}


def _pooled(prior: float, squares: NDArray[np.float64]) -> float:
    """A variance from its squares, with what was assumed before as so many more."""
    return (SCATTER_WEIGHT * prior + float(squares.sum())) / (SCATTER_WEIGHT + len(squares))


def _mixes(rows: Sequence[TimedTask]) -> dict[str, tuple[tuple[str, float], ...]]:
    """Of each kind of work the mean shares of its kinds of operation."""
    sums: dict[str, dict[str, float]] = {}
    counts: dict[str, int] = {}
    for task in rows:
        shares = sums.setdefault(task.group, {})
        counts[task.group] = counts.get(task.group, 0) + 1
        for kind, share in task.kinds:
            shares[kind] = shares.get(kind, 0.0) + share
    return {
        group: tuple((kind, total / counts[group]) for kind, total in shares.items())
        for group, shares in sums.items()
    }


def forecast(learnt: Learnt, work: Iterable[Stretch], *, fixed: float = 0.0) -> Forecast:
    """Return the minutes that a garment will take; ``fixed`` are minutes that nobody times (a trying-on).

    What is not known of a standard or a worker moves all work of that kind together; from task to task the
    scatter is independent. Source: the sum of log-normal times is taken as log-normal with the same mean and
    variance (Fenton and Wilkinson, from memory).
    """
    rows = list(work)
    vectors = [_vector(row.group, row.worker, row.kinds) for row in rows]
    shared = np.array([[learnt.shared(one, other) for other in vectors] for one in vectors])
    middles = [row.minutes * learnt.correction(row.group, row.worker, row.kinds).factor for row in rows]
    # A factor that is known badly lies above its middle by more than below it: its mean is higher.
    means = np.array([middle * exp(shared[n, n] / 2) for n, middle in enumerate(middles)])
    scatter = np.diag([learnt.scatter_of(row.group) ** 2 for row in rows])
    variance = float(means @ np.expm1(shared + scatter) @ means) if rows else 0.0
    standard, expected = sum(row.minutes for row in rows), sum(middles)
    return Forecast(standard + fixed, expected + fixed, _within(float(means.sum()), variance) + fixed)


def _within(mean: float, variance: float) -> float:
    """The amount that four of five stay within, of a log-normal with that mean and variance."""
    if mean <= 0:
        return mean
    spread2 = log(1 + variance / mean**2)
    return mean * exp(_QUANTILE_80 * sqrt(spread2) - spread2 / 2)


def operation_corrections(learnt: Learnt) -> dict[str, Correction]:
    """Return by kind of operation what corrects its standard at the standard pace: what a price that rests on
    learnt minutes is reckoned by. Only what something was timed of; a kind that is done within several kinds
    of work (pressing as one sews) is taken as in the one where most of it is."""
    most: dict[str, tuple[float, str]] = {}
    for group, mix in learnt.mixes.items():
        for kind, share in mix:
            most[kind] = max(most.get(kind, (0.0, "")), (share * learnt.counts["group", group], group))
    return {kind: _at_standard_pace(learnt, group, kind) for kind, (_, group) in most.items()}


def _at_standard_pace(learnt: Learnt, group: str, kind: str) -> Correction:
    vector: Vector = {("group", group): 1.0, ("kind", kind): 1.0}
    mean = learnt.correction(group, None, [(kind, 1.0)]).mean
    return Correction(mean, learnt.shared(vector, vector), learnt.counts["kind", kind])


def at_learnt_minutes(listed: Iterable[Operation], known: Mapping[str, Correction]) -> tuple[Operation, ...]:
    """Return operations with the minutes that timed work makes of the reckoned ones, and why."""
    return tuple(_learnt(operation, known.get(operation.kind)) for operation in listed)


def _learnt(operation: Operation, known: Correction | None) -> Operation:
    if known is None or not known.count:
        return operation
    low, high = known.interval
    tasks = f"{known.count} timed {'task' if known.count == 1 else 'tasks'}"
    why = f"{operation.why}; times {known.factor:.2f} ({low:.2f} to {high:.2f}) by {tasks}"
    return replace(operation, minutes=operation.minutes * known.factor, why=why)
