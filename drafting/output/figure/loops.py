"""Loops that hold a belt, where they are sewn to a waistband or at the waist."""

from __future__ import annotations

from drafting.geometry import Point
from drafting.output.figure.ink import area, over
from drafting.output.figure.panels import Line, Side, piece_named
from drafting.output.figure.trims import waistband_depth, waistband_of
from drafting.output.shapes import Shape
from drafting.pattern import Draft, Piece

_BEYOND = 4.0  # mm that a loop at the waist reaches above and below its belt (drawing only)


def band_loop_shapes(draft: Draft, waist: Line, side: str) -> list[Shape]:
    """Over a waistband: half-way between centre and side, and of an odd number one at the centre back."""
    piece = piece_named(draft, "belt loop")
    if piece is None:
        return []
    depth, wide = waistband_depth(waistband_of(draft)), _width(piece)
    end = max(waist, key=lambda p: p[0])
    place = min(waist, key=lambda p: abs(p[0] - end[0] / 2))
    ring = _ring(Point(end[0] / 2, place[1] + depth / 2), wide, depth)
    shapes = [area("pocket", over(ring)), area("pocket", ring)]
    if side == "back" and piece.cuts[0].count % 2:
        centre = min(waist, key=lambda p: p[0])
        shapes.append(area("pocket", _ring(Point(0.0, centre[1] + depth / 2), wide, depth)))
    return shapes


def belt_loop_shapes(draft: Draft, side: Side, at: float, *, behind: bool) -> list[Shape]:
    """Over a belt at the waist: at the sides, and behind half-way to them."""
    loop, belt = piece_named(draft, "belt loop"), piece_named(draft, "belt")
    if loop is None or belt is None:
        return []
    wide, high = _width(loop), _width(belt) + 2 * _BEYOND
    half = side.half_width(at)
    places = (half - wide / 2, half / 2) if behind else (half - wide / 2,)
    rings = [_ring(Point(x, at), wide, high) for x in places]
    return [area("pocket", shown) for ring in rings for shown in (over(ring), ring)]


def _width(piece: Piece) -> float:
    """How wide a strip is that is folded along its length, mm."""
    xs, ys = zip(*piece.outline(1.0), strict=True)
    return float(min(max(xs) - min(xs), max(ys) - min(ys)) / 2)


def _ring(middle: Point, wide: float, high: float) -> Line:
    x, y = wide / 2, high / 2
    return tuple(middle + Point(dx, dy) for dx, dy in ((-x, -y), (x, -y), (x, y), (-x, y)))
