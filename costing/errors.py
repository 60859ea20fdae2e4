"""What the costing room refuses, and why."""

from __future__ import annotations


class CostingError(ValueError):
    """Base of every refusal of the costing room; the message says what would satisfy it.

    ``field`` names the input at fault, where one is, so that a form can show the message beside it.
    """

    def __init__(self, message: str, *, field: str = "") -> None:
        super().__init__(message)
        self.field = field


class BadAmount(CostingError):
    """An amount, share or quantity that cannot be used: not a number, negative, too large, too fine."""
