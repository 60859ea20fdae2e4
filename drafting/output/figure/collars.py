"""Collars that are set on: flat, standing, turned over, tied."""

from __future__ import annotations

from dataclasses import dataclass

from drafting.geometry import Point, lerp, perpendicular, unit
from drafting.output.figure.ink import area, bend, over, stroke
from drafting.output.figure.lapels import grown_back
from drafting.output.figure.panels import Line, Side, edge_named, piece_named
from drafting.output.figure.uppers import neck_line, neck_point
from drafting.output.shapes import Shape
from drafting.pattern import Draft

FLAT, STANDING, TURNED, TIED = "flat", "standing", "turned over", "tied"
_SPREADS = 1.12
"""Outer edge over neck edge from which on a collar lies flat on the shoulders (drawing only)."""

_ROUND = 0.7  # of the width at the back: a front end shorter than that belongs to a rounded collar


@dataclass(frozen=True, slots=True)
class SetCollar:
    """``width`` at the centre back, ``end`` at the front; ``stand``: its height before it falls, mm."""

    kind: str
    width: float
    end: float
    stand: float
    pointed: bool


def set_collar(draft: Draft) -> SetCollar | None:
    """The collar that is set on to the neckline; None where there is none that is known."""
    piece = piece_named(draft, "collar", "upper collar", "collar fall")
    neck, back = edge_named(piece, "collar neck"), edge_named(piece, "collar back")
    outer, end = edge_named(piece, "collar edge"), edge_named(piece, "collar end")
    if neck is None or back is None:
        return None
    if outer is None:
        # A tie collar is folded lengthwise: half of its width shows.
        return SetCollar(TIED, back.length / 2, back.length / 2, back.length / 2, pointed=True)
    stand = edge_named(piece_named(draft, "collar stand"), "stand back")
    front = end.length if end else 0.0
    kind = _kind(str(draft.choices.get("collar", "")), outer.length / neck.length, stand is not None)
    pointed = front > _ROUND * back.length
    if kind == FLAT and not pointed:
        front = back.length
    return SetCollar(kind, back.length, front, stand.length if stand else back.length * 0.42, pointed)


def _kind(word: str, spread: float, on_stand: bool) -> str:
    if on_stand or "shirt" in word or "turn" in word or "convertible" in word:
        return TURNED
    if "flat" in word or spread > _SPREADS:
        return FLAT
    return STANDING


def front_collar(collar: SetCollar, side: Side, open_by: float) -> list[Shape]:
    """The collar from the front; ``open_by`` is how far its ends keep from the centre, mm."""
    line = neck_line(side)
    if not line:
        return []
    if collar.kind == FLAT:
        return _halves(_lying(line, collar, open_by))
    if collar.kind == TURNED:
        return [*_back_of_neck(side, line, collar.stand), *_halves(_turned(line, collar))]
    shapes = [*_back_of_neck(side, line, collar.width), *_halves(_standing(line, collar, open_by))]
    return shapes + (_bow(line[-1]) if collar.kind == TIED else [])


def back_collar(collar: SetCollar, side: Side, opened: bool) -> list[Shape]:
    """The collar from behind; ``opened``: it meets at the centre back."""
    line = neck_line(side)
    if not line:
        return []
    if collar.kind == FLAT:
        if opened:
            return _halves(_lying(line, collar, 0.0))
        outer = _offset(line, collar.width, collar.width)
        return [area("body", line, over(line)[::-1], over(outer), outer[::-1])]
    if collar.kind == TURNED:
        return grown_back(neck_point(side), line[-1][1], collar.stand)
    edge = _band_edge(line, collar, 0.0)
    ring = (*line, *over(line)[::-1], *over(edge), *edge[::-1])
    seam = [stroke("seam", (line[-1], line[-1] + Point(0.0, collar.width)))] if opened else []
    return [area("body", ring), *seam]


def _halves(ring: Line) -> list[Shape]:
    return [area("body", over(ring)), area("body", ring)]


def _lying(line: Line, collar: SetCollar, open_by: float) -> Line:
    """A band beside the neckline, its front corner rounded or pointed."""
    outer = _offset(line, collar.width, collar.end)
    inner_end = Point(open_by * 0.3, line[-1][1])
    if collar.pointed:
        tip = Point(max(open_by, collar.end * 0.35), outer[-1][1] - collar.end * 0.06)
        kept = [p for p in outer if p[0] > tip[0] + collar.width * 0.5]
        return (*line[:-1], inner_end, tip, *kept[::-1])
    kept = [p for p in outer if p[0] > collar.end * 0.75]
    corner = Point(max(open_by, 3.0), outer[-1][1] + collar.end * 0.12)
    front = bend(
        inner_end,
        lerp(inner_end, corner, 0.7),
        corner - Point(0.0, collar.end * 0.3),
        kept[-1] if kept else corner,
    )
    return (*line[:-1], *front, *kept[::-1])


