"""A small hand-made draft that has one of everything: a curve, a fold, an open dart, pleats, every mark."""

from __future__ import annotations

from drafting.body import Body
from drafting.geometry import Path, Point
from drafting.pattern import (
    Cut,
    Draft,
    Edge,
    EdgeKind,
    Mark,
    MarkKind,
    Notch,
    Piece,
    PleatRun,
)

BODY = {"bust_girth": 890.0, "waist_girth": 700.0, "hip_girth": 960.0, "stature": 1650.0}


def P(x: float, y: float) -> Point:  # noqa: N802  # a point, written often
    return Point(float(x), float(y))


def line(*points: Point) -> Path:
    return Path.polyline(points)


def front() -> Piece:
    """A bodice half on the fold with an open dart in its waist; the cut line is drawn 15 mm out by hand."""
    return Piece(
        name="front bodice",
        edges=(
            Edge("waist inner", EdgeKind.SEAM, line(P(0, 0), P(80, 0)), 15.0),
            Edge("dart inner", EdgeKind.DART, line(P(80, 0), P(95, 120)), 15.0),
            Edge("dart outer", EdgeKind.DART, line(P(95, 120), P(110, 0)), 15.0),
            Edge("waist outer", EdgeKind.SEAM, line(P(110, 0), P(210, 5)), 15.0),
            Edge("side", EdgeKind.SEAM, line(P(210, 5), P(240, 210)), 15.0),
            Edge(
                "armhole",
                EdgeKind.SEAM,
                Path.cubic(P(240, 210), P(190, 215), P(180, 290), P(190, 400)),
                15.0,
            ),
            Edge("shoulder", EdgeKind.SEAM, line(P(190, 400), P(70, 430)), 15.0),
            Edge("neck", EdgeKind.SEAM, Path.cubic(P(70, 430), P(65, 370), P(40, 345), P(0, 345)), 15.0),
            Edge("centre front", EdgeKind.FOLD, line(P(0, 345), P(0, 0))),
        ),
        cuts=(Cut("shell", 1, on_fold=True), Cut("lining", 1, on_fold=True)),
        grain=(P(50, 60), P(50, 280)),
        notches=(Notch("armhole", 80.0), Notch("side", 100.0, count=2)),
        marks=(
            Mark("drill hole", MarkKind.DRILL, line(P(95, 135), P(95, 135))),
            Mark("bust level", MarkKind.GUIDE, line(P(0, 215), P(238, 215))),
        ),
        cut_line=(
            P(0, -15),
            P(225, -15),
            P(258, 222),
            P(205, 240),
            P(206, 412),
            P(58, 449),
            P(52, 390),
            P(0, 360),
        ),
        remarks=("press the dart to the centre",),
    )


def lapel_front() -> Piece:
    """A front with a roll line, buttonholes and buttons, cut as a pair."""
    return Piece(
        name="front with lapel",
        edges=(
            Edge("hem", EdgeKind.HEM, line(P(0, 0), P(260, 0)), 40.0),
            Edge("side", EdgeKind.SEAM, line(P(260, 0), P(250, 200)), 15.0),
            Edge("top", EdgeKind.SEAM, Path.cubic(P(250, 200), P(200, 260), P(150, 380), P(60, 400)), 15.0),
            Edge("lapel", EdgeKind.SEAM, line(P(60, 400), P(-40, 330), P(0, 180)), 6.0),
            Edge("front edge", EdgeKind.OPENING, line(P(0, 180), P(0, 0)), 6.0),
        ),
        cuts=(Cut("shell", 2, mirrored=True), Cut("interfacing", 2, mirrored=True)),
        grain=(P(120, 40), P(120, 230)),
        notches=(Notch("lapel", 60.0),),
        marks=(
            Mark("roll line", MarkKind.ROLL_LINE, line(P(0, 180), P(60, 400))),
            Mark("centre front", MarkKind.CENTRE_LINE, line(P(25, 0), P(25, 180))),
            Mark("buttonhole", MarkKind.BUTTONHOLE, line(P(20, 60), P(44, 60))),
            Mark("buttonhole", MarkKind.BUTTONHOLE, line(P(20, 150), P(44, 150))),
            Mark("button", MarkKind.BUTTON, line(P(16, 105), P(34, 105))),
            Mark("lengthen or shorten here", MarkKind.LENGTHEN, line(P(60, 20), P(220, 20))),
        ),
        cut_line=(P(-6, -40), P(276, -40), P(265, 205), P(160, 400), P(60, 415), P(-48, 334), P(-6, 180)),
    )


def skirt() -> Piece:
    """A half skirt with four knife pleats along its waist."""
    marks: list[Mark] = []
    for index in range(4):
        x = 120.0 + 150.0 * index
        marks.append(Mark("fold", MarkKind.PLEAT_FOLD, line(P(x, 600), P(x, 0))))
        marks.append(Mark("place here", MarkKind.PLEAT_PLACEMENT, line(P(x + 80, 600), P(x + 80, 0))))
        marks.append(Mark("pleat", MarkKind.PLEAT_FOLD, line(P(x, 585), P(x + 80, 585)), arrow=True))
    return Piece(
        name="skirt front",
        edges=(
            Edge("hem", EdgeKind.HEM, line(P(0, 0), P(760, 0)), 50.0),
            Edge("side", EdgeKind.SEAM, line(P(760, 0), P(760, 600)), 15.0),
            Edge("waist", EdgeKind.SEAM, line(P(760, 600), P(0, 600)), 15.0),
            Edge("centre front", EdgeKind.FOLD, line(P(0, 600), P(0, 0))),
        ),
        cuts=(Cut("shell", 1, on_fold=True),),
        grain=(P(60, 150), P(60, 450)),
        notches=(Notch("side", 200.0),),
        marks=tuple(marks),
        cut_line=(P(0, -50), P(775, -50), P(775, 615), P(0, 615)),
    )


def facing() -> Piece:
    """A narrow curved facing: little room for a label."""
    outer = Path.cubic(P(160, 70), P(120, 20), P(60, 0), P(0, 0))
    inner = Path.cubic(P(0, 60), P(50, 60), P(80, 75), P(110, 110))
    return Piece(
        name="back neck facing",
        edges=(
            Edge("neck", EdgeKind.SEAM, inner.reversed(), 6.0),
            Edge("centre back", EdgeKind.FOLD, line(P(0, 60), P(0, 0))),
            Edge("outer", EdgeKind.SEAM, outer.reversed()),
            Edge("shoulder", EdgeKind.SEAM, line(P(160, 70), P(110, 110)), 15.0),
        ),
        cuts=(Cut("shell", 1, on_fold=True), Cut("interfacing", 1, on_fold=True)),
        grain=(P(20, 12), P(20, 50)),
        cut_line=(
            P(0, 0),
            *outer.reversed().flatten(0.05)[1:-1],
            P(172, 80),
            P(115, 125),
            P(70, 75),
            P(0, 66),
        ),
    )


def sample_draft() -> Draft:
    return Draft(
        style="sample",
        choices={},
        body=Body.of(BODY),
        house={},
        engine="1",
        pieces=(front(), lapel_front(), skirt(), facing()),
        seams=(),
        pleats=(PleatRun("skirt front", "waist", "knife", 760.0, 440.0, (80.0,) * 4, 70.0, 0.0, 10.0),),
    )
