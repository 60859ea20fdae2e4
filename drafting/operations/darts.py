"""Darts: cut a slit, close a dart and open another, move a dart to another edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import tan

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Path, Point, angle_between, distance, lerp, perpendicular, rotated
from drafting.making import Corner, Making, run
from drafting.operations.change import Change, Move, carried
from drafting.operations.ring import (
    Arc,
    Place,
    arcs,
    begun_as,
    dart_named,
    darts_in,
    legs_of,
    marks_in,
    moved,
    still_first,
)
from drafting.pattern import Dart, EdgeKind

_HALVES = {
    "shoulder": ("inner", "outer"),
    "neck": ("outer", "inner"),
    "waist": ("inner", "outer"),
    "hem": ("inner", "outer"),
}
_CLOSES = 0.01  # mm: legs that differ by less lie on one another once the dart is closed
_NO_ANGLE = 1e-9  # radians


def halves_of(edge: str) -> tuple[str, str]:
    """The names of an edge's two parts, in the edge's own direction: "shoulder inner", "shoulder outer"."""
    first, second = _HALVES.get(edge.split(maxsplit=1)[0], ("upper", "lower"))
    return f"{edge} {first}", f"{edge} {second}"


def slit(sketch: Sketch, place: Place, apex: Point, name: str) -> Change:
    """Cut from a place on an edge to a point inside: a dart that takes nothing up yet.

    Args:
        sketch: the piece.
        place: where on the outline the cut begins.
        apex: where the cut ends.
        name: of the dart; its legs are called after it and the halves of the edge.

    Raises: ValueError where the place is not inside the edge, KeyError where there is no such edge.
    """
    edge, at = place
    stroke, names = sketch.stroke(edge), halves_of(edge)
    parts = [
        replace(stroke, name=half, path=path)
        for half, path in zip(names, stroke.path.split_at(at), strict=True)
    ]
    mouth = parts[0].path.end
    legs = [Stroke(f"{name} {half.split()[-1]}", Path.line(mouth, apex), EdgeKind.DART) for half in names]
    ring = [parts[0], *legs, parts[1]]
    strokes = list(sketch.strokes)
    here = strokes.index(stroke)
    strokes[here : here + 1] = ring if _runs_on(strokes, here) else ring[::-1]
    notches = [_on_half(notch, edge, at, names) for notch in sketch.notches]
    darts = [*sketch.darts, Dart("", name, mouth, apex, mouth, (legs[0].name, legs[1].name))]
    turned = tuple(half for old in sketch.turned for half in (names if old == edge else (old,)))
    changed = replace(sketch, strokes=strokes, notches=notches, darts=darts, turned=turned)
    return Change(sketch.name, (changed,), {edge: run(sketch.name, *names)})


def _runs_on(strokes: Sequence[Stroke], here: int) -> bool:
    """Whether the ring meets a stroke in the stroke's own direction."""
    path, after = strokes[here].path, strokes[(here + 1) % len(strokes)].path
    return min(distance(path.end, end) for end in (after.start, after.end)) <= min(
        distance(path.start, end) for end in (after.start, after.end)
    )


def _on_half(
    notch: tuple[str, float, int], edge: str, at: float, names: tuple[str, str]
) -> tuple[str, float, int]:
    where, along, count = notch
    if where != edge:
        return notch
    return (names[0], along, count) if along <= at else (names[1], along - at, count)


