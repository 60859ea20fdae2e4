"""The learning curve of repeats: each doubling of the quantity multiplies the average time by one rate.

Source: T. P. Wright's cumulative-average model (1936), average(n) = first x n ** log2(rate).
"""

from __future__ import annotations

from math import log2, pow

from costing.errors import BadAmount


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
