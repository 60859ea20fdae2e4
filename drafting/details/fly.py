"""A fly front: the facing that carries the zip on one side, and the shield behind it on the other.

Frame: that of the trouser front, x from the centre seam outward, y upward. Source: common practice, no
source.
"""

from __future__ import annotations

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.facing import faced_curve
from drafting.geometry import Path, Point, distance
from drafting.pattern import Cut, EdgeKind, MarkKind

FACING, SHIELD = "fly facing", "fly shield"
_CURVED = 0.7  # of the opening: from there the stitching turns in to its foot


def fly_curve(opening: Path, top: Path) -> Path:
    """The free edge of the facing, and the stitching: beside the opening, then curved in to its foot.

    Args:
        opening: the centre front from the waist down to the foot of the zip.
        top: of the waist, from the centre outward, as wide as the facing.
    """
    turn = opening.split_at(_CURVED * opening.length)[0]
    width = distance(top.start, top.end)
    beside = turn.end + (top.end - top.start) * (0.96 * width / max(top.length, 1e-9))
    straight = faced_curve(turn.reversed(), beside, top.end, -turn.start_tangent, samples=3).reversed()
    foot = opening.end
    reach = 0.55 * distance(beside, foot)
    bend = Path.cubic(beside, beside + straight.end_tangent * reach, foot + (beside - turn.end) * 0.5, foot)
    return straight.joined(bend)


def fly_facing(opening: Path, top: Path, curve: Path, seam: float, free: float) -> Sketch:
    """The facing under the fly; edges "fly front" (to the centre front), "fly top", "fly edge" (free)."""
    middle = (top.start + top.end) * 0.5
    low = opening.point_at(0.55 * opening.length)
    return Sketch(
        FACING,
        [
            Stroke("fly top", top, EdgeKind.SEAM, seam),
            Stroke("fly edge", curve, EdgeKind.HEM, free),
            Stroke("fly front", opening, EdgeKind.SEAM, seam),
        ],
        (Cut("shell", 1), Cut("interfacing", 1)),
        (Point(middle.x, low.y), Point(middle.x, middle.y - 0.1 * (middle.y - low.y))),
        is_front=True,
    )


def fly_shield(length: float, width: float, seam: float, enclosed: float) -> Sketch:
    """The shield, folded lengthwise to ``width``: edges "shield edge" and "inner shield edge" (to the other
    front's centre, both), "shield top" and "inner shield top" (to the waistband's lap), and the two halves of
    its foot, sewn to one another.
    """
    outer, fold, inner = (Point(x, 0.0) for x in (0.0, width, 2 * width))
    down = Point(0.0, -length)
    lines = (
        ("shield edge", outer, outer + down, seam),
        ("shield foot", outer + down, fold + down, enclosed),
        ("inner shield foot", inner + down, fold + down, enclosed),
        ("inner shield edge", inner, inner + down, seam),
        ("inner shield top", inner, fold, seam),
        ("shield top", outer, fold, seam),
    )
    sketch = Sketch(
        SHIELD,
        [Stroke(name, Path.line(a, b), EdgeKind.SEAM, allowance) for name, a, b, allowance in lines],
        (Cut("shell", 1),),
        (Point(0.5 * width, -0.8 * length), Point(0.5 * width, -0.2 * length)),
    )
    sketch.mark("fold", MarkKind.GUIDE, Path.line(fold, fold + down))
    return sketch
