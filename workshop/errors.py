"""The one domain error of the workshop's rooms."""

from __future__ import annotations

from drafting.errors import DraftingError


class Refusal(Exception):
    """Something that was asked cannot be done now; the message says what would satisfy it.

    ``field`` names the form field at fault, where one is.
    """

    def __init__(self, message: str, *, field: str = "") -> None:
        super().__init__(message)
        self.field = field


class EditedMeanwhile(Refusal):
    """Somebody else changed the row after this person opened it."""


# What pages and the API show as a message instead of letting it through; costing adds its own on import.
REFUSALS: tuple[type[Exception], ...] = (Refusal, DraftingError)
