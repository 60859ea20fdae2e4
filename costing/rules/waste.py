"""What cloths really take beside their lays: lengths that were cut correct the lengths that are planned.

A lay of s mm of cloth c that y mm were really cut for is taken as

    ln(y / s) = theta(c) + error,   error ~ N(0, sigma^2)

The cloth's theta lies around that of the workshop, N(mu, CLOTH_SPREAD^2), and mu around the plan,
N(0, HOUSE_SPREAD^2). What is known of theta is its mean given all that was noted: precision-weighted means of
log ratios, exact for a known sigma. With nothing noted the correction is 1; with little it stays near the
plan, then near what the workshop takes of all cloths; with much it follows the cloth. sigma is the scatter
within a cloth, pooled with SCATTER as if that had been seen SCATTER_WEIGHT times. Source: as
``rules.learning`` (shrinkage of normal means, Efron and Morris 1975, from memory). The spreads before
anything is noted are judgement: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import exp, log

HOUSE_SPREAD = 0.05
"""How far a workshop is usually off its lays, over all cloths, as the deviation of a log ratio."""
CLOTH_SPREAD = 0.05
"""How far cloths differ in it: a slippery one takes more."""
SCATTER = 0.05
"""How far one garment differs from the next of the same cloth, before that was seen."""
SCATTER_WEIGHT = 8.0
SLIP = 2.0
"""A length at so many times its lay, or at that part of it, is a slip of the pen: left out."""


@dataclass(frozen=True, slots=True)
class CutOnce:
    """What one lay of a cloth was planned to take, and what was really cut, mm."""

    cloth: int
    planned_mm: float
    real_mm: float

    @property
    def is_slip(self) -> bool:
        return self.planned_mm <= 0 or not self.planned_mm / SLIP <= self.real_mm <= self.planned_mm * SLIP

    @property
    def log_ratio(self) -> float:
        return log(self.real_mm / self.planned_mm)


@dataclass(frozen=True, slots=True)
class Correction:
    """Real over planned length of a cloth, and from how many garments of it that is known."""

    factor: float = 1.0
    count: int = 0

    def more_mm(self, planned_mm: float) -> float:
        """What to buy beyond a lay: never less than the lay, which must go on the cloth all the same."""
        return max(0.0, self.factor - 1.0) * planned_mm

    @property
    def words(self) -> str:
        """Such as ``+3 % that it really took in 5 garments``; empty where nothing is added."""
        if self.factor <= 1.0005:
            return ""
        garments = f"in {self.count} garment{'s' if self.count != 1 else ''}"
        known = garments if self.count else "of other cloths"
        return f"+{(self.factor - 1) * 100:.1f} % that was really cut {known}"


@dataclass(frozen=True, slots=True)
class Waste:
    """Corrections by cloth; ``house`` for one that was not noted yet."""

    house: Correction = Correction()
    cloths: Mapping[int, Correction] = field(default_factory=dict)

    def of(self, cloth: int) -> Correction:
        return self.cloths.get(cloth, self.house)


def learn_waste(cuts: Iterable[CutOnce]) -> Waste:
    """Return the corrections that noted lengths make; see the head of this module for the method."""
    rows: dict[int, list[float]] = {}
    for cut in cuts:
        if not cut.is_slip:
            rows.setdefault(cut.cloth, []).append(cut.log_ratio)
    if not rows:
        return Waste()
    scatter2 = _scatter2(rows.values())
    means = {cloth: (sum(ratios) / len(ratios), scatter2 / len(ratios)) for cloth, ratios in rows.items()}
    precision, weighted = 1 / HOUSE_SPREAD**2, 0.0
    for mean, variance in means.values():
        weight = 1 / (CLOTH_SPREAD**2 + variance)
        precision += weight
        weighted += weight * mean
    middle = weighted / precision
    return Waste(
        Correction(exp(middle)),
        {
            cloth: Correction(exp(_drawn(mean, variance, middle)), len(rows[cloth]))
            for cloth, (mean, variance) in means.items()
        },
    )


def _drawn(mean: float, variance: float, middle: float) -> float:
    """A cloth's own mean, drawn towards the workshop's where it was noted little."""
    share = variance / (CLOTH_SPREAD**2 + variance)
    return share * middle + (1 - share) * mean


def _scatter2(rows: Iterable[list[float]]) -> float:
    """Variance within a cloth, pooled over all, with what was assumed before."""
    squares, freedom = SCATTER_WEIGHT * SCATTER**2, SCATTER_WEIGHT
    for ratios in rows:
        mean = sum(ratios) / len(ratios)
        squares += sum((ratio - mean) ** 2 for ratio in ratios)
        freedom += len(ratios) - 1
    return squares / freedom
