"""A draft small enough to reckon by hand: a straight lined slip of two rectangles and a facing."""

from __future__ import annotations

from drafting.body import Body
from drafting.geometry import Path, Point
from drafting.pattern import (
    Cut,
    Dart,
    Draft,
    Edge,
    EdgeKind,
    EdgeRef,
    Mark,
    MarkKind,
    Method,
    Notch,
    NotionNeed,
    Piece,
    PleatRun,
    Seam,
)

BODY = Body.of({"bust_girth": 890, "waist_girth": 700, "hip_girth": 960, "stature": 1650})


def rectangle(name: str, width: float, height: float, *, left: EdgeKind, cuts: tuple[Cut, ...]) -> Piece:
    """A rectangle with the edges hem, side, top and centre, counter-clockwise from the lower left corner."""
    corners = (Point(0, 0), Point(width, 0), Point(width, height), Point(0, height))
    kinds = (EdgeKind.HEM, EdgeKind.SEAM, EdgeKind.SEAM, left)
    edges = tuple(
        Edge(edge, kind, Path.line(corners[i], corners[(i + 1) % 4]), allowance=15.0)
        for i, (edge, kind) in enumerate(zip(("hem", "side", "top", "centre"), kinds, strict=True))
    )
    return Piece(name, edges, cuts, (Point(width / 2, 10), Point(width / 2, height - 10)))


def slip(*, pleats: tuple[float, ...] = (), buttons: int = 0, roll_lines: tuple = ()) -> Draft:
    """Front on the fold, back as a pair with a zip; shell and lining; 1 m high, 200 mm wide each."""
    both = (Cut("shell", 1, on_fold=True), Cut("lining", 1, on_fold=True))
    front = rectangle("front", 200, 1000, left=EdgeKind.FOLD, cuts=both).with_(
        notches=(Notch("side", 300.0),),
        marks=(Mark("dart", MarkKind.DART, Path.line(Point(90, 700), Point(100, 500))),),
    )
    pair = (Cut("shell", 2, mirrored=True), Cut("lining", 2, mirrored=True))
    back = rectangle("back", 200, 1000, left=EdgeKind.OPENING, cuts=pair)
    facing = rectangle("facing", 200, 50, left=EdgeKind.FOLD, cuts=(Cut("shell", 2), Cut("interfacing", 2)))
    seams = (
        Seam("side", (EdgeRef("front", "side"),), (EdgeRef("back", "side"),), times=2),
        Seam(
            "neckline", (EdgeRef("front", "top"),), (EdgeRef("facing", "top"),), method=Method.FACED, times=2
        ),
        Seam("centre back", (EdgeRef("back", "centre"),), (EdgeRef("back", "centre"),), method=Method.ZIP),
    )
    run = PleatRun("front", "top", "knife", 200 + sum(pleats), 200, pleats, 50, 0, 0)
    notions = (NotionNeed("zip", 1, 400.0), *((NotionNeed("button", buttons, 12.0),) if buttons else ()))
    return Draft(
        style="slip",
        choices={},
        body=BODY,
        house={},
        engine="1",
        pieces=(front, back, facing),
        seams=seams,
        pleats=(run,) if pleats else (),
        darts=(Dart("front", "bust dart", Point(90, 700), Point(95, 500), Point(100, 700)),),
        roll_lines=roll_lines,
        notions=notions,
    )
