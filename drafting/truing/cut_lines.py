"""Check 9: the cut line is the stitch line offset by each edge's allowance, corners by their rule.

Nothing of the way in which finishing draws a cut line is used here, only what it must be.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf, nan, pi, sin, tan
from typing import Final

import numpy as np
import numpy.typing as npt
import shapely

from drafting.geometry import (
    NEAR,
    Line,
    Point,
    Segment,
    angle_between,
    dot,
    lerp,
    line_meeting,
    mirrored,
    perpendicular,
    rotated,
)
from drafting.geometry.rings import Rows, as_array, as_points, as_polygon, as_ring
from drafting.pattern import Check, Corner, Draft, Edge, EdgeKind, Piece

OFFSET_LIMIT: Final = 0.2  # mm
CORNER_LIMIT: Final = 0.3  # mm; a curved edge is offset from its chords, a corner from its tangents
INSIDE_LIMIT: Final = 0.01  # mm that a stitch line may stand out of its cut line, by flattening
_SHARES: Final = (np.arange(9) + 0.5) / 9
# Bernstein's weights of a cubic's points, and of their differences in its derivative, at each share.
_AT: Final = np.array([[(1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3] for t in _SHARES])
_ALONG: Final = 3 * np.array([[(1 - t) ** 2, 2 * (1 - t) * t, t**2] for t in _SHARES])
_MITRE_REACH: Final = 3.0  # allowances: a mitre further off may be cut off
_STRAIGHT: Final = 0.05  # radians
_RAY_REACH: Final = 3.0  # of a dart's leg: how far from its apex the cut line is looked for


def cut_line_checks(draft: Draft) -> list[Check]:
    """Return the rows of each piece: ring, offset, corners, and the roofs of its open darts."""
    return [row for piece in draft.pieces for row in _of_piece(piece)]


def _of_piece(piece: Piece) -> list[Check]:
    cut = as_array(piece.cut_line)
    faults = _ring_faults(piece, cut)
    rows = [
        Check(
            f"cut line is simple and holds the stitch line: {piece.name}", len(faults), 0, "; ".join(faults)
        )
    ]
    if len(cut) < 3 or not np.isfinite(cut).all():
        return rows
    ring = as_ring(cut)
    shapely.prepare(ring)
    rows.append(
        Check(f"cut line follows the allowances: {piece.name}", _offset_error(piece, ring), OFFSET_LIMIT)
    )
    rows.append(Check(f"cut line corners: {piece.name}", _corner_error(piece, ring), CORNER_LIMIT))
    if any(edge.kind is EdgeKind.DART for edge in piece.edges):
        folded = _roof_error(piece, ring, cut)
        rows.append(Check(f"cut line of folded darts: {piece.name}", folded, OFFSET_LIMIT))
    return rows


def _ring_faults(piece: Piece, rows: Rows) -> list[str]:
    if len(rows) < 3:
        return ["there is no cut line"]
    cut = as_polygon(rows)
    if not cut.is_valid or not cut.exterior.is_ccw:
        return ["the cut line crosses itself or runs backward"]
    stitch = as_ring(piece.ring)
    if not cut.covers(stitch) and not cut.buffer(INSIDE_LIMIT).covers(stitch):
        return ["the stitch line leaves the cut line"]
    return []


def _distance(ring: shapely.LinearRing, points: Sequence[Point]) -> float:
    """The greatest distance of points from the ring, mm."""
    return _farthest(ring, as_array(points)) if points else 0.0


def _farthest(ring: shapely.LinearRing, points: Rows) -> float:
    """The greatest distance of points from the ring, mm."""
    return float(shapely.distance(ring, shapely.points(points)).max()) if len(points) else 0.0


def _offset_error(piece: Piece, ring: shapely.LinearRing) -> float:
    """How far points at the allowance beside the stitch line are from the cut line, mm, away from corners."""
    edges = piece.edges
    found: list[_Sample] = []
    for i, edge in enumerate(edges):
        if edge.kind is not EdgeKind.DART:
            following = edges[(i + 1) % len(edges)]
            clear = _corner_zone(edges[i - 1], edge), _corner_zone(edge, following)
            found.extend(_samples(edge, *clear))
    beside = _beside(found)
    for edge in edges:
        if edge.kind is EdgeKind.FOLD:
            beside = _on_this_side(edge, beside)
    return _farthest(ring, beside)


def _on_this_side(fold: Edge, points: Rows) -> Rows:
    """Those that lie not over the fold of the cloth: there the other half's cut line takes their place."""
    inward = perpendicular(fold.path.start_tangent)
    kept: Rows = points[(points - np.array(fold.path.start)) @ np.array(inward) >= -NEAR]
    return kept


def _corner_zone(before: Edge, after: Edge) -> float:
    """The length along an edge that a corner may shape, mm."""
    widest = max(before.allowance, after.allowance)
    turn = abs(_turn(before, after))
    if EdgeKind.DART in (before.kind, after.kind):
        return 2 * widest
    return widest * (1.0 + min(8.0, 2.0 * tan(min(turn, 0.9 * pi) / 2))) + 1.0


