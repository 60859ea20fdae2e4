"""Buttons down an opening: where they sit, how long their holes are, and their marks."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from drafting.blocks.sketch import Sketch
from drafting.geometry import Path, Point
from drafting.pattern import MarkKind, Piece

_CROWDED = 0.6  # of the spacing: less between two buttons looks crowded (common practice, no source)
_ON_THE_RIGHT = "buttonhole (right"
HOLE_BEYOND = 3.0
"""A buttonhole begins this far beyond the centre, mm. Source: 1/8 in, buttonhole standards of textbooks."""


@dataclass(frozen=True, slots=True)
class Button:
    """A button, mm."""

    diameter: float
    thickness: float

    @property
    def hole(self) -> float:
        """Length of its hole, mm. Source: diameter + thickness, buttonhole standards of sewing textbooks."""
        return self.diameter + self.thickness

    @property
    def closest(self) -> float:
        """Two holes nearer than this are one weak place, mm (common practice, no source)."""
        return max(2 * self.diameter, 25.0)


@dataclass(frozen=True, slots=True)
class Opening:
    """What is buttoned, measured from its upper end, mm.

    ``through`` is a level at which a button must sit (the bust's), if it lies between ``first`` and ``last``.
    """

    first: float
    last: float
    spacing: float  # at most
    through: float | None = None


def places(opening: Opening, button: Button) -> list[float]:
    """Where the buttons sit, from the upper end downward, mm: evenly, so that one sits at ``through``.

    An opening too short for two has one. Source: common practice, no source.
    """
    if opening.last - opening.first < button.closest:
        return [opening.first]
    step = _step(opening, button)
    count = 1 + int((opening.last - opening.first) / step + 1e-6)
    return [opening.first + step * k for k in range(count)]


def _step(opening: Opening, button: Button) -> float:
    """The even distance: a whole number of steps from the first to the level, or to the last, button."""
    through = opening.through
    # A level just below the first button is held by that: aimed at, it would crowd all the others.
    nearest = opening.first + max(button.closest, _CROWDED * opening.spacing)
    fixed = through is not None and nearest <= through <= opening.last
    length = (through if fixed and through is not None else opening.last) - opening.first
    count = max(ceil(length / opening.spacing - 1e-6), 1)
    return length / count


def mark_button(sketch: Sketch, button: Button, y: float) -> None:
    """Mark a button on the centre line, x = 0, and its hole, which begins beyond it towards the edge."""
    hole = Path.line(Point(-HOLE_BEYOND, y), Point(button.hole - HOLE_BEYOND, y))
    sketch.mark(f"{_ON_THE_RIGHT} front)", MarkKind.BUTTONHOLE, hole)
    mark_place(sketch, y)


def mark_upright_hole(sketch: Sketch, button: Button, y: float) -> None:
    """Mark a hole along a placket's middle, x = 0, for a button at height ``y``: it begins above it."""
    hole = Path.line(Point(0.0, y + HOLE_BEYOND), Point(0.0, y + HOLE_BEYOND - button.hole))
    sketch.mark(f"{_ON_THE_RIGHT} front)", MarkKind.BUTTONHOLE, hole)


def mark_place(sketch: Sketch, y: float, where: str = "left front") -> None:
    """Mark where a button is sewn on, on the centre line, x = 0."""
    dot = Path.line(Point(0.0, y - 1.5), Point(0.0, y + 1.5))
    sketch.mark(f"button ({where})", MarkKind.BUTTON, dot)


def mark_on_ends(sketch: Sketch, button: Button, right: Point, left: Point, along: Point) -> None:
    """Mark the hole of a strip's right end and the button of its left one, each where the centre meets it.

    ``along``: the unit direction from the centre towards the right end's edge.
    """
    hole = Path.line(right + along * HOLE_BEYOND, right - along * (button.hole - HOLE_BEYOND))
    sketch.mark(f"{_ON_THE_RIGHT} end)", MarkKind.BUTTONHOLE, hole)
    up = Point(-along.y, along.x) * 1.5
    sketch.mark("button (left end)", MarkKind.BUTTON, Path.line(left - up, left + up))


def buttonholes(piece: Piece) -> int:
    """How many buttonholes are worked in what is cut of a piece: one on the right once, others in each."""
    names = [mark.name for mark in piece.marks if mark.kind is MarkKind.BUTTONHOLE]
    on_the_right = sum(name.startswith(_ON_THE_RIGHT) for name in names)
    copies = sum(cut.count for cut in piece.cuts if cut.cloth == "shell")
    return on_the_right + (len(names) - on_the_right) * copies
