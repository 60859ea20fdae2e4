"""What finishes an armhole without a sleeve: a shaped facing, or a bias strip that binds it.

Frame: that of the block whose armhole it is; armholes run from the shoulder down, sides downward.
"""

from __future__ import annotations

from dataclasses import dataclass

from drafting.blocks.rules import House
from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.facing import faced_curve
from drafting.geometry import Path, Point, lerp, perpendicular
from drafting.pattern import Cut, EdgeKind

FOLDS = 4
"""A binding is cut this many times as wide as it shows: both its edges are turned in (common practice)."""

_OF_SHOULDER = 0.42  # a facing takes no more of the shoulder seam: the neck's facing needs the rest
_OF_SIDE = 0.8
_PAIR = Cut("shell", 2, mirrored=True)


@dataclass(frozen=True, slots=True)
class Armhole:
    """Half an armhole and the seams it lies between: ``side`` is the part next to it, above any dart."""

    shoulder: Path  # from the neck outward
    curve: Path  # from the shoulder down
    side: Path  # downward


def facing_widths(width: float, *armholes: Armhole) -> tuple[float, float]:
    """How wide the facings of one armhole are at its shoulder and at its side, where one of them is short.

    Source: common practice, no source.
    """
    shoulder = min(_OF_SHOULDER * armhole.shoulder.length for armhole in armholes)
    side = min(_OF_SIDE * armhole.side.length for armhole in armholes)
    return min(width, shoulder), min(width, side)


def armhole_facing(
    name: str, armhole: Armhole, widths: tuple[float, float], house: House, *, is_front: bool
) -> Sketch:
    """A facing that follows the armhole, ``widths`` mm wide at the shoulder and at the side.

    Edges: "armhole", "facing shoulder", "facing side", "facing inner" (free).
    """
    shoulder = armhole.shoulder.split_at(armhole.shoulder.length - widths[0])[1]
    side = armhole.side.split_at(widths[1])[0]
    inner = faced_curve(armhole.curve, shoulder.start, side.end, perpendicular(side.end_tangent))
    seam, enclosed = house["seam_allowance"], house["enclosed_allowance"]
    middle = lerp(
        armhole.curve.point_at(0.5 * armhole.curve.length), inner.point_at(0.45 * inner.length), 0.5
    )
    reach = Point(0.0, max(0.12 * armhole.curve.length, 8.0))
    return Sketch(
        name,
        [
            Stroke("facing side", side, EdgeKind.SEAM, seam),
            Stroke("armhole", armhole.curve, EdgeKind.SEAM, enclosed),
            Stroke("facing shoulder", shoulder, EdgeKind.SEAM, seam),
            Stroke("facing inner", inner, EdgeKind.HEM, enclosed),
        ],
        (_PAIR,),
        (middle - reach, middle + reach),
        is_front=is_front,
    )


def binding_strip(name: str, length: float, shown: float) -> Sketch:
    """A bias strip for an edge ``length`` mm long that shows ``shown`` mm on either side of it.

    No allowance: the strip is cut to its width, four times what shows. Edges: "armhole" and "inner" (its
    long sides), "start" and "end", which are sewn together. The grain runs at 45 degrees: cut on the bias.
    """
    width = FOLDS * shown
    low, high = Point(0.0, 0.0), Point(0.0, width)
    far_low, far_high = Point(length, 0.0), Point(length, width)
    middle, reach = Point(length / 2, width / 2), min(width, length) * 0.35
    return Sketch(
        name,
        [
            Stroke("armhole", Path.line(low, far_low)),
            Stroke("end", Path.line(far_low, far_high), EdgeKind.SEAM, shown),
            Stroke("inner", Path.line(high, far_high)),
            Stroke("start", Path.line(low, high), EdgeKind.SEAM, shown),
        ],
        (_PAIR,),
        (middle - Point(reach, reach), middle + Point(reach, reach)),
        remarks=("cut on the bias",),
    )
