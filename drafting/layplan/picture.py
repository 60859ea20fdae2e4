"""The lay plan as a picture: to scale, numbered in cutting order, for a sheet of A4 and for a phone.

The cloth runs down the page, seen from above: its beginning at the top, y = 0 (a selvedge, or the fold) on
the left. A quarter turn of the lay's own axes, so that nothing is mirrored.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from math import floor
from textwrap import wrap

from drafting.layplan.cloth import Cloth
from drafting.layplan.key import Key
from drafting.layplan.pen import CHARACTER, Pen
from drafting.layplan.piece_picture import PieceDrawing, notes_of
from drafting.layplan.plan import LayPlan, Placed
from drafting.layplan.table import blocked
from drafting.units import MM_PER, Unit, format_length

#: What an A4 sheet leaves between common printers' margins, mm.
SHEET = (190.0, 277.0)

#: Scales that a ruler or a head can work with: 1 to so many.
SCALES = (2, 5, 10, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 300, 500, 1000)

#: Distance between two figures of the tape, and marks between them, in the unit.
TAPE = {Unit.MM: (100.0, 2), Unit.CM: (10.0, 2), Unit.M: (0.1, 2), Unit.IN: (6.0, 6), Unit.YD: (0.125, 1)}

#: A line of text on a drawing of full size, mm.
FULL_SIZE_LINE = 14.0

#: Lines of text, side by side, that the width of the cloth takes on a screen, and at least the drawing: on
#: one 390 pixels wide a line is then 12 high.
ACROSS_LINES, LEAST_LINES = 27, 30

#: So small is a lay on a screen that leaves it the choice.
ON_SCREEN = 10

ORDER = "cut in the order of the numbers"

#: Width of the cloth's edges, in lines of text.
EDGE = 0.16


def lay_svg(plan: LayPlan, *, unit: Unit) -> str:
    """Draw a lay plan to scale on a sheet of A4, at the largest scale at which it goes there with its words.

    Args:
        plan: the plan.
        unit: in which the tape and the lengths are written.

    Returns:
        A standalone SVG document, its size in millimetres that of the print.
    """
    for scale in SCALES:
        # A long lay leaves room beside it.
        for beside in (False, True):
            drawing = LayDrawing(plan, Unit(unit), 4.0 * scale, scale=scale, key_beside=beside)
            if drawing.width <= SHEET[0] * scale and drawing.height <= SHEET[1] * scale:
                return drawing.svg()
    return drawing.svg()


def lay_screen_svg(plan: LayPlan, *, unit: Unit) -> str:
    """Draw a lay plan as wide as a screen: as long as it needs to be, so that its words can be read there.

    Args and returns as ``lay_svg``; its size is that of the screen.
    """
    drawing = LayDrawing(plan, Unit(unit), plan.usable_width / ACROSS_LINES)
    return drawing.svg("<style>@media screen{svg.lay-plan{max-width:100%;height:auto}}</style>")


class LayDrawing:
    """The lay with its heading, tape and key.

    Args:
        plan: the plan.
        unit: in which lengths are written.
        line: a line of text, mm of cloth.
        scale: the print is at 1 to so much.
        key_beside: the key stands beside the cloth, not below it.
    """

    def __init__(
        self, plan: LayPlan, unit: Unit, line: float, *, scale: int = 0, key_beside: bool = False
    ) -> None:
        self.plan, self.unit, self.line, self.scale = plan, unit, line, scale
        self.pen = Pen(line)
        self.left = 3.4 * line
        self.right = self.left + plan.usable_width + 1.8 * line
        if key_beside:
            self.key = Key(plan, self.pen)
            self.width = self.right + self.key.column
        else:
            self.width = max(self.right, LEAST_LINES * line)
            self.key = Key(plan, self.pen, self.width - line)
        self.words = self._words()
        self.top = (1.2 * len(self.words) + 2.0) * line
        end = plan.length + 1.8 * line
        self.key_at = (self.right, self.top) if key_beside else (0.6 * line, self.top + end)
        self.height = self.top + (max(end, self.key.height) if key_beside else end + self.key.height)

    def svg(self, style: str = "", *, begin: float = 0.0, end: float | None = None) -> str:
        """The drawing, or its part from ``begin`` to ``end`` down the page, mm of cloth."""
        high, size = (self.height if end is None else end) - begin, self.scale or ON_SCREEN
        title = f"Lay plan of {self.plan.cloth.name}: {self._length(self.plan.length)}"
        return "\n".join(
            (
                f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 {begin:.1f} {self.width:.1f} '
                f'{high:.1f}" '
                f'width="{self.width / size:.1f}mm" height="{high / size:.1f}mm" '
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
                *self.key.svg(*self.key_at),
                "</svg>",
            )
        )

    def _words(self) -> list[str]:
        """The heading, no line longer than the drawing is wide."""
        plan, cloth = self.plan, self.plan.cloth
        way = "one way" if cloth.one_way else "both ways"
        buy = f"buy {self._length(plan.buy_length)}" if plan.buy_length else "nothing to buy"
        first = f"{cloth.name}: {buy}, {self._length(cloth.width)} wide"
        rest = (
            self._taken(),
            f"laid {how_laid(cloth)}, {way}; lay {self._length(plan.length)}, {plan.utilisation:.0%} used",
            f"scale 1 : {self.scale}; {ORDER}" if self.scale else ORDER,
            self._repeat(),
        )
        room = int((self.width / self.line - 1.2) / (0.9 * CHARACTER))
        return [first, *(row for words in rest for row in wrap(words, room))]

    def _taken(self) -> str:
        """What is taken of each length, where there are some."""
        if not self.plan.cloth.stretches:
            return ""
        return "taken: " + ", ".join(
            f"{self._length(row.length)} of the {row.name}" for row in self.plan.used
        )

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
            yield self.pen.text(self.line * 0.6, self.line * (1.4 + 1.2 * row), words, size=size)

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
            yield self._edge_folded_over(self.plan.cloth.fold_depth)
        if self.plan.cloth.crosswise:
            y = self.top + length
            yield self.pen.rule(self.left, y, self.left + width, y, width=EDGE, dashed=True)
            yield self.pen.text(self.left, y + self.line, "fold, end to end", size=self.line * 0.85)

    def _edge(self, y: float, words: str, *, dashed: bool = False, anchor: str = "start") -> str:
        at = self.left + y
        line = self.pen.rule(at, self.top, at, self.top + self.plan.length, width=EDGE, dashed=dashed)
        return line + self.pen.text(
            at, self.top - self.line * 0.4, words, size=self.line * 0.85, anchor=anchor
        )

    def _edge_folded_over(self, depth: float) -> str:
        """The selvedge that was folded over, its words on the side of it where there is more room."""
        anchor = "end" if depth > self.plan.usable_width / 2 else "start"
        return self._edge(depth, "double up to here", anchor=anchor)

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
        for span in self.plan.under if self.plan.cloth.stretches else ():
            x, y = self.left + self.plan.usable_width - self.line * 0.3, self.top + span.start + self.line
            words = self.pen.text(x, y, span.name, size=self.line * 0.85, anchor="end", bold=True)
            # Not every reader paints a stroke under its own letters, so the edge is written first.
            edge = f'stroke="#f3ecdc" stroke-width="{self.line * 0.3:.2f}" aria-hidden="true"'
            yield words.replace("<text ", f"<text {edge} ")
            yield words

    def _tape(self) -> Iterator[str]:
        """A tape along the left edge, from the beginning of the cloth, or of each length that is used."""
        size, at = self.line * 0.7, self.left - self.line * 0.35
        yield self.pen.text(
            at - self.line * 0.75, self.top - self.line * 0.4, self.unit, size=size, anchor="end"
        )
        for span in self.plan.under:
            yield from self._marks(span.start, span.end - span.start)

    def _marks(self, start: float, length: float) -> Iterator[str]:
        step, parts = TAPE[self.unit]
        step *= MM_PER[self.unit]
        at = self.left - self.line * 0.35
        for mark in range(floor(length / step * parts) + 1):
            y = self.top + start + mark * step / parts
            long = mark % parts == 0
            yield self.pen.rule(at, y, at - self.line * (0.6 if long else 0.3), y, width=0.05)
            if long:
                words = format_length(mark * step / parts, self.unit).removesuffix(".0")
                yield self.pen.text(
                    at - self.line * 0.75, y + self.line * 0.25, words, size=self.line * 0.7, anchor="end"
                )

    def _piece(self, number: int, placed: Placed) -> Iterator[str]:
        notes = notes_of(placed, self.plan.cloth)
        yield from PieceDrawing(placed, number, notes, self.pen, left=self.left, top=self.top).svg()

    def _length(self, mm: float) -> str:
        """A length with its unit, which no line is broken between."""
        return f"{format_length(mm, self.unit)}\N{NO-BREAK SPACE}{self.unit}"


def how_laid(cloth: Cloth) -> str:
    """How the cloth lies, in words."""
    if cloth.fold_depth:
        return "part folded, one edge over"
    if cloth.crosswise:
        return "folded crosswise"
    return "folded lengthwise" if cloth.folded else "open"
