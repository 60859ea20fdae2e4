"""The lay plan as a picture: to scale, numbered in cutting order, for a sheet of A4 and for a phone.

The cloth runs down the page, seen from above: its beginning at the top, y = 0 (a selvedge, or the fold) on
the left. A quarter turn of the lay's own axes, so that nothing is mirrored.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from math import ceil, floor
from textwrap import wrap

import shapely
from shapely.geometry import Polygon

from drafting.layplan.cloth import Cloth
from drafting.layplan.items import Layer
from drafting.layplan.plan import LayPlan, Placed
from drafting.layplan.table import blocked, spans
from drafting.units import MM_PER, Unit, format_length

#: What an A4 sheet leaves between common printers' margins, mm.
SHEET = (190.0, 277.0)

#: Scales that a ruler or a head can work with: 1 to so many.
SCALES = (2, 5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 300, 500, 1000)

#: Distance between two figures of the tape, and marks between them, in the unit.
TAPE = {Unit.MM: (100.0, 2), Unit.CM: (10.0, 2), Unit.M: (0.1, 2), Unit.IN: (6.0, 6), Unit.YD: (0.125, 1)}

WORDS = {Layer.DOUBLE: "double", Layer.FOLD: "on the fold"}

#: A line of text on a drawing of full size, mm.
FULL_SIZE_LINE = 14.0

#: Lines of text, side by side, that the width of the cloth takes, and at least the drawing: on a screen 390
#: pixels wide a line is then 12 high.
ACROSS_LINES, LEAST_LINES = 27, 30

#: Width of a character, in its own size.
CHARACTER = 0.62


def lay_svg(plan: LayPlan, *, unit: Unit) -> str:
    """Draw a lay plan.

    The size in millimetres is that of a print to scale; on a screen it shrinks to the width there is.

    Args:
        plan: the plan.
        unit: in which the tape and the lengths are written.

    Returns:
        A standalone SVG document.
    """
    drawing = LayDrawing(plan, Unit(unit), _scale(plan))
    # On paper the millimetres count; on a screen the lay shrinks to the width there is.
    return drawing.svg("<style>@media screen{svg.lay-plan{max-width:100%;height:auto}}</style>")


class LayDrawing:
    """The lay at 1 to ``scale``. Sizes follow the print: ``line`` is a line of text, in mm of cloth."""

    def __init__(self, plan: LayPlan, unit: Unit, scale: int) -> None:
        self.plan = plan
        self.unit = unit
        self.scale = scale
        self.line = _line(plan, scale)
        self.left = 3.4 * self.line
        self.width = max(self.left + plan.usable_width + 1.8 * self.line, LEAST_LINES * self.line)
        self.words = self._words()
        self.top = (1.2 * len(self.words) + 2.0) * self.line
        self.height = self.top + plan.length + 1.6 * self.line + self._key_height()

    def svg(self, style: str = "", *, begin: float = 0.0, end: float | None = None) -> str:
        """The drawing, or its part from ``begin`` to ``end`` down the page, mm of cloth."""
        high = (self.height if end is None else end) - begin
        title = f"Lay plan of {self.plan.cloth.name}: {self._length(self.plan.length)}"
        return "\n".join(
            (
                f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 {begin:.1f} {self.width:.1f} '
                f'{high:.1f}" '
                f'width="{self.width / self.scale:.1f}mm" height="{high / self.scale:.1f}mm" '
                'class="lay-plan" role="img" font-family="DejaVu Sans, sans-serif" '
                f'font-size="{self.line:.1f}">',
                f"<title>{escape(title)}</title>",
                style,
                f'<rect width="{self.width:.1f}" height="{self.height:.1f}" fill="#fffdf8"/>',
                *self._heading(),
                *self._cloth(),
                *self._tape(),
                *(line for n, placed in enumerate(self.plan.placed, 1) for line in self._piece(n, placed)),
                *self._names_of_lengths(),
                *self._key(),
                "</svg>",
            )
        )

    def _words(self) -> list[str]:
        """The heading, no line longer than the drawing is wide."""
        plan, cloth = self.plan, self.plan.cloth
        way = "one way" if cloth.one_way else "both ways"
        first = f"{cloth.name}: buy {self._length(plan.buy_length)}, {self._length(cloth.width)} wide"
        rest = (
            self._taken(),
            f"laid {how_laid(cloth)}, {way}; lay {self._length(plan.length)}, {plan.utilisation:.0%} used",
            f"scale 1 : {self.scale}; cut in the order of the numbers",
            self._repeat(),
        )
        room = int((self.width / self.line - 1.2) / (0.9 * CHARACTER))
        return [first, *(row for words in rest for row in wrap(words, room))]

    def _taken(self) -> str:
        """What is taken of each length, where there are some."""
        if not self.plan.cloth.stretches:
            return ""
        return "taken: " + ", ".join(f"{part.name} {self._length(part.length)}" for part in self.plan.used)

    def _repeat(self) -> str:
        """What is matched, where there is a repeat."""
        plan, cloth = self.plan, self.plan.cloth
        if not (cloth.repeat_length or cloth.repeat_width):
            return ""
        missed = f", {len(plan.unmatched)} cannot be" if plan.unmatched else ""
        sizes = [self._length(size) for size in (cloth.repeat_length, cloth.repeat_width) if size]
        begun = (
            "; begin each length at the same place of it" if cloth.stretches and cloth.repeat_length else ""
        )
        return f"repeat {' by '.join(sizes)}; {len(plan.matched)} matches held{missed}{begun}"

    def _heading(self) -> Iterator[str]:
        for row, words in enumerate(self.words):
            size = self.line * (1.15 if row == 0 else 0.9)
            yield self._text(self.line * 0.6, self.line * (1.4 + 1.2 * row), words, size=size)

    def _cloth(self) -> Iterator[str]:
        width, length = self.plan.usable_width, self.plan.length
        yield (
            f'<rect x="{self.left:.2f}" y="{self.top:.2f}" width="{width:.2f}" height="{length:.2f}" '
            f'fill="#f3ecdc" stroke="#222" stroke-width="{self.line * 0.05:.2f}"/>'
        )
        yield from self._repeats()
        yield from self._blocked()
        fold = self.plan.cloth.has_lengthwise_fold
        yield self._edge(0.0, "fold" if fold else "selvedge", dashed=fold)
        yield self._edge(width, "selvedge", anchor="end")
        if self.plan.cloth.fold_depth:
            yield self._edge(self.plan.cloth.fold_depth, "edge folded over, double up to here")
        if self.plan.cloth.crosswise:
            y = self.top + length
            yield self._rule(self.left, y, self.left + width, y, dashed=True)
            yield self._text(self.left, y + self.line, "fold, end to end", size=self.line * 0.85)

    def _edge(self, y: float, words: str, *, dashed: bool = False, anchor: str = "start") -> str:
        at = self.left + y
        line = self._rule(at, self.top, at, self.top + self.plan.length, dashed=dashed)
        return line + self._text(at, self.top - self.line * 0.4, words, size=self.line * 0.85, anchor=anchor)

    def _rule(self, x1: float, y1: float, x2: float, y2: float, *, dashed: bool = False) -> str:
        dashes = f' stroke-dasharray="{self.line:.2f} {self.line * 0.5:.2f}"' if dashed else ""
        return (
            f'<line x1="{x1:.2f}" y1="{y1:.2f}" x2="{x2:.2f}" y2="{y2:.2f}" stroke="#222" '
            f'stroke-width="{self.line * 0.16:.2f}"{dashes}/>'
        )

    def _repeats(self) -> Iterator[str]:
        """The repeat as pale lines, begun at the lay's corner: only their distance tells, not their place."""
        cloth, width, length = self.plan.cloth, self.plan.usable_width, self.plan.length
        pale = f'stroke="#d8c9a6" stroke-width="{self.line * 0.05:.2f}"'
        for mark in range(1, floor(length / cloth.repeat_length) + 1 if cloth.repeat_length else 0):
            y = self.top + mark * cloth.repeat_length
            yield f'<path d="M{self.left:.2f} {y:.2f}h{width:.2f}" {pale}/>'
        for mark in range(1, floor(width / cloth.repeat_width) + 1 if cloth.repeat_width else 0):
            x = self.left + mark * cloth.repeat_width
            yield f'<path d="M{x:.2f} {self.top:.2f}v{length:.2f}" {pale}/>'

    def _blocked(self) -> Iterator[str]:
        """Flaws, and the ends of lengths, hatched by a cross so that they show without colour."""
        for box in blocked(self.plan.cloth):
            y0, y1 = max(box.y0, 0.0), min(box.y1, self.plan.usable_width)
            if box.x0 >= self.plan.length:
                continue
            x, y, wide, high = self.left + y0, self.top + box.x0, y1 - y0, box.x1 - box.x0
            yield (
                f'<path d="M{x:.2f} {y:.2f}h{wide:.2f}v{high:.2f}h{-wide:.2f}zl{wide:.2f} {high:.2f}'
                f'm0 {-high:.2f}l{-wide:.2f} {high:.2f}" fill="#f2c9bd" stroke="#8c2f1b" '
                f'stroke-width="{self.line * 0.07:.2f}"/>'
            )

    def _names_of_lengths(self) -> Iterator[str]:
        """Over the pieces, edged with the cloth's colour so that they can be read there."""
        for span in spans(self.plan.cloth) if self.plan.cloth.stretches else ():
            if span.start < self.plan.length:
                x, y = self.left + self.plan.usable_width - self.line * 0.3, self.top + span.start + self.line
                words = self._text(x, y, span.name, size=self.line * 0.85, anchor="end", bold=True)
                yield words.replace(
                    "<text ",
                    f'<text paint-order="stroke" stroke="#f3ecdc" stroke-width="{self.line * 0.3:.2f}" ',
                )

    def _tape(self) -> Iterator[str]:
        """A tape along the left edge from the beginning of the cloth."""
        step, parts = TAPE[self.unit]
        step *= MM_PER[self.unit]
        at = self.left - self.line * 0.35
        for mark in range(floor(self.plan.length / step * parts) + 1):
            y = self.top + mark * step / parts
            long = mark % parts == 0
            yield (
                f'<line x1="{at:.2f}" y1="{y:.2f}" x2="{at - self.line * (0.6 if long else 0.3):.2f}" '
                f'y2="{y:.2f}" stroke="#222" stroke-width="{self.line * 0.05:.2f}"/>'
            )
            if long:
                words = format_length(mark * step / parts, self.unit).removesuffix(".0")
                yield self._text(
                    at - self.line * 0.75, y + self.line * 0.25, words, size=self.line * 0.7, anchor="end"
                )
        yield self._text(
            at - self.line * 0.75, self.top - self.line * 0.4, self.unit, size=self.line * 0.7, anchor="end"
        )

    def _piece(self, number: int, placed: Placed) -> Iterator[str]:
        points = " ".join(f"{self.left + y:.2f},{self.top + x:.2f}" for x, y in placed.outline)
        fill = {Layer.SINGLE: "#ffffff", Layer.DOUBLE: "#dfe9f2", Layer.FOLD: "#e9e2f1"}[placed.layer]
        yield (
            f'<polygon points="{points}" fill="{fill}" stroke="#222" stroke-width="{self.line * 0.07:.2f}"/>'
        )
        spot = shapely.maximum_inscribed_circle(Polygon(placed.outline), tolerance=self.line / 2)
        (x, y), radius = spot.coords[0], spot.length
        at_x, at_y = self.left + y, self.top + x
        size = min(self.line * 1.3, radius * 1.1)
        yield from self._grain(placed, at_x, at_y, radius)
        yield self._text(at_x, at_y + size * 0.2, str(number), size=size, anchor="middle", bold=True)
        words = [text for text in (placed.piece, self._how(placed)) if text]
        small = min(self.line * 0.75, 1.45 * radius / max(len(text) for text in words) / 0.62)
        # Words too small to read on paper stay in the key below.
        if small >= self.line * 0.5:
            for row, text in enumerate(words):
                yield self._text(
                    at_x, at_y + size * 0.2 + small * 1.15 * (row + 1), text, size=small, anchor="middle"
                )

    def _grain(self, placed: Placed, at_x: float, at_y: float, radius: float) -> Iterator[str]:
        """An arrow beside the number, pointing the way the pattern's own arrow points."""
        way = -1.0 if round(placed.rotation) % 360 == 180 else 1.0
        turn = f' transform="rotate({-(placed.rotation if way > 0 else 0.0):g} {at_x:.2f} {at_y:.2f})"'
        half, barb = radius * 0.6, min(self.line * 0.4, radius * 0.25)
        x, tip, tail = at_x - radius * 0.8, at_y + way * half * 0.8, at_y - way * half * 0.8
        yield (
            f'<path d="M{x:.2f} {tail:.2f}L{x:.2f} {tip:.2f}M{x - barb:.2f} {tip - way * barb * 1.6:.2f}'
            f'L{x:.2f} {tip:.2f}L{x + barb:.2f} {tip - way * barb * 1.6:.2f}" fill="none" stroke="#555" '
            f'stroke-width="{self.line * 0.07:.2f}"{turn if placed.rotation % 180 else ""}/>'
        )

    def _key(self) -> Iterator[str]:
        columns, rows = self._key_shape()
        top = self.top + self.plan.length + 1.8 * self.line
        for index, placed in enumerate(self.plan.placed):
            column, row = divmod(index, rows)
            x = self.line * 0.6 + column * (self.width - self.line) / columns
            words = ", ".join(filter(None, (f"{index + 1}  {placed.piece}", self._how(placed))))
            yield self._text(x, top + (row + 0.6) * self.line * 1.15, words, size=self.line * 0.8)

    def _key_shape(self) -> tuple[int, int]:
        """Columns and rows of the key: as many columns as the longest entry leaves room for."""
        placed = self.plan.placed
        longest = max((len(place.piece) + len(self._how(place)) + 6 for place in placed), default=1)
        columns = max(1, min(4, floor((self.width - self.line) / (longest * self.line * 0.8 * 0.6))))
        return columns, ceil(len(placed) / columns)

    def _key_height(self) -> float:
        return self._key_shape()[1] * self.line * 1.15 + self.line

    def _how(self, placed: Placed) -> str:
        """What to mind when cutting, beyond one layer face up on open cloth."""
        if placed.layer is not Layer.SINGLE:
            return WORDS[placed.layer]
        notes = ("one layer only" if self.plan.cloth.folded else "", "face down" if placed.mirrored else "")
        return ", ".join(filter(None, notes))

    def _length(self, mm: float) -> str:
        return f"{format_length(mm, self.unit)} {self.unit}"

    def _text(
        self, x: float, y: float, words: str, *, size: float, anchor: str = "start", bold: bool = False
    ) -> str:
        weight = ' font-weight="bold"' if bold else ""
        return (
            f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}" text-anchor="{anchor}"{weight} '
            f'fill="#222">{escape(words)}</text>'
        )


def how_laid(cloth: Cloth) -> str:
    """How the cloth lies, in words."""
    if cloth.fold_depth:
        return "part folded, one edge over"
    if cloth.crosswise:
        return "folded crosswise"
    return "folded lengthwise" if cloth.folded else "open"


def _line(plan: LayPlan, scale: int) -> float:
    return max(4.0 * scale, plan.usable_width / ACROSS_LINES) if scale > 1 else FULL_SIZE_LINE


def _scale(plan: LayPlan) -> int:
    """The largest scale at which the lay and its words fit the sheet."""
    for scale in SCALES:
        line = _line(plan, scale)
        rows = ceil(len(plan.placed) / 2) + 11
        wide = plan.usable_width + 5.2 * line
        high = plan.length + rows * 1.15 * line
        if wide <= SHEET[0] * scale and high <= SHEET[1] * scale:
            return scale
    return SCALES[-1]
