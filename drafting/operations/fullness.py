"""A dart left unsewn: its edges joined by a curve, and what it took up gathered."""

from __future__ import annotations

from dataclasses import replace

from drafting.blocks.sketch import Sketch
from drafting.operations.change import Change
from drafting.operations.darts import halves_of
from drafting.operations.ring import dart_named, legs_of
from drafting.operations.spread import bridge


def left_open(sketch: Sketch, dart: str, edge: str) -> tuple[Change, float]:
    """Take the legs of a dart away that opens in the middle of an edge, and bridge its mouth.

    Args:
        sketch: the piece.
        dart: its name; it was cut into ``edge`` (``slit``), whose halves keep their names.
        edge: see there.

    Returns: the change, and by how much the edge has become longer, mm; that is to be gathered.

    Source: plane geometry of the pivot method (common practice of pattern cutting).
    """
    gone = dart_named(sketch, dart)
    first, second = halves_of(edge)
    across = bridge(sketch.path(first), sketch.path(second))
    whole = sketch.path(first).joined(across)
    strokes = [
        replace(stroke, path=whole) if stroke.name == first else stroke
        for stroke in sketch.strokes
        if stroke.name not in legs_of(gone)
    ]
    darts = [one for one in sketch.darts if one is not gone]
    return Change(sketch.name, (replace(sketch, strokes=strokes, darts=darts),)), across.length
