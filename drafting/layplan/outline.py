"""Outlines as the lay needs them: checked, turned to the grain, moved to the origin, simplified outwards.

An outline is a ring of points, counter-clockwise, the first not repeated. Every packer downstream relies on
what ``sound_outline`` has checked: packing libraries stop the process on a self-crossing or empty ring.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import cos, hypot, isfinite, radians, sin

import shapely
from shapely.geometry import Polygon

from drafting.errors import BadCloth

Outline = tuple[tuple[float, float], ...]

#: Longest side of a piece that is taken for real, mm.
GREATEST_PIECE = 100_000.0

#: A piece thinner than this share of its longest side encloses nothing worth cutting.
LEAST_BREADTH = 1e-6

#: A packer slows down with the points of an outline; a piece needs no more than these.
GREATEST_POINTS = 120

#: First tolerance at which a crowded outline is simplified, mm.
SIMPLIFY_TOLERANCE = 0.1


def sound_outline(points: Iterable[Iterable[float]], name: str) -> Outline:
    """Check an outline and return it counter-clockwise, without repeated points.

    Raises:
        BadCloth: fewer than three corners, a coordinate that is not finite or beyond 100 m, no area, or an
            outline that crosses or touches itself; the message names the piece.
    """
    ring = _distinct([_point(point, name) for point in points])
    if len(ring) < 3:
        raise BadCloth(f"{name}: an outline needs at least three corners, this has {len(ring)}.", field=name)
    polygon = Polygon(ring)
    if not polygon.is_valid:
        reason = shapely.is_valid_reason(polygon).split("[")[0].lower()
        raise BadCloth(f"{name}: the outline crosses or touches itself ({reason}); draw it anew.", field=name)
    min_x, min_y, max_x, max_y = polygon.bounds
    longest = max(max_x - min_x, max_y - min_y)
    if longest > GREATEST_PIECE:
        raise BadCloth(f"{name}: is {longest / 1000:.0f} m long; check the unit.", field=name)
    if polygon.area <= LEAST_BREADTH * longest * longest:
        raise BadCloth(f"{name}: the outline encloses no area.", field=name)
    return tuple(ring if polygon.exterior.is_ccw else ring[::-1])


def turned(outline: Outline, degrees: float) -> Outline:
    """The outline turned counter-clockwise about the origin; quarter turns are exact."""
    cosine, sine = _turn(degrees)
    return tuple((x * cosine - y * sine, x * sine + y * cosine) for x, y in outline)


def flipped(outline: Outline) -> Outline:
    """The outline face down: mirrored over the x axis, the grain; still counter-clockwise."""
    return tuple((x, -y) for x, y in reversed(outline))


def moved(outline: Outline, dx: float, dy: float) -> Outline:
    return tuple((x + dx, y + dy) for x, y in outline)


def at_origin(outline: Outline) -> Outline:
    """The outline with its least x and its least y at 0."""
    return moved(outline, -min(x for x, _ in outline), -min(y for _, y in outline))


def extent(outline: Outline) -> tuple[float, float]:
    """Length along x and width along y, mm."""
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return max(xs) - min(xs), max(ys) - min(ys)


def simplified(outline: Outline, greatest_points: int = GREATEST_POINTS) -> Outline:
    """An outline of fewer points that holds the true one inside and has the same extent.

    Grown by t and simplified by t, the true outline stays inside; t doubles until the points are few enough.
    What stands out beyond the true extent is cut off, so that a piece as wide as the cloth still fits.
    """
    if len(outline) <= greatest_points:
        return outline
    true = Polygon(outline)
    box = shapely.box(*true.bounds)
    tolerance = min(SIMPLIFY_TOLERANCE, 1e-4 * max(extent(outline)))
    for _ in range(20):
        grown = true.buffer(tolerance, quad_segs=2).simplify(tolerance)
        clipped = _part_around(grown.intersection(box), true)
        ring = _distinct([(x, y) for x, y in clipped.exterior.coords])
        if len(ring) <= greatest_points and clipped.covers(true.buffer(-1e-9)):
            return tuple(ring if clipped.exterior.is_ccw else ring[::-1])
        tolerance *= 2
    return outline


def _part_around(shape: shapely.Geometry, true: Polygon) -> Polygon:
    """Of what the clipping left, the part that holds the piece, without holes."""
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, Polygon)]
    largest = max(parts, key=lambda part: part.intersection(true).area)
    return Polygon(largest.exterior)


def _distinct(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Points without those that repeat their neighbour, around the ring."""
    size = max((max(abs(x), abs(y)) for x, y in points), default=0.0)
    near = max(1e-9, size * 1e-12)
    ring: list[tuple[float, float]] = []
    for point in points:
        if not ring or hypot(point[0] - ring[-1][0], point[1] - ring[-1][1]) > near:
            ring.append(point)
    while len(ring) > 1 and hypot(ring[0][0] - ring[-1][0], ring[0][1] - ring[-1][1]) <= near:
        ring.pop()
    return ring


def _point(point: Iterable[float], name: str) -> tuple[float, float]:
    try:
        x, y = point
        pair = (float(x), float(y))
    except (TypeError, ValueError, OverflowError):
        raise BadCloth(f"{name}: a corner must be two numbers, x and y.", field=name) from None
    typed = isinstance(x, bool | str) or isinstance(y, bool | str)
    if typed or not (isfinite(pair[0]) and isfinite(pair[1])):
        raise BadCloth(f"{name}: a corner must be two finite numbers, x and y.", field=name)
    return pair


def _turn(degrees: float) -> tuple[float, float]:
    exact = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    angle = degrees % 360
    return exact.get(angle, (cos(radians(angle)), sin(radians(angle))))
