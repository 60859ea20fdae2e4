"""The one domain error of the workshop's rooms, and what a page shows instead of letting it through."""

from __future__ import annotations

from costing.errors import CostingError
from drafting.errors import DraftingError


class Refusal(ValueError):
    """Something that was asked cannot be done now; the message says what would satisfy it.

    ``field`` names the form field at fault, where one is.
    """

    def __init__(self, message: str, *, field: str = "") -> None:
        super().__init__(message)
        self.field = field


class EditedMeanwhile(Refusal):
    """Somebody else changed the row after this person opened it."""


REFUSALS: tuple[type[Exception], ...] = (Refusal, DraftingError, CostingError)
