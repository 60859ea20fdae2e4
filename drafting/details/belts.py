"""Belts and their loops: strips folded along their length.

A strip is drawn flat, its length downward: y from 0 to minus the length, x across twice its width.
"""

from __future__ import annotations

from drafting.blocks.rules import House
from drafting.blocks.sketch import Sketch, Stroke
from drafting.errors import CannotDraft
from drafting.geometry import Path, Point
from drafting.pattern import Cut, EdgeKind, MarkKind

_LOOP_WIDTH = 4.0  # mm: of a turned button loop (common practice, no source)
_LOOP_ROOM = 6.0  # mm that a belt's loop is longer than it is wide, and as much to sew down at each end


def belt_loop(held: float, house: House, count: int) -> Sketch:
    """The strip of belt loops that hold what is ``held`` mm wide, cut ``count`` times."""
    length, width = held + 3 * _LOOP_ROOM, house["belt_loop_width"]
    return folded_strip("belt loop", length, width, house, (Cut("shell", count),), ends=EdgeKind.HEM)


def button_loop(hole: float, house: House) -> Sketch:
    """A turned loop that a button passes whose hole would be ``hole`` mm long; cut on the bias.

    Laid flat it is as wide open as that hole; both its ends lie side by side in the seam. Source: plane
    geometry; common practice, no source.
    """
    length = 2 * hole - 2 * _LOOP_WIDTH
    sketch = folded_strip("button loop", length, _LOOP_WIDTH, house, (Cut("shell", 1),), ends=EdgeKind.HEM)
    middle, reach = Point(_LOOP_WIDTH, -length / 2), min(length / 2, 2 * _LOOP_WIDTH) * 0.7
    sketch.grain = middle - Point(reach, reach), middle + Point(reach, reach)
    sketch.remarks = ("cut on the bias",)
    return sketch


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
