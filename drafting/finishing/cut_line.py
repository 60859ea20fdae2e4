"""The cut line of a piece: the stitch line offset by each edge's allowance, corners by their rule."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import compress, pairwise

import numpy as np
import shapely

from drafting.finishing.corners import Joined, joined, turn_between
from drafting.finishing.dart_mouth import Mouth, pressed_to_start, roof
from drafting.finishing.polyline import Polyline, offsets
from drafting.geometry import NEAR, Point, distance
from drafting.geometry.rings import as_array, as_polygon, as_ring
from drafting.pattern import Edge, EdgeKind, Piece

_SAME = 1e-4  # points of a cut line closer than this, mm, are one
_FARTHEST = 1e7  # mm: a point further off is none of a pattern


def cut_line(piece: Piece) -> tuple[Point, ...]:
    """Return the cut line as a counter-clockwise ring, the first point not repeated.

    Where allowances run into one another (a deep notch, a tight bend) the outer line is kept. An outline
    that is itself no ring of positive area gives whatever is left of it: the truing checks say so.
    """
    edges = piece.edges
    lines = offsets([(edge.path, edge.allowance) for edge in edges])
    between: list[Polyline] = [[] for _ in edges]
    mouths = dict(_mouths(edges))
    for i in range(len(edges)):
        if i not in mouths and not _in_mouth(i, mouths, len(edges)):
            j = (i + 1) % len(edges)
            corner = joined(turn_between(edges[i], edges[j]), lines[i], lines[j])
            _put(lines, between, i, j, corner)
    # A roof repeats the cut lines beside it: they are made first, and the next dart's where it reaches that.
    takes = [_take(piece, first_leg, mouth) for first_leg, mouth in mouths.items()]
    for take in sorted(takes, key=lambda take: take.over):
        _cover(piece, take, lines, between)
    ring = [point for line, bridge in zip(lines, between, strict=True) for point in (*line, *bridge)]
    return _ring(ring, piece)


def _put(lines: list[Polyline], between: list[Polyline], i: int, j: int, corner: Joined) -> None:
    lines[i], between[i], lines[j] = corner.before, corner.between, corner.after


def _mouths(edges: tuple[Edge, ...]) -> Iterator[tuple[int, Mouth]]:
    """Darts open at the outline: the index of the first leg, and the mouth."""
    for i, first in enumerate(edges):
        second = edges[(i + 1) % len(edges)]
        if first.kind is EdgeKind.DART and second.kind is EdgeKind.DART:
            apart = distance(first.path.start, second.path.end)
            if apart > NEAR and turn_between(first, second).angle < 0:
                yield i, Mouth(first.path.start, first.path.end, second.path.end)


def _in_mouth(corner: int, mouths: dict[int, Mouth], count: int) -> bool:
    """Whether the corner after this edge begins or ends a dart that is covered as a whole."""
    return (corner + 1) % count in mouths or (corner - 1) % count in mouths


@dataclass(frozen=True, slots=True)
class _Take:
    """A dart to be covered: the edges to either side on which its take-up lies, and where it is pressed.

    ``over``: there is less of them than it needs, so that it reaches over the next dart's leg.
    """

    first_leg: int
    mouth: Mouth
    before: list[int]
    after: list[int]
    to_start: bool
    over: bool


def _take(piece: Piece, first_leg: int, mouth: Mouth) -> _Take:
    count = len(piece.edges)
    at_start, at_end = (first_leg - 1) % count, (first_leg + 2) % count
    needed = _room_beside(mouth, max(piece.edges[at_start].allowance, piece.edges[at_end].allowance))
    before = _reached(piece, at_start, step=-1, needed=needed)
    after = _reached(piece, at_end, step=1, needed=needed)
    room_before, room_after = (sum(piece.edges[at].length for at in side) for side in (before, after))
    to_start = pressed_to_start(mouth, _centre(piece))
    if min(room_before, room_after) < needed:
        # Another dart is closer than this one is wide: it is pressed away from that.
        to_start = room_before >= room_after
    over = (room_before if to_start else room_after) < needed
    before, after = _round_the_corner(piece, before, step=-1), _round_the_corner(piece, after, step=1)
    return _Take(first_leg, mouth, before, after, to_start, over)


def _cover(piece: Piece, take: _Take, lines: list[Polyline], between: list[Polyline]) -> None:
    count, first_leg, mouth = len(piece.edges), take.first_leg, take.mouth
    before, second_leg, after = take.before[0], (first_leg + 1) % count, take.after[0]
    _gather(take.before, lines, between, step=-1)
    _gather(take.after, lines, between, step=1)
    beyond = _beyond(piece, take, lines, between)
    made = roof(mouth, lines[before], lines[after], to_start=take.to_start, beyond=beyond)
    if made is None:
        lines[first_leg], lines[second_leg] = [mouth.start], [mouth.end]
        return
    lines[before], lines[after] = made.before, made.after
    lines[first_leg], lines[second_leg], between[first_leg] = [], [], made.between


def _beyond(piece: Piece, take: _Take, lines: list[Polyline], between: list[Polyline]) -> Polyline:
    """What the cut line runs on with, away from the dart: the next dart's roof, or a corner and its edge."""
    count = len(lines)
    if take.to_start:
        further = (take.before[-1] - 1) % count
        if piece.edges[further].kind is EdgeKind.DART:
            return between[(further - 1) % count][::-1]
        return [*lines[further], *between[further]][::-1]
    last = take.after[-1]
    further = (last + 1) % count
    return (
        between[further] if piece.edges[further].kind is EdgeKind.DART else [*between[last], *lines[further]]
    )


