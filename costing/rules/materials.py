"""From lengths of cloth to money. Lengths are millimetres, prices are per metre."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from costing.errors import BadAmount
from costing.rules.money import refuse_no_number, rounded

GREATEST_LENGTH_MM = 1_000_000


@dataclass(frozen=True, slots=True)
class ClothNeed:
    """Cloth to buy for one role of a garment (``shell``, ``lining``, ``interfacing``).

    Args:
        role: what the cloth is for.
        name: the cloth's name in the price list.
        length_mm: length of the lay plan, mm, along the cloth.
        price_per_metre: what the workshop pays, currency per metre.
        increment_mm: the shop sells whole multiples of this; 0 sells any length.
        why: where the length comes from, in words.
        ref: its row in the price list.
    """

    role: str
    name: str
    length_mm: float
    price_per_metre: Decimal
    increment_mm: float = 100.0
    why: str = ""
    ref: str = ""


def bought_mm(length_mm: float, increment_mm: float) -> int:
    """Return the length to buy, whole mm: up to the next increment (to the whole mm without one).

    Raises: BadAmount for a length that is negative, not finite, or beyond a kilometre.

    Source: arithmetic; buying in steps of 10 cm is common practice, no source.
    """
    if not 0 <= length_mm <= GREATEST_LENGTH_MM:
        raise BadAmount("A length of cloth must be from 0 to 1,000 m.", field="length_mm")
    if not 0 <= increment_mm <= GREATEST_LENGTH_MM:
        raise BadAmount("The step in which cloth is sold must be from 0 to 1,000 m.", field="increment_mm")
    step = Decimal(str(increment_mm)) if increment_mm else Decimal(1)
    # A micron above a step is rounding of the lay plan, not another step to pay for.
    steps = (Decimal(str(round(length_mm, 3))) / step).to_integral_value(rounding=ROUND_CEILING)
    return int((steps * step).to_integral_value(rounding=ROUND_CEILING))


def metres(length_mm: float) -> Decimal:
    """Return a length in metres, exact to the mm."""
    return Decimal(round(length_mm)).scaleb(-3)


def cloth_cost(need: ClothNeed, currency: str) -> Decimal:
    """Return what the bought length of cloth costs, rounded once. Raises: BadAmount."""
    refuse_no_number(need.price_per_metre, field="price_per_metre")
    if need.price_per_metre < 0:
        raise BadAmount(f"{need.name}: a price cannot be negative.", field="price_per_metre")
    return rounded(metres(bought_mm(need.length_mm, need.increment_mm)) * need.price_per_metre, currency)
