"""A flat collar: traced from front and back, laid together with their shoulders overlapped.

Source of the method: common practice, no source.
"""

from __future__ import annotations

from math import atan2

from drafting.details.collars.leaf import Leaf
from drafting.details.facing import faced_curve
from drafting.geometry import Path, Point, angle_between, curve_through, distance, mirrored, rotated, unit

_ROUND = 0.62  # of the width: how far from its corner a rounded front begins
_KAPPA = 0.55
_POINT_LONGER, _POINT_OUTWARD = 1.12, 0.28  # of the width
_ORIGIN = Point(0.0, 0.0)
_BETWEEN = (0.4, 0.8)  # shares of each neckline through which the collar's neck edge runs


def laid_together(
    back_neck: Path, back_shoulder: Path, front_neck: Path, front_shoulder: Path, overlap: float
) -> tuple[Path, Point]:
    """The two necklines with the front laid against the back's shoulder, neck point on neck point.

    Args:
        back_neck: from the neck point to the centre back, in the back's frame.
        back_shoulder: from the neck point outward.
        front_neck: from the neck point to the centre front, in the front's frame.
        front_shoulder: from the neck point outward.
        overlap: of the two at the shoulder's outer end, mm.

    Returns: the neckline from the centre back to the centre front, with a small corner at the shoulder; and
    the direction of the centre front, downward on the wearer.
    """
    neck, along = back_shoulder.start, back_shoulder.start_tangent
    start = front_shoulder.start
    turn = angle_between(front_shoulder.start_tangent, along)
    angle = -atan2(overlap, back_shoulder.length)

    def lay(point: Point) -> Point:
        beside = rotated(point - start, turn, _ORIGIN) + neck
        return rotated(mirrored(beside, neck, neck + along), angle, neck)

    down = unit(lay(start + Point(0.0, -100.0)) - lay(start))
    return back_neck.reversed().joined(front_neck.mapped(lay)), down


def smoothed(neck: Path, back_length: float) -> Path:
    """The neck edge without the corner at the shoulder, as long as the neckline that it is sewn to."""
    front_length = neck.length - back_length
    at = [back_length * share for share in _BETWEEN]
    at += [back_length + front_length * (1 - share) for share in _BETWEEN[::-1]]
    points = [neck.start, *(neck.point_at(s) for s in at), neck.end]
    curve = curve_through(points, neck.start_tangent, neck.end_tangent)
    scale = neck.length / curve.length
    return curve.mapped(lambda p: neck.start + (p - neck.start) * scale)


def flat_collar(neck: Path, down: Point, width: float, *, rounded: bool) -> Leaf:
    """Half a flat collar of even width, rounded or pointed at the front.

    Args:
        neck: its neck edge, from the centre back to the centre front.
        down: the direction of the centre front, on the laid front.
        width: mm.
        rounded: else pointed.
    """
    back = Path.line(neck.start, neck.start - Point(0.0, width))
    if not rounded:
        point = neck.end + down * (_POINT_LONGER * width) - neck.end_tangent * (_POINT_OUTWARD * width)
        edge = faced_curve(neck, back.end, point, neck.end_tangent, samples=9)
        return Leaf(neck, edge, back, Path.line(neck.end, point))
    corner = neck.end + down * width
    edge = faced_curve(neck, back.end, corner, neck.end_tangent, samples=9)
    radius = min(_ROUND * width, 0.3 * edge.length)
    kept = edge.split_at(edge.length - radius)[0]
    end = neck.end + down * (width - radius)
    bow = Path.cubic(
        kept.end,
        kept.end + kept.end_tangent * (_KAPPA * distance(kept.end, corner)),
        end + down * (_KAPPA * radius),
        end,
    )
    return Leaf(neck, kept.joined(bow), back, Path.line(neck.end, end))
