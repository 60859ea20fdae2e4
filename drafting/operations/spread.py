"""Fullness: cut a piece from edge to edge and spread it, at one end, at both, or evenly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import asin

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import NEAR, Path, Point, distance, dot, perpendicular, rotated, unit
from drafting.operations.change import Change, Move, carried
from drafting.operations.darts import halves_of, slit
from drafting.operations.ring import (
    Arc,
    Place,
    arcs,
    begun_as,
    dart_named,
    darts_in,
    marks_in,
    moved,
    still_first,
)

_CUTS = ("first cut", "second cut")


def spread(sketch: Sketch, start: Place, end: Place, *, at_start: float, at_end: float) -> Change:
    """Cut a piece straight from one edge to another and move its outer part away.

    Both edges keep their names and are longer by what was opened on them, bridged by a curve that runs on
    from part to part. Widths that crossed the cut are measured in two parts, without what was opened: the
    fullness hangs or is gathered.

    Args:
        sketch: the piece.
        start: where the cut begins, ``end`` where it ends, on two edges.
        end: see there.
        at_start: how far it opens there, mm; ``at_end`` likewise, 0 where it only turns. Where both open, the
            lesser is exact; the greater is the lesser and a turn beyond it.
        at_end: see there.

    Raises: ValueError where both places are on one edge, or a width is less than 0 or beyond the cut.

    Source: plane geometry of cutting and spreading (common practice of pattern cutting).
    """
    if start[0] == end[0]:
        raise ValueError("a cut goes from one edge to another")
    if min(at_start, at_end) < 0:
        raise ValueError("a piece is spread by a width of 0 or more")
    a, b = sketch.path(start[0]).point_at(start[1]), sketch.path(end[0]).point_at(end[1])
    cut = slit(slit(sketch, start, b, _CUTS[0]).sketch, end, a, _CUTS[1]).sketch
    still, moving = still_first(*arcs(cut, *(dart_named(cut, name) for name in _CUTS)))
    move = _opening(a, b, moving, at_start, at_end)
    regions = here, there = still.region(sketch.name), moving.region(sketch.name, move)
    halves = {s.name: s for s in (*still.between, *(moved(s, move) for s in moving.between))}
    changed = replace(
        sketch,
        strokes=begun_as(sketch, [_rejoined(s, halves) for s in sketch.strokes]),
        notches=[_shifted(notch, sketch, halves, (start, end)) for notch in sketch.notches],
        darts=[
            dart
            for region, arc in ((here, still), (there, moving))
            for dart in darts_in(cut, regions, region, arc)
            if dart.name not in _CUTS
        ],
        marks=[mark for region in regions for mark in marks_in(sketch, regions, region)],
    )
    return Change(sketch.name, (changed,), widths=carried(regions))


def widened(sketch: Sketch, start: Place, end: Place, by: float) -> Change:
    """Add fullness evenly: cut from edge to edge, draw the parts ``by`` mm apart. Raises: as ``spread``."""
    return spread(sketch, start, end, at_start=by, at_end=by)


def _opening(a: Point, b: Point, moving: Arc, at_start: float, at_end: float) -> Move:
    """The movement that opens the cut from ``a`` to ``b``: drawn apart by the lesser, then turned."""
    length = distance(a, b)
    across = perpendicular(unit(b - a))
    inside = moving.between[len(moving.between) // 2].path
    side = 1.0 if dot(inside.point_at(inside.length / 2) - a, across) > 0 else -1.0
    drawn = across * (side * min(at_start, at_end))
    rest = abs(at_start - at_end)
    if rest > 2 * length:
        raise ValueError(f"a cut {length:.0f} mm long cannot be spread by {rest:.0f} mm")
    turn = 2 * asin(rest / (2 * length))
    pivot, left = (b, -side) if at_start > at_end else (a, side)
    return lambda point: rotated(point, left * turn, pivot) + drawn


def _rejoined(stroke: Stroke, halves: dict[str, Stroke]) -> Stroke:
    """A stroke that was cut, in one again; any other stroke where it lies now."""
    if stroke.name in halves:
        return halves[stroke.name]
    first, second = (halves[name].path for name in halves_of(stroke.name))
    return replace(stroke, path=_bridged(first, second))


def _bridged(first: Path, second: Path) -> Path:
    if distance(first.end, second.start) <= NEAR:
        return first.joined(second)
    return first.joined(bridge(first, second)).joined(second)


def bridge(first: Path, second: Path) -> Path:
    """The curve from the end of one path to the start of another, running on from both."""
    reach = distance(first.end, second.start) / 3
    return Path.cubic(
        first.end,
        first.end + first.end_tangent * reach,
        second.start - second.start_tangent * reach,
        second.start,
    )


def _shifted(
    notch: tuple[str, float, int], sketch: Sketch, halves: dict[str, Stroke], cuts: Sequence[Place]
) -> tuple[str, float, int]:
    """A notch beyond a cut lies further along its edge by what was opened there."""
    edge, at, count = notch
    for cut_edge, cut_at in cuts:
        if edge == cut_edge and at > cut_at:
            first, second = (halves[name].path for name in halves_of(edge))
            bridged = _bridged(first, second).length - first.length - second.length
            return edge, at + bridged, count
    return notch
