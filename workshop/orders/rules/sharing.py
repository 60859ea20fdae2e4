"""A length shared between those for whom it is cut."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate


def shares(total: float, weights: Sequence[float]) -> list[float]:
    """Return each one's share of a total, as their weights are to one another; the shares add up to it.

    Args:
        total: a length, mm; shares are rounded to a thousandth.
        weights: above zero, one for each.

    Source: arithmetic (rounding of the running sum, so that no rest is left over).
    """
    whole = sum(weights)
    ends = [round(total * reached / whole, 3) for reached in accumulate(weights)]
    ends[-1] = total
    return [end - start for start, end in zip([0.0, *ends], ends, strict=False)]