def _room_beside(mouth: Mouth, allowance: float) -> float:
    """Length of stitch line beside a dart on which its take-up lies without reaching a dart like it, mm.

    At the cut line the take-up is wider than at the mouth, and what lies between two darts is narrower.
    """
    wide, leg = distance(mouth.start, mouth.end), distance(mouth.start, mouth.apex)
    return wide * max(1.0, 0.5 + 1.5 * allowance / leg)


def _reached(piece: Piece, beside: int, *, step: int, needed: float) -> list[int]:
    """The edges from a dart's neighbour on that are ``needed`` mm long; fewer where another dart comes."""
    count, found = len(piece.edges), [beside]
    length = piece.edges[beside].length
    while length < needed:
        further = (found[-1] + step) % count
        if piece.edges[further].kind is EdgeKind.DART or further == beside:
            break
        found.append(further)
        length += piece.edges[further].length
    return found


def _round_the_corner(piece: Piece, side: list[int], *, step: int) -> list[int]:
    """The edges and the next one: at a sharp corner it is that one's cut line which ends at the dart.

    An edge beside another dart is left to that.
    """
    count = len(piece.edges)
    further, behind = ((side[-1] + by * step) % count for by in (1, 2))
    beside_dart = EdgeKind.DART in (piece.edges[further].kind, piece.edges[behind].kind)
    return side if beside_dart or further in side else [*side, further]


def _gather(side: list[int], lines: list[Polyline], between: list[Polyline], *, step: int) -> None:
    """Draw the cut lines of a side's edges into that of its first, the dart's neighbour."""
    beside = side[0]
    for at, further in pairwise(side):
        if step < 0:
            lines[beside] = [*lines[further], *between[further], *lines[beside]]
            between[further] = []
        else:
            lines[beside] = [*lines[beside], *between[at], *lines[further]]
            between[at] = []
        lines[further] = []


def _centre(piece: Piece) -> Point:
    """A point on the garment's centre: middle of the fold, the edge so named, the opening or the grain."""
    edges = sorted(piece.edges, key=_centredness)
    path = edges[0].path
    if _centredness(edges[0]) < 3:
        return (path.start + path.end) * 0.5
    return (piece.grain[0] + piece.grain[1]) * 0.5


def _centredness(edge: Edge) -> int:
    if edge.kind is EdgeKind.FOLD:
        return 0
    if "centre" in edge.name:
        return 1
    return 2 if edge.kind is EdgeKind.OPENING else 3


def _ring(points: Polyline, piece: Piece) -> tuple[Point, ...]:
    rows = as_array(points)
    step = np.concatenate((rows[1:], rows[:1])) - rows
    apart = np.hypot(step[:, 0], step[:, 1]) > _SAME
    kept, rows = list(compress(points, apart.tolist())), rows[apart]
    if len(kept) < 3 or not (np.abs(rows) < _FARTHEST).all():
        return tuple(kept)
    ring = as_ring(rows)
    if ring.is_simple and ring.is_ccw:
        return tuple(kept)
    return _outer(kept, piece)


def _outer(crossing: Polyline, piece: Piece) -> tuple[Point, ...]:
    """The outer line of a ring that crosses itself: the faces that it runs around to the left, united."""
    ring = as_ring(crossing)
    faces = shapely.get_parts(shapely.polygonize([shapely.node(ring)]))
    inside = [face for face in faces if _winding(crossing, face.representative_point()) > 0]
    outline = shapely.make_valid(as_polygon(piece.outline()))
    whole = shapely.union_all([*inside, outline])
    parts = [part for part in shapely.get_parts(whole) if part.geom_type == "Polygon"]
    if not parts:
        return tuple(crossing)
    largest = max(parts, key=lambda part: part.area)
    shell = shapely.orient_polygons(largest).exterior
    return tuple(Point(x, y) for x, y in list(shell.coords)[:-1])


def _winding(ring: Polyline, at: shapely.Point) -> int:
    """How often a ring runs around a point, counter-clockwise."""
    x, y = at.x, at.y
    winding = 0
    for a, b in pairwise([*ring, ring[0]]):
        left = (b.x - a.x) * (y - a.y) - (x - a.x) * (b.y - a.y)
        if a.y <= y < b.y and left > 0:
            winding += 1
        elif b.y <= y < a.y and left < 0:
            winding -= 1
    return winding
