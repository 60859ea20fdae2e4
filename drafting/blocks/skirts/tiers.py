"""Gathered skirts: how much cloth each tier takes, and into how many strips it is cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from drafting.errors import CannotDraft


@dataclass(frozen=True, slots=True)
class Tier:
    """A strip all round: ``width`` of cloth, gathered into ``seam``; ``depth`` as it hangs, mm."""

    seam: float
    width: float
    depth: float

    def strips(self, cloth: float) -> int:
        """Into how many equal strips it is cut of cloth so wide."""
        return max(1, ceil(self.width / cloth - 1e-9))


def tiers(waist: float, length: float, fullness: Sequence[float]) -> tuple[Tier, ...]:
    """Return equal tiers from the waist down, each gathered into the one above it.

    Args:
        waist: length of the seam that the first is gathered into, mm.
        length: of the skirt, mm.
        fullness: of each tier, cloth over seam, 1 or more.

    Raises: CannotDraft where a tier would have no depth or less cloth than its seam.

    Source: gathers take 1.5 to 3 times the finished width (sewing textbooks).
    """
    if length <= 0 or waist <= 0 or not fullness or min(fullness) < 1:
        raise CannotDraft("tiers need a waist, a length and cloth at least as wide as their seam")
    found, seam = [], waist
    for ratio in fullness:
        found.append(Tier(seam, ratio * seam, length / len(fullness)))
        seam *= ratio
    return tuple(found)
