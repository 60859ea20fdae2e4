"""What a lay drawing is made of: words and rules as SVG, sized by a line of text, mm of cloth."""

from __future__ import annotations

from dataclasses import dataclass
from xml.sax.saxutils import escape

#: Width of a character, in its own size.
CHARACTER = 0.62


@dataclass(frozen=True, slots=True)
class Pen:
    """Writes and rules on a drawing whose line of text is ``line`` high."""

    line: float

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float,
        anchor: str = "start",
        bold: bool = False,
        turn: float = 0.0,
    ) -> str:
        """Words at a place, turned about it by ``turn`` degrees clockwise."""
        weight = ' font-weight="bold"' if bold else ""
        turned = f' transform="rotate({turn:g} {x:.2f} {y:.2f})"' if turn else ""
        return (
            f'<text x="{x:.2f}" y="{y:.2f}" font-size="{size:.2f}" text-anchor="{anchor}"{weight}{turned} '
            f'fill="#222">{escape(words)}</text>'
        )

    def rule(self, x1: float, y1: float, x2: float, y2: float, *, width: float, dashed: bool = False) -> str:
        """A straight line, ``width`` in lines of text."""
        dashes = f' stroke-dasharray="{self.line:.2f} {self.line * 0.5:.2f}"' if dashed else ""
        return (
            f'<line x1="{x1:.2f}" y1="{y1:.2f}" x2="{x2:.2f}" y2="{y2:.2f}" stroke="#222" '
            f'stroke-width="{self.line * width:.2f}"{dashes}/>'
        )
