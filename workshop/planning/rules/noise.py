"""How far real minutes lie from the plan, as a simulation draws them: what was learnt, seen from there."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from costing.rules.learning import SCATTER, Learnt

from .problem import Noise


@dataclass(frozen=True, slots=True)
class KnownNoise:
    """The noise of a kind of work; ``tasks`` is how many of the workshop's own speak of it."""

    noise: Noise
    tasks: int


def known_noise(learnt: Learnt) -> dict[str, KnownNoise]:
    """Return the noise of each kind of work about the minutes that it is planned with.

    The plan reckons with each worker's pace, so the noise is about the standard. A log-normal whose mean is
    the learnt factor has the median factor x exp(-spread^2 / 2). What is not known of the factor itself moves
    all tasks of that kind alike: it is not drawn here task by task.
    """
    return {group: _noise(learnt, group) for group in SCATTER}


def _noise(learnt: Learnt, group: str) -> KnownNoise:
    spread = learnt.scatter_of(group)
    factor = learnt.correction(group).factor
    tasks = learnt.counts.get(("group", group), 0)
    return KnownNoise(Noise(factor * math.exp(-(spread**2) / 2), spread), tasks)


USUAL: Mapping[str, Noise] = {group: known.noise for group, known in known_noise(Learnt()).items()}
"""Until anything of the workshop's own is known."""
