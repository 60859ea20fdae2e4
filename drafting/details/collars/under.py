"""An under-collar: its collar again, smaller round the outer edge by what the turn of the cloth takes.

Sewn to the larger collar it draws the seam under, and the collar's corners lie down.
Source of the method: common practice, no source.
"""

from __future__ import annotations

from math import ceil

from drafting.details.collars.leaf import Ends, Leaf
from drafting.geometry import (
    Path,
    Point,
    angle_between,
    cross,
    curve_through,
    norm,
    perpendicular,
    rotated,
)

_SPACING = 8.0  # mm between the points of an edge that is drawn anew, at most
_MOST = 0.12  # of a collar's width at the centre back: no turn of cloth takes more


def under_leaf(leaf: Leaf, less: float, ends: Ends) -> Leaf:
    """The under-collar of a collar.

    Args:
        leaf: half the collar.
        less: by how much its outer edge and its front end lie further in, mm.
        ends: where it lies on a fold of the cloth: it stays on that.

    Its neck edge is the collar's. A collar's point moves in by ``less`` from both its edges; an end that runs
    on into the outer edge, as of a rounded collar, only from that.
    """
    less = min(less, _MOST * leaf.back.length)
    if less <= 0:
        return leaf
    edge, neck_side = leaf.edge, _towards_neck(leaf)
    start = leaf.back.end - leaf.back.end_tangent * less
    tip = _on_end(leaf, less) if ends.front_fold else _tip(leaf, less, neck_side)
    inner = [
        edge.point_at(s) + perpendicular(edge.tangent_at(s)) * (neck_side * less)
        for s in _between(edge.length, 2 * less)
    ]
    moved = curve_through([start, *inner, tip], edge.start_tangent, edge.end_tangent)
    return Leaf(leaf.neck, moved, Path.line(leaf.back.start, start), _ending_at(leaf.end, tip))


def _between(length: float, clear: float) -> list[float]:
    """Places on an edge, evenly, that keep off its ends."""
    room = length - 2 * clear
    count = max(ceil(room / _SPACING), 4)
    return [clear + room * k / count for k in range(count + 1)]


def _towards_neck(leaf: Leaf) -> float:
    """1 where the neck edge lies left of the outer edge as that is travelled, else -1."""
    middle = leaf.edge.length / 2
    across = leaf.neck.point_at(leaf.neck.length / 2) - leaf.edge.point_at(middle)
    return 1.0 if cross(leaf.edge.tangent_at(middle), across) > 0 else -1.0


def _on_end(leaf: Leaf, less: float) -> Point:
    return leaf.end.end - leaf.end.end_tangent * less


def _tip(leaf: Leaf, less: float, neck_side: float) -> Point:
    along = leaf.edge.end_tangent
    corner = abs(cross(along, leaf.end.end_tangent))
    return leaf.edge.end + perpendicular(along) * (neck_side * less) - along * (corner * less)


def _ending_at(path: Path, end: Point) -> Path:
    """The path turned and drawn out about its start so that it ends elsewhere."""
    start, old, new = path.start, path.end - path.start, end - path.start
    turn, scale = angle_between(old, new), norm(new) / norm(old)
    return path.mapped(lambda p: start + (rotated(p, turn, start) - start) * scale)