def _offset(line: Line, first: float, last: float) -> Line:
    """A line beside another, ``first`` mm away at its start and ``last`` at its end, outside of the neck."""
    points = []
    count = len(line) - 1
    for k, p in enumerate(line):
        a, b = line[max(k - 1, 0)], line[min(k + 1, count)]
        if abs(a[0] - b[0]) + abs(a[1] - b[1]) < 1e-6:
            continue
        # The neckline runs from the neck point down to the centre: outside lies to its left.
        points.append(p - perpendicular(unit(b - a)) * -(first + (last - first) * k / count))
    return tuple(points)


def _standing(line: Line, collar: SetCollar, open_by: float) -> Line:
    """Half a band that stands on the neckline."""
    return (*line, *_band_edge(line, collar, open_by)[::-1])


def _band_edge(line: Line, collar: SetCollar, open_by: float) -> Line:
    """The upper edge of a standing collar, from the side to the centre; it leans in toward the neck."""
    neck, centre = line[0], line[-1]
    top = Point(neck[0] * 0.9, neck[1] + collar.width * 0.95)
    front = Point(min(open_by * 0.3, 4.0), centre[1] + collar.end * 0.95)
    sag = max((neck[1] - centre[1]) * 0.95, 4.0)
    return bend(top, Point(top[0] * 0.9, top[1] - sag * 0.5), Point(top[0] * 0.55, front[1]), front)


def _turned(line: Line, collar: SetCollar) -> Line:
    """A collar that stands and falls over, its points toward the front."""
    neck, centre, stand, fall = line[0], line[-1], collar.stand, collar.width
    fold = Point(neck[0] * 0.92, neck[1] + stand * 0.85)
    reach = Point(neck[0] + fall * 0.72, neck[1] - fall * 0.12)
    meet = Point(2.0, centre[1] + stand * 0.3)
    tip = Point(collar.end * 0.62, centre[1] - collar.end * 0.62)
    front = (
        (meet, tip)
        if collar.pointed
        else bend(meet, lerp(meet, tip, 0.6), tip, tip + Point(fall * 0.18, 8.0))
    )
    outer = bend(
        front[-1], lerp(front[-1], reach, 0.35) - Point(0.0, 2.0), reach - Point(2.0, fall * 0.45), reach
    )
    round_neck = bend(reach, reach + Point(0.0, stand * 0.5), fold + Point(stand * 0.5, 2.0), fold)
    inner = bend(
        fold, Point(fold[0] * 0.8, lerp(fold, meet, 0.45)[1]), Point(fold[0] * 0.4, meet[1] + 6.0), meet
    )
    return (*front, *outer, *round_neck, *inner)


def _back_of_neck(side: Side, line: Line, height: float) -> list[Shape]:
    """The inside of the collar at the back of the neck."""
    neck, centre = neck_point(side), line[-1]
    top = Point(neck[0] * 0.92, neck[1] + height * 0.9)
    back = bend(
        top, Point(top[0] * 0.5, top[1] + 8.0), Point(top[0] * 0.2, top[1] + 8.0), Point(0.0, top[1] + 8.0)
    )
    half = (*back[::-1], neck, *line[1:], Point(0.0, centre[1]))
    return [area("inside", over(half)[::-1], half)]


def _bow(at: Point) -> list[Shape]:
    loop = (
        *bend(at, at + Point(30.0, 45.0), at + Point(95.0, 40.0), at + Point(90.0, -4.0)),
        *bend(at + Point(90.0, -4.0), at + Point(85.0, -30.0), at + Point(30.0, -30.0), at),
    )
    tail = (at, at + Point(20.0, -110.0), at + Point(58.0, -100.0), at + Point(14.0, -6.0))
    knot = bend(
        at + Point(0.0, 12.0), at + Point(16.0, 12.0), at + Point(16.0, -14.0), at + Point(0.0, -14.0)
    )
    return [*_halves(tail), *_halves(loop), area("body", knot, over(knot)[::-1])]
