"""A tie collar: a straight band round the neckline, folded lengthwise, whose ends run on to be tied."""

from __future__ import annotations

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Path, Point
from drafting.pattern import Cut, EdgeKind


def tie_band(name: str, half_neck: float, ties: float, width: float, allowance: float) -> Sketch:
    """Half the band, on the fold at the centre back.

    Args:
        name: of the piece.
        half_neck: from the centre back to the centre front, mm.
        ties: what hangs from the centre front on either side, mm.
        width: finished, mm; the band is cut twice as wide and folded along its middle.
        allowance: mm.

    Edges: "collar neck" and "inner collar neck" (both sewn to the neckline), "tie lower" and "tie upper"
    (sewn to one another), "tie end lower" and "tie end upper" (so too). Source: plane geometry.
    """
    whole = half_neck + ties
    foot = [Point(x, 0.0) for x in (0.0, half_neck, whole)]
    top = [Point(x, 2 * width) for x in (0.0, half_neck, whole)]
    middle = Point(whole, width)
    return Sketch(
        name,
        [
            Stroke("collar neck", Path.line(foot[0], foot[1]), EdgeKind.SEAM, allowance),
            Stroke("tie lower", Path.line(foot[1], foot[2]), EdgeKind.SEAM, allowance),
            Stroke("tie end lower", Path.line(foot[2], middle), EdgeKind.SEAM, allowance),
            Stroke("tie end upper", Path.line(top[2], middle), EdgeKind.SEAM, allowance),
            Stroke("tie upper", Path.line(top[1], top[2]), EdgeKind.SEAM, allowance),
            Stroke("inner collar neck", Path.line(top[0], top[1]), EdgeKind.SEAM, allowance),
            Stroke("collar back", Path.line(foot[0], top[0]), EdgeKind.FOLD),
        ],
        (Cut("shell", 1, on_fold=True),),
        (Point(0.2 * whole, width), Point(0.6 * whole, width)),
    )
