"""A half made whole: mirrored over its centre."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Point, distance, mirrored
from drafting.operations.change import Change, Move
from drafting.pattern import Cut, Dart

_STRAIGHT = 0.01  # mm


def mirrored_whole(sketch: Sketch, centre: str, other: str = "left") -> Change:
    """Open a half over its centre edge: the mirrored edges are called after the side, "left shoulder".

    A piece that was cut on the fold, or as a left and a right, is cut once. What was said of edges and widths
    stays with the half that was drawn; whoever makes a garment uneven says what is sewn to the other half.

    Raises: ValueError where the centre is not one straight line.
    """
    fold = sketch.stroke(centre)
    a, b = fold.path.start, fold.path.end
    if fold.path.length - distance(a, b) > _STRAIGHT:
        raise ValueError(f"the {centre} of the {sketch.name} is not straight")

    def over(point: Point) -> Point:
        return mirrored(point, a, b)

    def named(name: str) -> str:
        return f"{other} {name}"

    at = sketch.strokes.index(fold)
    half = [*sketch.strokes[at + 1 :], *sketch.strokes[:at]]
    twin = [Stroke(named(s.name), s.path.moved(over), s.kind, s.allowance) for s in half[::-1]]
    whole = replace(
        sketch,
        strokes=[*half, *twin],
        cuts=tuple(Cut(cut.cloth, 1) for cut in sketch.cuts),
        darts=[*sketch.darts, *(_twin_dart(dart, over, named) for dart in sketch.darts)],
        marks=[
            *sketch.marks,
            *(replace(m, name=named(m.name), path=m.path.moved(over)) for m in sketch.marks),
        ],
        notches=[*sketch.notches, *((named(edge), at, n) for edge, at, n in sketch.notches)],
        turned=(*sketch.turned, *map(named, sketch.turned)),
    )
    return Change(sketch.name, (whole,))


def _twin_dart(dart: Dart, over: Move, named: Callable[[str], str]) -> Dart:
    legs = dart.leg_edges
    start, apex, end = over(dart.start), over(dart.apex), over(dart.end)
    twins = None if legs is None else (named(legs[0]), named(legs[1]))
    return replace(dart, name=named(dart.name), start=start, apex=apex, end=end, leg_edges=twins)
