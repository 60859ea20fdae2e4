"""A fly front on trousers: a zip in the centre front, its facing on the right, a shield on the left."""

from __future__ import annotations

from drafting.details.fly import FACING, SHIELD, fly_curve, fly_facing, fly_shield
from drafting.making import Making, Phase, Run, run
from drafting.pattern import MarkKind, Method, NotionNeed
from drafting.styles.parts.facing_lines import part_edge

STITCHING = "stitching of the fly"
_FACED = 0.4  # of the front's waist before its dart: the facing takes no more
_NOTE = (
    "Fly: interface its facing. Sew the crotch seam as far as the foot of the zip. Face the right front's "
    "edge, understitch and turn; fold the shield, close its foot and sew it with one tape of the zip to the "
    "left front's edge; sew the other tape to the facing alone; then topstitch the fly along its line "
    "through right front and facing, and catch facing and shield together at the foot. It laps right over "
    "left."
)


def add_fly(making: Making, piece: str) -> None:
    """Draw facing and shield of the front's opening, once the waist is joined to its band."""
    sketch, house = making.sketches[piece], making.house
    opening = sketch.path("centre front")
    first = making.lines[f"{piece} waist"][0]
    width = min(house["fly_width"], _FACED * sketch.path(first.edge).length)
    top = part_edge(making, first, width, ("waist fly", first.edge)).path
    curve = fly_curve(opening, top)
    sketch.mark(STITCHING, MarkKind.GUIDE, curve)
    making.add(fly_facing(opening, top, curve, house["seam_allowance"], house["enclosed_allowance"]))
    lap = making.run_length(making.lines["front lap"])
    making.add(fly_shield(opening.length, lap, house["seam_allowance"], house["enclosed_allowance"]))
    _sew(making, piece)
    making.notions.append(NotionNeed("zip", 1, opening.length, "fly front, a strong one"))
    making.note(Phase.CLOSURE, _NOTE)


def _sew(making: Making, piece: str) -> None:
    phase, edge = Phase.CLOSURE, run(piece, "centre front")

    def once(name: str, a: Run, b: Run, method: Method) -> None:
        making.sew(phase, name, a, b, method, times=1)

    once("fly facing to the right front", run(FACING, "fly front"), edge, Method.FACED)
    once("top of the fly facing", run(FACING, "fly top"), run(piece, "waist fly"), Method.LINED)
    once(
        "foot of the fly shield",
        run(SHIELD, "shield foot"),
        run(SHIELD, "inner shield foot"),
        Method.ENCLOSED,
    )
    once("fly front", edge, edge, Method.ZIP)
    once("fly shield to the left front", run(SHIELD, "shield edge"), edge, Method.LINED)
    inner, outer = run(SHIELD, "inner shield edge"), run(SHIELD, "shield edge")
    once("inner edge of the fly shield", inner, outer, Method.LINED)
    once("top of the fly shield", run(SHIELD, "shield top"), making.lines["front lap"], Method.LINED)
    inner, outer = run(SHIELD, "inner shield top"), run(SHIELD, "shield top")
    once("inner top of the fly shield", inner, outer, Method.LINED)
    once("stitching of the fly", run(FACING, "fly edge"), run(FACING, "fly edge"), Method.TOPSTITCHED)
