"""What the pattern engine refuses, and why."""

from __future__ import annotations


class DraftingError(ValueError):
    """Base of every refusal of the pattern engine; the message says what would satisfy it."""


class CannotDraft(DraftingError):
    """A body, a choice or a house rule from which no sound pattern can be drawn.

    ``field`` names the measurement, choice or rule at fault, where one is.
    """

    def __init__(self, message: str, *, field: str = "") -> None:
        super().__init__(message)
        self.field = field


class BadMeasurement(DraftingError):
    """A measurement that cannot be read: not a number, no such unit, out of any human range."""

    def __init__(self, message: str, *, field: str = "") -> None:
        super().__init__(message)
        self.field = field


class BadChoice(DraftingError):
    """A style choice that does not exist, is out of its limits, or does not go with another."""

    def __init__(self, message: str, *, field: str = "") -> None:
        super().__init__(message)
        self.field = field


class BadCloth(DraftingError):
    """A cloth or a piece that cannot be laid: the message says by how much and what would do."""

    def __init__(self, message: str, *, field: str = "") -> None:
        super().__init__(message)
        self.field = field
