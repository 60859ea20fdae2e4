"""Lengthen or shorten a piece at a level line."""

from __future__ import annotations

from dataclasses import replace

from drafting.blocks.sketch import Sketch
from drafting.geometry import Path, Point
from drafting.making import Width
from drafting.operations.change import Change


def lengthened(sketch: Sketch, level: float, by: float) -> Change:
    """Let all below a level lie lower by ``by`` mm (higher, where it is less than 0).

    Straight lines that cross the level stay straight and curves stay curves: both are drawn to their moved
    ends and handles, as one trues a side seam after cutting. What lies in a strip that is taken out comes to
    lie on the level.

    Args:
        sketch: the piece.
        level: height of the line in the sketch's frame, mm.
        by: mm.

    Raises: ValueError where nothing of the piece lies below what is taken out.
    """
    lowest = min(point.y for stroke in sketch.strokes for point in stroke.path.flatten(1.0))
    if lowest >= level + min(by, 0.0):
        raise ValueError(f"nothing of the {sketch.name} lies below {level + min(by, 0.0):g} mm")

    def move(point: Point) -> Point:
        return point if point[1] >= level else Point(point[0], min(level, point[1] - by))

    paths = {stroke.name: _drawn(stroke.path, level, by) for stroke in sketch.strokes}
    changed = replace(
        sketch,
        strokes=[replace(stroke, path=paths[stroke.name]) for stroke in sketch.strokes],
        grain=(move(sketch.grain[0]), move(sketch.grain[1])),
        marks=[replace(mark, path=mark.path.mapped(move)) for mark in sketch.marks],
        darts=[
            replace(dart, start=move(dart.start), apex=move(dart.apex), end=move(dart.end))
            for dart in sketch.darts
        ],
        notches=[_kept(notch, sketch, paths[notch[0]], level) for notch in sketch.notches],
    )

    def follow(width: Width) -> tuple[Width, ...]:
        return (replace(width, start=move(width.start), end=move(width.end)),)

    return Change(sketch.name, (changed,), widths=follow)


def _drawn(path: Path, level: float, by: float) -> Path:
    """The path with all its points and handles below the level moved."""

    def move(point: Point) -> Point:
        return point if point[1] >= level else Point(point[0], min(level, point[1] - by))

    return path.mapped(move)


def _kept(notch: tuple[str, float, int], sketch: Sketch, path: Path, level: float) -> tuple[str, float, int]:
    """A notch keeps its distance from the end of its edge that lies on its side of the level."""
    edge, at, count = notch
    old = sketch.path(edge)
    above = old.point_at(at).y >= level
    from_start = (old.start.y >= level) == above
    return edge, (at if from_start else max(path.length - (old.length - at), 0.0)), count
