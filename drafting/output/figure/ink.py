"""Lines of the figure as shapes: drawn for one half and mirrored for the other."""

from __future__ import annotations

from collections.abc import Iterable

from drafting.geometry import Path, Point
from drafting.output.figure.panels import Line
from drafting.output.shapes import Shape, line_data

FIGURE_STYLE = """
.garment path{fill:none;stroke:#222;stroke-width:3;stroke-linejoin:round;stroke-linecap:round}
.garment .cloth{fill:#fffdf8;stroke:none}
.garment .body{fill:#fffdf8;stroke-width:4.5}
.garment .pocket{fill:#fffdf8;stroke-width:2.5}
.garment .inside{fill:#e7e2d8;stroke-width:2.5}
.garment .edge{stroke-width:4.5}
.garment .seam{stroke-width:2.5}
.garment .fold{stroke-width:2;stroke:#777}
.garment .fine{stroke-width:2;stroke-dasharray:9 7}
.garment .button{fill:#fffdf8;stroke-width:2.5}
.garment .t{font-family:DejaVu Sans,Verdana,sans-serif;fill:#444;stroke:none}
.garment{max-width:100%;height:auto}
@media screen{.garment path{vector-effect:non-scaling-stroke}
.garment .cloth{stroke:none}.garment .body,.garment .edge{stroke-width:1.7px}
.garment .inside,.garment .pocket,.garment .seam,.garment .button{stroke-width:1px}
.garment .fold{stroke-width:.8px}
.garment .fine{stroke-width:.9px;stroke-dasharray:4 3}}
""".strip()


def over(line: Line) -> Line:
    """The line of the other half."""
    return tuple(Point(-p[0], p[1]) for p in line)


def way(line: Line, sign: float) -> Line:
    """A line of the half that lies left (-1) or right (1) of the centre in the picture."""
    return line if sign > 0 else over(line)


def area(style: str, *lines: Line) -> Shape:
    """A closed area whose outline is the lines, one after the other."""
    return Shape(style, line_data(*(p for line in lines for p in line)) + "Z")


def stroke(style: str, line: Line) -> Shape:
    return Shape(style, line_data(*line))


def both(style: str, lines: Iterable[Line]) -> list[Shape]:
    """The lines of both halves."""
    return [stroke(style, half) for line in lines for half in (line, over(line))]


def flat(path: Path) -> Line:
    return path.flatten(0.6)


def bend(*points: Point) -> Line:
    """A smooth line from the first to the last point with two handles between."""
    a, b, c, d = points
    return flat(Path.cubic(a, b, c, d))
