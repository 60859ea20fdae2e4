"""A dart left unsewn: its edges joined by a curve, and what it took up gathered."""

from __future__ import annotations

from dataclasses import replace

from drafting.blocks.sketch import Sketch
from drafting.operations.change import Change
from drafting.operations.darts import halves_of
from drafting.operations.ring import dart_named, legs_of
from drafting.operations.spread import bridge

_BLENDED, _BLEND = 0.4, 45.0
"""How far beside its mouth an edge is drawn anew: of each half, and mm at most (common practice, no source).

A dart that does not stand square to its edge leaves a step there, which no curve from end to end would take
smoothly enough for a seam allowance beside it.
"""


def left_open(sketch: Sketch, dart: str, edge: str) -> tuple[Change, float]:
    """Take the legs of a dart away that opens in the middle of an edge, and draw a curve across its mouth.

    Args:
        sketch: the piece.
        dart: its name; it was cut into ``edge`` (``slit``), whose halves keep their names.
        edge: see there.

    Returns: the change, and by how much both halves together have become longer, mm; that is to be gathered.

    Source: plane geometry of the pivot method (common practice of pattern cutting).
    """
    gone = dart_named(sketch, dart)
    halves = halves_of(edge)
    before, after = (sketch.path(half) for half in halves)
    head = before.split_at(before.length - _reach(sketch, halves[0], before.length))[0]
    from_start = _reach(sketch, halves[1], after.length, at_start=True)
    tail = after.split_at(from_start)[1]
    drawn = {halves[0]: head.joined(bridge(head, tail)), halves[1]: tail}
    changed = replace(
        sketch,
        strokes=[
            replace(stroke, path=drawn.get(stroke.name, stroke.path))
            for stroke in sketch.strokes
            if stroke.name not in legs_of(gone)
        ],
        darts=[one for one in sketch.darts if one is not gone],
        notches=[(e, at - from_start if e == halves[1] else at, n) for e, at, n in sketch.notches],
    )
    longer = sum(path.length for path in drawn.values()) - before.length - after.length
    return Change(sketch.name, (changed,)), longer


def _reach(sketch: Sketch, half: str, length: float, *, at_start: bool = False) -> float:
    """How far from the mouth a half is drawn anew, mm: never as far as a notch."""
    notched = (at if at_start else length - at for edge, at, _ in sketch.notches if edge == half)
    return min(_BLENDED * length, _BLEND, *(0.9 * at for at in notched))