def _turn(before: Edge, after: Edge) -> float:
    return angle_between(before.path.end_tangent, after.path.start_tangent)


_Corners = tuple[tuple[Point, float], ...]  # each with the distance within which it shapes the cut line


@dataclass(frozen=True, slots=True)
class _Sample:
    """A segment at which the offset is looked at, and the corners that shape the cut line near it."""

    segment: Segment
    allowance: float
    shaped: _Corners


def _samples(edge: Edge, clear_start: float, clear_end: float) -> Iterator[_Sample]:
    """An edge's segments; the cut line near its ends and its inner corners is left to these."""
    shaped = ((edge.path.start, clear_start), (edge.path.end, clear_end), *_inner_corners(edge))
    for segment in edge.path.segments:
        yield _Sample(segment, edge.allowance, shaped)


def _beside(samples: Sequence[_Sample]) -> Rows:
    """Points at the allowance beside segments, evenly by each one's own parameter, clear of corners.

    All at once, in arrays: it is the greatest part of all checks.
    """
    handles = as_array([point for sample in samples for point in _handles(sample.segment)]).reshape(-1, 4, 2)
    points, along = _AT @ handles, _ALONG @ (handles[:, 1:] - handles[:, :-1])
    speed = np.hypot(along[..., 0], along[..., 1])
    clear = (speed > NEAR) & _clear_of_corners(points, [sample.shaped for sample in samples])
    allowances = np.array([sample.allowance for sample in samples])[:, None]
    right = np.stack((along[..., 1], -along[..., 0]), axis=-1)
    outward = right * (allowances / np.where(clear, speed, 1.0))[..., None]
    beside: Rows = (points + outward)[clear]
    return beside


def _clear_of_corners(points: Rows, shaped: Sequence[_Corners]) -> npt.NDArray[np.bool_]:
    """Which points, one row a segment, lie clear of all that shapes the cut line near that segment."""
    most = max(map(len, shaped), default=0)
    # The last corner stands again where a segment has fewer.
    filled = [corners[min(k, len(corners) - 1)] for corners in shaped for k in range(most)]
    at = as_array([point for point, _ in filled]).reshape(len(shaped), most, 1, 2)
    reach = np.array([reach for _, reach in filled]).reshape(len(shaped), most, 1)
    apart = points[:, None] - at
    return np.asarray((np.hypot(apart[..., 0], apart[..., 1]) >= reach).all(axis=1))


def _handles(segment: Segment) -> tuple[Point, Point, Point, Point]:
    """A segment as a cubic's four points; a line's handles lie at its thirds."""
    if isinstance(segment, Line):
        a, b = segment.start, segment.end
        return a, lerp(a, b, 1 / 3), lerp(a, b, 2 / 3), b
    return segment.p0, segment.p1, segment.p2, segment.p3


def _inner_corners(edge: Edge) -> Iterator[tuple[Point, float]]:
    """Corners between two segments of an edge, with the distance within which each shapes the cut line."""
    segments = [segment for segment in edge.path.segments if segment.length > 1e-6]
    for before, after in pairwise(segments):
        turn = abs(angle_between(before.tangent_at(before.length), after.tangent_at(0.0)))
        if turn > _STRAIGHT:
            yield before.end, edge.allowance * (1 + 2 * tan(min(turn, 2.8) / 2)) + 1.0


def _corner_error(piece: Piece, ring: shapely.LinearRing) -> float:
    """How far the corners that their rule demands are from the cut line, mm."""
    edges = piece.edges
    wanted: list[Point] = []
    for i, edge in enumerate(edges):
        after = edges[(i + 1) % len(edges)]
        if EdgeKind.DART not in (edge.kind, after.kind) and _roomy(edge, after):
            wanted.extend(_demanded(edge, after))
    return _distance(ring, wanted)


def _roomy(before: Edge, after: Edge) -> bool:
    """Whether the corner is plain enough to demand points of it: convex, not sharp, straight near it."""
    turn = _turn(before, after)
    if not 0.35 < turn < 2.2 or max(before.allowance, after.allowance) == 0:
        return False
    room = 2.5 * max(before.allowance, after.allowance)
    return all(_straight_near(edge, room, at_end) for edge, at_end in ((before, True), (after, False)))


def _straight_near(edge: Edge, room: float, at_end: bool) -> bool:
    """Whether an edge is straight for ``room`` mm from one of its ends."""
    segment = edge.path.segments[-1 if at_end else 0]
    if segment.length < room:
        return False
    if isinstance(segment, Line):
        return True
    towards = edge.path.end_tangent if at_end else edge.path.start_tangent
    share = room / segment.length
    return all(
        abs(angle_between(towards, segment.derivative(1 - t if at_end else t))) < 0.002
        for t in (share / 3, share * 2 / 3, share)
    )


