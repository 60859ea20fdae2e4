"""What tasks share in their noise: a garment harder than its estimate knows, a pace that is not known.

Noise of its own averages out over the tasks of a garment; what they share does not, and so it is what moves
the day of a promise.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from .problem import Noise

USUAL_GARMENT = 0.12
"""The deviation of the logarithm of a factor in all work on a garment, before anything is known. Common
practice, no source."""

WEIGHT = 60.0
"""That counts as if so many pairs of tasks of one garment had been seen."""

LEAST_OWN_SHARE = 0.25
"""At least that part of a task's variance is its own, whatever the garments share."""


@dataclass(frozen=True, slots=True)
class Residual:
    """What is left of a timed task once its worker's pace is known: the garment, and ln(spent / expected)."""

    garment: int
    value: float


def garment_spread(rows: Iterable[Residual]) -> float:
    """Return the deviation of the factor that the tasks of a garment share.

    The mean product of the residuals of two tasks of one garment is the variance of what they share (the
    covariance of a random effect; method of moments, any textbook of variance components). It is drawn
    towards USUAL_GARMENT by WEIGHT pairs.
    """
    by_garment: dict[int, list[float]] = {}
    for row in rows:
        by_garment.setdefault(row.garment, []).append(row.value)
    pairs = products = 0.0
    for values in by_garment.values():
        pairs += len(values) * (len(values) - 1)
        products += sum(values) ** 2 - sum(value**2 for value in values)
    variance = (WEIGHT * USUAL_GARMENT**2 + products / 2) / (WEIGHT + pairs / 2)
    return math.sqrt(max(0.0, variance))


def own_noise(scatter: float, shared: float) -> Noise:
    """Return the noise of one task about its expected minutes, mean 1: its scatter less what it shares."""
    variance = max(scatter**2 - shared**2, LEAST_OWN_SHARE * scatter**2)
    return Noise(math.exp(-variance / 2), math.sqrt(variance))


def pace_spread(minutes: Mapping[str, float], variance: Mapping[str, float]) -> float:
    """Return the deviation of the factor in all that a person does.

    Args:
        minutes: expected minutes of each kind of work that the person may do.
        variance: of the logarithm of what corrects each kind, none shared by two.
    """
    whole = sum(minutes.values())
    if whole <= 0:
        return 0.0
    return math.sqrt(sum((share / whole) ** 2 * variance[group] for group, share in minutes.items()))
