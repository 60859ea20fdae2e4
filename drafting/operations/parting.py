"""A piece parted at a style line: two pieces, each with all that lies on it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import shapely

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import NEAR, Path, Point, distance
from drafting.geometry.rings import as_polygon
from drafting.making import run
from drafting.operations.change import Change, carried
from drafting.operations.ring import arcs, dart_named, darts_in, marks_in
from drafting.pattern import Cut, EdgeKind

_GRAIN_SHARE = 0.7  # of the height of a piece at its middle


def parted(
    sketch: Sketch, darts: tuple[str, str], names: tuple[str, str], *, holds: str, edge: str, allowance: float
) -> Change:
    """Part a piece from one dart to another, through their points; both darts become part of the seam.

    Args:
        sketch: the piece.
        darts: the one at which the new edges start, and the one at which they end.
        names: of both parts, the first that of the part on which the edge ``holds`` lies.
        holds: see there.
        edge: the name of the new edge of both; a mere bend until it is redrawn.
        allowance: of that edge, mm.

    A part at the garment's centre is cut as the piece was, another as a left and a right.
    """
    one, other = dart_named(sketch, darts[0]), dart_named(sketch, darts[1])
    forth, back = arcs(sketch, one, other)
    parts = tuple(zip((forth, back), names if holds in forth.names else names[::-1], strict=True))
    regions = tuple(arc.region(name) for arc, name in parts)
    made = {}
    for region, (arc, name) in zip(regions, parts, strict=True):
        # The second arc runs from the second dart to the first: its edge is walked the other way round.
        ends = arc.mouths if arc is forth else arc.mouths[::-1]
        apexes = (one.apex, other.apex)
        seam = Stroke(edge, _bent(ends[0], *apexes, ends[1]), EdgeKind.SEAM, allowance)
        made[name] = replace(
            sketch,
            name=name,
            strokes=[*arc.between, seam],
            cuts=sketch.cuts if arc.at_centre else tuple(map(_both_sides, sketch.cuts)),
            grain=_grain(sketch, region.ring),
            darts=[dart for dart in darts_in(sketch, regions, region, arc) if dart.name not in darts],
            marks=marks_in(sketch, regions, region),
            notches=[notch for notch in sketch.notches if notch[0] in arc.names],
            turned=tuple(name for name in sketch.turned if name in arc.names),
        )
    edges = {stroke.name: run(name, stroke.name) for arc, name in parts for stroke in arc.between}
    return Change(sketch.name, tuple(made[name] for name in names), edges, carried(regions))


def relabelled(sketch: Sketch, names: Mapping[str, str]) -> Change:
    """Call edges by other names. Raises: KeyError where there is no such edge."""
    for old in names:
        sketch.stroke(old)

    def now(name: str) -> str:
        return names.get(name, name)

    changed = replace(
        sketch,
        strokes=[replace(stroke, name=now(stroke.name)) for stroke in sketch.strokes],
        notches=[(now(edge), at, count) for edge, at, count in sketch.notches],
        turned=tuple(map(now, sketch.turned)),
    )
    return Change(sketch.name, (changed,), {old: run(sketch.name, new) for old, new in names.items()})


def _bent(*points: Point) -> Path:
    kept = [points[0]]
    for point in points[1:]:
        if distance(kept[-1], point) > NEAR:
            kept.append(point)
    return Path.polyline(kept)


def _both_sides(cut: Cut) -> Cut:
    return Cut(cut.cloth, 2, mirrored=True) if cut.on_fold else cut


def _grain(sketch: Sketch, ring: Sequence[Point]) -> tuple[Point, Point]:
    """The grain where it lies inside; else upright, through the middle of the piece."""
    polygon = shapely.make_valid(as_polygon(ring))
    if polygon.contains(shapely.LineString(sketch.grain)):
        return sketch.grain
    _, low, _, high = polygon.bounds
    x = polygon.representative_point().x
    upright = polygon.intersection(shapely.LineString([(x, low), (x, high)]))
    longest = max(shapely.get_parts(upright), key=lambda part: part.length)
    _, foot, _, top = longest.bounds
    margin = (1 - _GRAIN_SHARE) / 2 * (top - foot)
    return Point(x, foot + margin), Point(x, top - margin)


def seam_corners(sketch: Sketch, edge: str) -> tuple[str, str]:
    """The edges that a seam's edge starts and ends at."""
    strokes = sketch.strokes
    at = strokes.index(sketch.stroke(edge))
    before, after = strokes[at - 1], strokes[(at + 1) % len(strokes)]
    start = strokes[at].path.start
    meets = min(distance(start, end) for end in (before.path.start, before.path.end)) <= 1e-5
    return (before.name, after.name) if meets else (after.name, before.name)
