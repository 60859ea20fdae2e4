"""The arithmetic of statements: which paper a payment settles, and how late it is."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from costing.rules.money import ZERO


def left_to_pay(asked: Sequence[Decimal], paid: Decimal) -> list[Decimal]:
    """Return what is still to pay of each paper of one order; money settles the oldest first.

    Args:
        asked: what each paper asks for, the oldest first.
        paid: payments less refunds of the order; what is more than all papers ask for is left over.

    Source: common practice, no source (which debt a payment settles is a matter of local law).
    """
    left = []
    for amount in asked:
        settled = max(min(amount, paid), ZERO)
        left.append(amount - settled)
        paid -= settled
    return left


def days_late(due_on: date, today: date) -> int:
    """Return the days since the due day; 0 on the day itself and before."""
    return max(0, (today - due_on).days)
