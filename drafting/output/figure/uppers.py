"""The upper garment, a bodice or all in one piece: its panels, where its lines meet, its neckline."""

from __future__ import annotations

from drafting.geometry import Point
from drafting.output.figure.ink import area, over
from drafting.output.figure.panels import Line, Side, beside, panel_of
from drafting.output.shapes import Shape
from drafting.pattern import Draft, Piece

_AT_CENTRE = 0.5  # mm: a neckline that ends no further from the centre ends there
_BODY_WORDS = {"bodice", "centre", "side", "middle", "panel", "yoke"}
"""What the name of a piece of the body may say besides its side: another word makes it another piece."""


def upper(draft: Draft, side: str) -> Side | None:
    """The panels of the front or back of the upper garment; None where there is none."""
    found = [piece for piece in draft.pieces if _is_body(piece, side)]
    if not any(edge.name.startswith("shoulder") for piece in found for edge in piece.edges):
        return None
    return beside([panel_of(draft, piece) for piece in found])


def _is_body(piece: Piece, side: str) -> bool:
    words = piece.name.split()
    return side in words and set(words) - {side} <= _BODY_WORDS and of_shell(piece)


def of_shell(piece: Piece) -> bool:
    return any(cut.cloth == "shell" for cut in piece.cuts)


def neck_point(side: Side) -> Point:
    """Where the shoulder meets the neck."""
    points = [p for line in side.lines("shoulder") for p in (line[0], line[-1])]
    return min(points, key=lambda p: p[0])


def shoulder_tip(side: Side) -> Point:
    points = [p for line in side.lines("shoulder") for p in (line[0], line[-1])]
    return max(points, key=lambda p: p[0])


def underarm(side: Side) -> Point:
    """The foot of the armhole."""
    points = [p for line in side.lines("armhole") for p in (line[0], line[-1])]
    return min(points, key=lambda p: p[1]) if points else shoulder_tip(side)


def neck_line(side: Side) -> Line:
    """The neckline from the neck point to the centre; empty where none is named so."""
    lines = [
        line
        for line in side.lines("neck")
        if max(p[0] for p in line) > 0.5  # the extension of a button stand lies beyond the centre
    ]
    if not lines:
        return ()
    start = neck_point(side)
    found: list[Point] = []
    at = start
    while lines:
        nearest = min(lines, key=lambda line: min(_far(at, line[0]), _far(at, line[-1])))
        lines.remove(nearest)
        run = nearest if _far(at, nearest[0]) <= _far(at, nearest[-1]) else nearest[::-1]
        found += run
        at = run[-1]
    if at[0] > _AT_CENTRE:  # an opening let in there has the rest of it
        found.append(Point(0.0, at[1]))
    return tuple(found)


def _far(a: Point, b: Point) -> float:
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def neck_inside(front: Side, back: Side, lowest: float | None) -> list[Shape]:
    """The inside of the back, seen over the front's neckline, or above where a lapel breaks."""
    behind = neck_line(back)
    if not behind:
        return []
    shift = neck_point(front) - behind[0]
    upper_line = tuple(p + shift for p in behind)
    low = neck_line(front) if lowest is None else (neck_point(front), Point(0.0, lowest))
    return [area("inside", over(low)[::-1], over(upper_line), upper_line[::-1], low)]
