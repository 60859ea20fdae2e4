"""A small dress drawn for these tests: halves on the fold, pairs, a single, curves, grain both ways."""

from __future__ import annotations

from math import cos, pi, sin

from drafting.body import Body
from drafting.geometry import Path, Point
from drafting.pattern import Cut, Draft, Edge, EdgeKind, Piece

BODY = {"bust_girth": 890.0, "waist_girth": 700.0, "hip_girth": 950.0, "stature": 1650.0}


def piece(name: str, corners: list[tuple[float, float]], cut: Cut, grain: str = "up") -> Piece:
    """A piece with one edge a side; on the fold its last side is the fold."""
    points = [Point(x, y) for x, y in corners]
    edges = [
        Edge(f"side {n}", EdgeKind.SEAM, Path.line(a, b))
        for n, (a, b) in enumerate(zip(points, [*points[1:], points[0]], strict=True))
    ]
    if cut.on_fold:
        last = edges[-1]
        edges[-1] = Edge("fold", EdgeKind.FOLD, last.path)
    ends = (Point(50.0, 50.0), Point(50.0, 150.0) if grain == "up" else Point(150.0, 50.0))
    return Piece(name, tuple(edges), (cut,), ends, cut_line=tuple(points))


def arc(centre: tuple[float, float], radius: float, start: float, end: float) -> list[tuple[float, float]]:
    """Points on an arc from one angle to another, degrees."""
    return [
        (
            centre[0] + radius * cos((start + (end - start) * n / 12) * pi / 180),
            centre[1] + radius * sin((start + (end - start) * n / 12) * pi / 180),
        )
        for n in range(13)
    ]


def pieces() -> tuple[Piece, ...]:
    """Fold edges lie on x = 0, the last side, run downwards."""
    pair, fold = Cut("shell", 2, mirrored=True), Cut("shell", 1, on_fold=True)
    armhole = arc((260.0, 330.0), 70.0, 270.0, 180.0)
    neck = arc((0.0, 420.0), 70.0, 0.0, -90.0)
    bodice = [(0.0, 0.0), (240.0, 10.0), (260.0, 230.0), *armhole, (200.0, 400.0), *neck]
    cap = arc((170.0, 420.0), 150.0, 10.0, 170.0)
    return (
        piece("back", bodice, fold),
        piece("front", [*bodice[:-13], (90.0, 430.0), (-40.0, 330.0), (-40.0, 0.0)], pair),
        piece("skirt front", [(0.0, 0.0), (420.0, 30.0), (300.0, 680.0), (0.0, 660.0)], fold),
        piece("skirt back", [(0.0, 0.0), (430.0, 30.0), (310.0, 680.0), (0.0, 660.0)], pair),
        piece("sleeve", [(60.0, 0.0), (280.0, 0.0), (330.0, 420.0), *cap, (10.0, 420.0)], pair),
        piece("facing", [(0.0, 0.0), (70.0, 0.0), (110.0, 430.0), (30.0, 470.0)], pair),
        piece("band", [(0.0, 0.0), (720.0, 0.0), (720.0, 70.0), (0.0, 70.0)], Cut("shell", 1), "along"),
        piece("pocket", [(0.0, 0.0), (160.0, 0.0), (190.0, 240.0), (20.0, 200.0)], pair),
        piece("lining band", [(0.0, 0.0), (200.0, 0.0), (200.0, 60.0), (0.0, 60.0)], Cut("lining", 3)),
    )


def draft(*some: Piece) -> Draft:
    return Draft("sample", {}, Body.of(BODY), {}, "1", some or pieces(), ())
