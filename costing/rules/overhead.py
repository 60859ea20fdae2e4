"""What an hour of work must carry, what a price must earn, and how many garments pay the rent.

Source of every formula here: OpenStax, Principles of Accounting vol. 2, Managerial Accounting (predetermined
overhead rate, applied overhead, cost-volume-profit), and Principles of Marketing (markup and margin).
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import ROUND_CEILING, Decimal

from costing.errors import BadAmount
from costing.rules.money import ZERO, refuse_no_number, rounded

GREATEST_MARKUP = Decimal(10)
"""Eleven times the cost is a slip of the keyboard."""


def overhead_rate(monthly_costs: Mapping[str, Decimal], labour_hours: Decimal) -> Decimal:
    """Return overhead per labour hour, unrounded: the month's rent, power, fuel, wear over its hours of work.

    Raises: BadAmount where hours are not above zero, a cost is negative, or one of them is no number.
    """
    refuse_no_number(labour_hours, field="labour_hours")
    if labour_hours <= 0:
        raise BadAmount("Enter the hours worked in a month, above zero.", field="labour_hours")
    for name, cost in monthly_costs.items():
        refuse_no_number(cost, field=name)
        if cost < 0:
            raise BadAmount(f"The monthly cost of {name} cannot be negative.", field=name)
    return sum(monthly_costs.values(), ZERO) / labour_hours


def overhead_words(monthly_costs: Mapping[str, Decimal], labour_hours: Decimal, currency: str) -> str:
    """Return in words what an hour carries: ``rent 800.00, power 90.00 a month, over 160 h``."""
    parts = ", ".join(f"{name} {rounded(cost, currency)}" for name, cost in monthly_costs.items() if cost)
    return f"{parts or 'no overhead'} a month, over {labour_hours.normalize():f} h of work"


def overhead_balance(*, applied: Decimal, actual: Decimal) -> Decimal:
    """Return what the garments failed to carry: actual - applied; negative where they carried too much."""
    return actual - applied


def markup(*, cost: Decimal, price: Decimal) -> Decimal:
    """Return profit as a share of cost: (price - cost) / cost.

    Raises: BadAmount where cost is not above zero.
    """
    if cost <= 0:
        raise BadAmount("A markup needs a cost above zero.", field="cost")
    return (price - cost) / cost


def margin(*, cost: Decimal, price: Decimal) -> Decimal:
    """Return profit as a share of price: (price - cost) / price.

    Raises: BadAmount where price is not above zero.
    """
    if price <= 0:
        raise BadAmount("A margin needs a price above zero.", field="price")
    return (price - cost) / price


def margin_from_markup(share: Decimal) -> Decimal:
    """Return the margin that a markup makes: m / (1 + m). A markup of 50 % is a margin of 33.3 %."""
    if share <= -1:
        raise BadAmount("A markup must be above -100 %.", field="markup")
    return share / (1 + share)


def markup_from_margin(share: Decimal) -> Decimal:
    """Return the markup that a margin needs: g / (1 - g).

    Raises: BadAmount where the margin is not below 100 %.
    """
    if share >= 1:
        raise BadAmount("A margin must be below 100 %: no price leaves more than itself.", field="margin")
    return share / (1 - share)


def price_with_margin(cost: Decimal, share: Decimal) -> Decimal:
    """Return the price of which ``share`` is profit: cost / (1 - share), unrounded."""
    if not ZERO <= share < 1:
        raise BadAmount("The profit margin must be from 0 to below 100 %.", field="margin")
    return cost / (1 - share)


def break_even(
    *, fixed_costs: Decimal, price: Decimal, variable_cost: Decimal, profit: Decimal = ZERO
) -> int:
    """Return how many garments cover fixed costs and wished profit: (fixed + profit) / contribution, up.

    Raises: BadAmount where a garment brings in no more than it costs.
    """
    contribution = price - variable_cost
    if contribution <= 0:
        raise BadAmount("Each garment must bring in more than its own cost: raise the price.", field="price")
    return int(((fixed_costs + profit) / contribution).to_integral_value(rounding=ROUND_CEILING))
