"""What cannot be laid, with the figures: whoever shows it writes them in the workshop's unit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from drafting.errors import BadCloth

Write = Callable[[float], str]
"""Writes a length given in mm."""


def in_mm(length: float) -> str:
    return f"{round(length, 1):g} mm"


@dataclass(frozen=True, slots=True)
class Remedy:
    """What would do. ``words`` hold ``{}`` where ``length`` (mm) is to be written."""

    words: str
    length: float | None = None

    def worded(self, write: Write) -> str:
        return self.words if self.length is None else self.words.format(write(self.length))


class TooWide(BadCloth):
    """A piece that is wider than the cloth.

    ``piece`` is ``across`` wide where the cloth gives ``usable``: ``over`` too much; a cloth
    ``cloth_needed`` wide would do; mm. ``remedies``: that and whatever else would.
    """

    def __init__(
        self, piece: str, *, across: float, usable: float, cloth_needed: float, remedies: tuple[Remedy, ...]
    ) -> None:
        self.piece, self.across, self.usable = piece, across, usable
        self.over, self.cloth_needed = across - usable, cloth_needed
        self.remedies = remedies
        super().__init__(self.worded(in_mm), field="width")

    def worded(self, write: Write) -> str:
        """The sentence, each length written by ``write``."""
        ways = "; or ".join(remedy.worded(write) for remedy in self.remedies)
        return (
            f"The piece {self.piece} is {write(self.across)} across and the cloth gives {write(self.usable)} "
            f"of width: {write(self.over)} too wide. What would do: {ways}."
        )


class DoesNotFit(BadCloth):
    """The pieces do not go on the lengths that there are: the best lay found is ``over`` mm too long.

    ``available``: what the lengths give, mm.
    """

    def __init__(self, *, available: float, over: float) -> None:
        self.available, self.over = available, over
        super().__init__(self.worded(in_mm), field="stretches")

    def worded(self, write: Write) -> str:
        """The sentence, each length written by ``write``."""
        return (
            f"The pieces do not go on the lengths there are ({write(self.available)} in all): the shortest "
            f"lay found needs {write(self.over)} more. Take another length, or cloth from the roll."
        )
