"""Facings: what lies inside an edge and finishes it."""

from __future__ import annotations

from drafting.geometry import Path, Point, curve_through, distance, perpendicular


def faced_curve(edge: Path, start: Point, end: Point, arrival: Point, samples: int = 5) -> Path:
    """A curve beside ``edge`` from ``start`` to ``end``, its distance going over from that of the ends.

    The facing lies right of the edge as it is travelled. The curve leaves in the edge's own direction and
    arrives in the direction ``arrival``.
    """
    first, last = distance(edge.start, start), distance(edge.end, end)
    points = [start]
    for i in range(1, samples):
        share = i / samples
        s = share * edge.length
        width = first + (last - first) * share
        points.append(edge.point_at(s) + perpendicular(edge.tangent_at(s)) * -width)
    points.append(end)
    return curve_through(points, edge.start_tangent, arrival)


def front_inner_edge(start: Point, start_along: Point, end: Point, end_along: Point) -> Path:
    """The free edge of a front facing, from the shoulder down to the waist, square to both."""
    reach = distance(start, end)
    return Path.cubic(start, start + start_along * (0.3 * reach), end - end_along * (0.4 * reach), end)
