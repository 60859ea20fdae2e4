"""The key of a lay drawing: each piece by its number, with what to mind when cutting it."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

from drafting.layplan.pen import Pen
from drafting.layplan.piece_picture import notes_of
from drafting.layplan.plan import LayPlan

#: Height of an entry's letters, distance between two entries, mean width of a letter; in lines of text.
LETTERS, ROW, LETTER = 0.8, 1.15, 0.48

MOST_COLUMNS = 4


class Key:
    """The entries in columns, filled one after the other.

    Args:
        plan: the lay.
        pen: of the drawing.
        width: what there is for all columns, mm of cloth; one column where it is not given.
    """

    def __init__(self, plan: LayPlan, pen: Pen, width: float = 0.0) -> None:
        self.pen = pen
        self.entries = [
            ", ".join((f"{number}  {placed.piece}", *notes_of(placed, plan.cloth)))
            for number, placed in enumerate(plan.placed, start=1)
        ]
        #: Width of a column, mm of cloth.
        self.column = (max(map(len, self.entries), default=1) + 2) * LETTER * pen.line
        columns = max(1, min(MOST_COLUMNS, floor(width / self.column)))
        self.rows = ceil(len(self.entries) / columns)
        self.step = max(width / columns, self.column)

    @property
    def height(self) -> float:
        return (self.rows * ROW + 1.0) * self.pen.line

    def svg(self, left: float, top: float) -> Iterator[str]:
        for index, words in enumerate(self.entries):
            column, row = divmod(index, self.rows)
            y = top + (row + 0.6) * self.pen.line * ROW
            yield self.pen.text(left + column * self.step, y, words, size=self.pen.line * LETTERS)