def pivot(sketch: Sketch, closed: str, opened: str, about: Point | None = None) -> Change:
    """Close one dart and let what that takes up open another; the ring between them turns as it is.

    The part at the garment's centre stays. Marks, notches, inner darts and widths go with their part. The
    opened dart's point is set so that its legs are equal and the outline runs on across it as it did before:
    the centre of both turns together.

    Args:
        sketch: the piece.
        closed: the dart that closes, ``opened`` the one that takes it up.
        opened: see there; its point must be ``about`` where it is a mere slit.
        about: the point turned about, as far from both its legs' ends; the closed dart's own if not given.

    Raises: ValueError where the dart does not close about that point.

    Source: plane geometry of the pivot method (common practice of pattern cutting).
    """
    shut, wide = dart_named(sketch, closed), dart_named(sketch, opened)
    about = about or shut.apex
    still, moving = still_first(*arcs(sketch, wide, shut))
    angle = _closing(sketch, shut, moving, about)

    def move(point: Point) -> Point:
        return rotated(point, angle, about)

    regions = here, there = still.region(sketch.name), moving.region(sketch.name, move)
    dart = _opened(sketch, wide, moving, move, angle)
    strokes = [
        *(_leg_again(stroke, dart) for stroke, _ in still.strokes),
        *(_leg_again(moved(stroke, move), dart) for stroke, _ in moving.strokes),
    ]
    darts = [
        *darts_in(sketch, regions, here, still),
        *darts_in(sketch, regions, there, moving),
        dart,
    ]
    kept = [stroke for stroke in strokes if stroke.name not in legs_of(shut)]
    changed = replace(
        sketch,
        strokes=begun_as(sketch, kept),
        darts=[old for old in darts if old.name != closed],
        marks=[*marks_in(sketch, regions, here), *marks_in(sketch, regions, there)],
    )
    return Change(sketch.name, (changed,), widths=carried(regions), joint=_beside(sketch, shut))


def _closing(sketch: Sketch, shut: Dart, moving: Arc, about: Point) -> float:
    """The turn that lays the moving leg of a dart on its other leg, radians."""
    one, other = (sketch.path(leg).start for leg in legs_of(shut))
    start, end = (one, other) if legs_of(shut)[0] in moving.names else (other, one)
    if abs(distance(start, about) - distance(end, about)) > _CLOSES:
        raise ValueError(f"{shut.name} of the {sketch.name} does not close about that point")
    return angle_between(start - about, end - about)


def _opened(sketch: Sketch, wide: Dart, moving: Arc, move: Move, angle: float) -> Dart:
    """The dart that opens, its point the centre of its old opening and the new turn together."""
    first, second = legs_of(wide)
    start, end = (sketch.path(leg).start for leg in (first, second))
    old = angle_between(start - wide.apex, end - wide.apex)
    if first in moving.names:
        start, whole = move(start), old - angle
    else:
        end, whole = move(end), old + angle
    apex = wide.apex
    if abs(whole) > _NO_ANGLE:
        apex = lerp(start, end, 0.5) + perpendicular(end - start) * (0.5 / tan(whole / 2))
    return Dart("", wide.name, start, apex, end, wide.leg_edges)


def _leg_again(stroke: Stroke, dart: Dart) -> Stroke:
    """A leg of the dart drawn to its point anew; any other stroke as it is."""
    first, second = legs_of(dart)
    if stroke.name == first:
        return replace(stroke, path=Path.line(dart.start, dart.apex))
    if stroke.name == second:
        return replace(stroke, path=Path.line(dart.end, dart.apex))
    return stroke


def _beside(sketch: Sketch, dart: Dart) -> tuple[str, str]:
    """The two edges that a dart parts."""
    names = [stroke.name for stroke in sketch.strokes]
    legs = [names.index(leg) for leg in legs_of(dart)]
    low, high = min(legs), max(legs)
    if high - low > 1:  # the list begins between the legs
        low, high = high, low
    return names[low - 1], names[(high + 1) % len(names)]


def move_darts(
    making: Making, piece: str, names: Sequence[str], *, to: Place, name: str, about: Point
) -> None:
    """Close darts of a piece and open one of that name at another place instead.

    All of them turn about one point. The line that each has parted is said to run on smoothly.
    """
    slit(making.sketches[piece], to, about, name).apply(making)
    merge_darts(making, piece, names, name, about)


def merge_darts(making: Making, piece: str, names: Sequence[str], into: str, about: Point) -> None:
    """Close darts of a piece into another of its darts; all of them turn about one point."""
    for closed in names:
        change = pivot(making.sketches[piece], closed, into, about)
        change.apply(making)
        if change.joint is not None:
            making.smooth(f"{piece} where the {closed} was", Corner(piece, *change.joint))
