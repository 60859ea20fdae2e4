"""Belts and their loops: strips folded along their length.

A strip is drawn flat, its length downward: y from 0 to minus the length, x across twice its width.
"""

from __future__ import annotations

from drafting.blocks.rules import House
from drafting.blocks.sketch import Sketch, Stroke
from drafting.errors import CannotDraft
from drafting.geometry import Path, Point
from drafting.pattern import Cut, EdgeKind, MarkKind


def folded_strip(
    name: str, length: float, width: float, house: House, cuts: tuple[Cut, ...], *, ends: EdgeKind
) -> Sketch:
    """Return a strip that is folded to ``width``, mm.

    Edges: "long edge left" and "long edge right" (downward; sewn to one another), "upper end" and "lower
    end", of the kind that ``ends`` says.

    Raises: CannotDraft for a strip without length or width.
    """
    if length <= 0 or width <= 0:
        raise CannotDraft(f"a strip of {length:g} by {width:g} mm cannot be cut")
    enclosed = house["enclosed_allowance"]
    a, b = Point(0.0, 0.0), Point(2 * width, 0.0)
    c, d = Point(2 * width, -length), Point(0.0, -length)
    sketch = Sketch(
        name,
        [
            Stroke("upper end", Path.line(a, b), ends, enclosed),
            Stroke("long edge right", Path.line(b, c), EdgeKind.SEAM, enclosed),
            Stroke("lower end", Path.line(d, c), ends, enclosed),
            Stroke("long edge left", Path.line(a, d), EdgeKind.SEAM, enclosed),
        ],
        cuts,
        (Point(0.5 * width, -0.8 * length), Point(0.5 * width, -0.2 * length)),
    )
    sketch.mark("fold", MarkKind.GUIDE, Path.line(Point(width, 0.0), Point(width, -length)))
    return sketch