def _demanded(before: Edge, after: Edge) -> list[Point]:
    corner = before.path.end
    arriving, leaving = before.path.end_tangent, after.path.start_tangent
    hem_after, hem_before = after.kind is EdgeKind.HEM, before.kind is EdgeKind.HEM
    if before.end_corner is Corner.TURNED and hem_after != hem_before:
        if hem_after:
            return _turned(corner, arriving * -1.0, before.allowance, leaving, after.allowance)
        return _turned(corner, leaving, after.allowance, arriving * -1.0, before.allowance)
    if before.end_corner is Corner.SQUARED:
        beyond = after.allowance / sin(_turn(before, after))
        out = perpendicular(arriving) * -1.0
        crossing = corner + arriving * beyond
        return [crossing, crossing + out * (before.allowance / 2), crossing + out * before.allowance]
    meeting = _offsets_meet(corner, arriving, before.allowance, leaving, after.allowance)
    widest = max(before.allowance, after.allowance)
    return (
        [meeting]
        if shapely.distance(shapely.Point(meeting), shapely.Point(corner)) < _MITRE_REACH * widest
        else []
    )


def _offsets_meet(corner: Point, arriving: Point, first: float, leaving: Point, second: float) -> Point:
    one = corner + perpendicular(arriving) * -first
    other = corner + perpendicular(leaving) * -second
    return line_meeting(one, arriving, other, leaving)


def _turned(corner: Point, side: Point, side_allowance: float, hem: Point, depth: float) -> list[Point]:
    """Where the turned hem's corner lies: folded up, it must come to lie on the side's cut line.

    ``side`` and ``hem`` lead away from the corner along the two edges.
    """
    outward_side = perpendicular(side) if dot(perpendicular(side), hem) < 0 else perpendicular(side) * -1.0
    down = perpendicular(hem) if dot(perpendicular(hem), side) < 0 else perpendicular(hem) * -1.0
    side_line = corner + outward_side * side_allowance
    at_fold = line_meeting(side_line, side, corner, hem)
    folded = line_meeting(side_line, side, corner - down * depth, hem)
    turned = mirrored(folded, corner, corner + hem)
    # Both ends may lie on a cut line that is wrong between them.
    return [at_fold, lerp(at_fold, turned, 0.5), turned]


def _roof_error(piece: Piece, ring: shapely.LinearRing, cut: Rows) -> float:
    """How far the cut line of each closed dart is from itself once the take-up is folded to a side, mm.

    The take-up is folded on the middle of the dart and lies on one side: that side's cut line, carried onto
    the take-up, must be the cut line there. The better of the two sides counts.
    """
    worst = 0.0
    edges = piece.edges
    for i, first in enumerate(edges):
        second = edges[(i + 1) % len(edges)]
        if first.kind is EdgeKind.DART and second.kind is EdgeKind.DART and _turn(first, second) < 0:
            dart = first.path.start, first.path.end, second.path.end
            worst = max(worst, min(_one_roof_error(ring, cut, dart, leg) for leg in (0, 2)))
    return worst


def _one_roof_error(ring: shapely.LinearRing, cut: Rows, dart: tuple[Point, Point, Point], leg: int) -> float:
    """The same of one dart, by its mouth, apex and mouth, where it is pressed to the side of one leg."""
    start, apex, end = dart
    opening = abs(angle_between(start - apex, end - apex))
    turn = -1.0 if leg == 0 else 1.0
    # Points of the side's cut line that the folded take-up will cover, seen from the apex.
    rays = [rotated(dart[leg], turn * opening * share / 2, apex) for share in (0.1, 0.3, 0.5, 0.7, 0.9)]
    on_side = _hits(cut, apex, rays)
    if len(on_side) < len(rays):
        return inf
    under = [mirrored(point, apex, dart[leg]) for point in on_side]
    upper = [rotated(point, -turn * opening, apex) for point in on_side]
    return _distance(ring, [*under, *upper])


def _hits(cut: Rows, apex: Point, towards: Sequence[Point]) -> list[Point]:
    """Where rays from the apex first meet the cut line; a ray that does not within its reach is left out.

    All rays with all chords at once, by Cramer's rule.
    """
    along = np.concatenate((cut[1:], cut[:1])) - cut
    away = cut - np.array(apex)
    rays = (as_array(towards) - np.array(apex))[:, None]
    turn = _cross(rays, along)
    turn[turn == 0.0] = nan  # a chord along a ray is met at its neighbours' ends
    on_ray, on_chord = _cross(away, along) / turn, _cross(away, rays) / turn
    met = (on_ray >= 0) & (on_ray <= _RAY_REACH) & (on_chord >= 0) & (on_chord <= 1)
    nearest = np.where(met, on_ray, inf).min(axis=1)
    hit = np.isfinite(nearest)
    return as_points(np.array(apex) + rays[hit, 0] * nearest[hit, None])


def _cross(one: Rows, other: Rows) -> Rows:
    crossed: Rows = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
    return crossed
