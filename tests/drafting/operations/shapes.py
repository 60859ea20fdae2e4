"""A plain front that every figure of is known: 200 wide, 300 high, its centre on the left."""

from __future__ import annotations

from drafting.blocks.sketch import Sketch, Stroke
from drafting.body import Body
from drafting.geometry import Path, Point, polygon_area
from drafting.house import house_rules
from drafting.making import Making, run
from drafting.pattern import Cut, EdgeKind

FOOT, CORNER, TIP, TOP = Point(0, 0), Point(200, 0), Point(200, 300), Point(0, 300)
BODY = Body.of({"stature": 1650, "bust_girth": 920, "waist_girth": 740, "hip_girth": 980})


def oblong(name: str = "front") -> Sketch:
    """Waist and top run outward, the side downward, the centre lies on the fold."""
    return Sketch(
        name,
        [
            Stroke("waist", Path.line(FOOT, CORNER), EdgeKind.SEAM, 15.0),
            Stroke("side", Path.line(TIP, CORNER), EdgeKind.SEAM, 25.0),
            Stroke("top", Path.line(TOP, TIP), EdgeKind.SEAM, 6.0),
            Stroke("centre front", Path.line(TOP, FOOT), EdgeKind.FOLD),
        ],
        (Cut("shell", 1, on_fold=True),),
        (Point(40, 60), Point(40, 240)),
    )


def in_making(*sketches: Sketch) -> Making:
    """A garment that has these pieces; the first is its front."""
    making = Making(BODY, house_rules(), {})
    for sketch in sketches:
        making.add(sketch)
    making.shells["front"] = sketches[0].name
    making.lines |= {
        "front top": run(sketches[0].name, "top"),
        "front side": run(sketches[0].name, "side"),
        "front waist": run(sketches[0].name, "waist"),
    }
    return making


def area(sketch: Sketch) -> float:
    """Of the piece, mm2; it raises ValueError where the ring does not close."""
    return polygon_area(sketch.piece().outline(0.01))


def names(sketch: Sketch) -> list[str]:
    return [stroke.name for stroke in sketch.strokes]
