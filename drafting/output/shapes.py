"""Lines and words on paper, before they are written as SVG or PDF.

Both are kept apart because the PDF maker sets words letter by letter when they are inside an SVG: slow, and
wrong for scripts whose letters join. Paper coordinates are millimetres, x to the right and y DOWN.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

from drafting.geometry import Cubic, Path, Point

# Widths of the printable ASCII characters, 1/1000 of the font size: the hmtx table of DejaVu Sans 2.37, which
# is wider than most fonts that a browser would take in its place: what fits by this table fits.
_WIDTHS = tuple(
    int(width)
    for width in [
        "318",
        "401",
        "460",
        "838",
        "636",
        "950",
        "780",
        "275",
        "390",
        "390",
        "500",
        "838",
        "318",
        "361",
        "318",
        "337",
        "636",
        "636",
        "636",
        "636",
        "636",
        "636",
        "636",
        "636",
        "636",
        "636",
        "337",
        "337",
        "838",
        "838",
        "838",
        "531",
        "1000",
        "684",
        "686",
        "698",
        "770",
        "632",
        "575",
        "775",
        "752",
        "295",
        "295",
        "656",
        "557",
        "863",
        "748",
        "787",
        "603",
        "787",
        "695",
        "635",
        "611",
        "732",
        "684",
        "989",
        "685",
        "611",
        "685",
        "390",
        "337",
        "390",
        "838",
        "500",
        "500",
        "613",
        "635",
        "550",
        "635",
        "615",
        "352",
        "635",
        "634",
        "278",
        "278",
        "579",
        "278",
        "974",
        "634",
        "612",
        "635",
        "635",
        "411",
        "521",
        "392",
        "634",
        "592",
        "818",
        "592",
        "592",
        "525",
        "636",
        "337",
        "636",
        "838",
    ]
)
_OTHER = 1000
_BOLD = 1.15


@dataclass(frozen=True, slots=True)
class Shape:
    """An SVG path of a style class."""

    style: str
    data: str


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text: the anchor is on its baseline, at its ``anchor`` (start, middle or end).

    ``angle`` is in degrees, clockwise on paper, about the anchor. ``style`` is a class of ``STYLE``.
    """

    x: float
    y: float
    size: float
    text: str
    anchor: str = "middle"
    angle: float = 0.0
    style: str = ""
    bold: bool = False

    @property
    def width(self) -> float:
        """mm, as set in DejaVu Sans."""
        return text_width(self.text, self.size, bold=self.bold)


@dataclass(frozen=True, slots=True)
class Drawing:
    """Shapes and the words that lie over them."""

    shapes: tuple[Shape, ...] = ()
    words: tuple[Words, ...] = ()

    def __add__(self, other: Drawing) -> Drawing:
        return Drawing(self.shapes + other.shapes, self.words + other.words)

    @staticmethod
    def together(drawings: Iterable[Drawing]) -> Drawing:
        """All of them in one, later ones on top."""
        parts = list(drawings)
        return Drawing(
            tuple(shape for part in parts for shape in part.shapes),
            tuple(word for part in parts for word in part.words),
        )


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of a line of text in DejaVu Sans, mm; characters outside ASCII are counted wide."""
    units = sum(_WIDTHS[ord(c) - 32] if " " <= c <= "~" else 318 if c in "·\u00a0" else _OTHER for c in text)
    return units * size / 1000 * (_BOLD if bold else 1.0)


def number(value: float) -> str:
    """A coordinate to a hundredth of a millimetre, written as short as it goes."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in {"-0", ""} else text


def at(point: Point) -> str:
    """A point of the pattern (y up) as a pair of paper coordinates (y down)."""
    return f"{number(point[0])} {number(-point[1])}"


def path_data(path: Path, *, joined: bool = False) -> str:
    """A pattern path as SVG path data, its curves kept as curves; ``joined`` leaves out the first move."""
    parts = [] if joined else [f"M{at(path.start)}"]
    for segment in path.segments:
        if isinstance(segment, Cubic):
            parts.append(f"C{at(segment.p1)} {at(segment.p2)} {at(segment.p3)}")
        else:
            parts.append(f"L{at(segment.end)}")
    return "".join(parts)


def ring_data(points: Sequence[Point]) -> str:
    """A closed ring of pattern points as SVG path data."""
    return "M" + "L".join(at(point) for point in points) + "Z"


def line_data(*points: Point) -> str:
    """An open line through pattern points as SVG path data."""
    return "M" + "L".join(at(point) for point in points)


def svg_shape(shape: Shape) -> str:
    return f'<path class="{shape.style}" d="{shape.data}"/>'


def svg_words(words: Words) -> str:
    """The words as an SVG text element."""
    turn = (
        f' transform="rotate({number(words.angle)} {number(words.x)} {number(words.y)})"'
        if words.angle
        else ""
    )
    kind = f"t {words.style}".strip()
    weight = ' font-weight="700"' if words.bold else ""
    return (
        f'<text class="{kind}" x="{number(words.x)}" y="{number(words.y)}" font-size="{number(words.size)}"'
        f' text-anchor="{words.anchor}"{weight}{turn}>{escape(words.text)}</text>'
    )


def svg_body(drawing: Drawing) -> str:
    """The drawing as SVG elements, words on top."""
    return "".join(map(svg_shape, drawing.shapes)) + "".join(map(svg_words, drawing.words))


# Where the baseline lies below the top of a line box as high as the font: DejaVu's ascent is 0.928 and its
# descent 0.236 of the size (hhea table), and the excess of 0.164 is shared by both sides.
_BASELINE = 0.928 - 0.082


def html_words(words: Words) -> str:
    """The words as an absolutely placed HTML line for the PDF maker (class ``w`` is styled by the page)."""
    width = words.width * 1.1 + 2
    left = words.x - {"start": 0.0, "middle": width / 2, "end": width}[words.anchor]
    top = words.y - _BASELINE * words.size
    align = {"start": "left", "middle": "center", "end": "right"}[words.anchor]
    style = (
        f"left:{number(left)}mm;top:{number(top)}mm;width:{number(width)}mm;"
        f"font-size:{number(words.size)}mm;text-align:{align}"
    )
    if words.bold:
        style += ";font-weight:700"
    if words.angle:
        pivot = f"{number(words.x - left)}mm {number(words.y - top)}mm"
        style += f";transform-origin:{pivot};transform:rotate({number(words.angle)}deg)"
    return f'<p class="w {words.style}" style="{style}">{escape(words.text)}</p>'
