"""How a pattern piece is turned to lie on cloth: its grain along it, its fold on the axis, or opened out."""

from __future__ import annotations

from math import atan2, degrees

import shapely
from shapely.geometry import Polygon

from drafting.errors import BadCloth
from drafting.geometry import Point
from drafting.layplan.outline import Outline, flipped, moved, sound_outline, turned
from drafting.pattern import EdgeKind, Piece

#: Corners this near to the fold lie on it, mm.
ON_FOLD = 0.05

#: Sine of the angle within which a fold runs with the grain: a hair's breadth over a long piece.
STRAIGHT = 1e-4


def on_grain(piece: Piece) -> Outline:
    """The piece's cut line, turned so that its grain points along +x."""
    return turned(_cut_line(piece), -grain_degrees(piece))


def _cut_line(piece: Piece) -> Outline:
    if not piece.cut_line:
        raise BadCloth(f"{piece.name}: has no cut line yet; finish the draft first.", field=piece.name)
    return sound_outline(piece.cut_line, piece.name)


def grain_degrees(piece: Piece) -> float:
    (x0, y0), (x1, y1) = piece.grain
    if (x0, y0) == (x1, y1):
        raise BadCloth(f"{piece.name}: has no grain line.", field=piece.name)
    return _straightened(degrees(atan2(y1 - y0, x1 - x0)))


def _straightened(angle: float) -> float:
    """A line drawn straight up or along must not turn a piece by the last bit of an arc tangent."""
    return round(angle) if abs(angle - round(angle)) < 1e-9 else angle


def half_on_axis(piece: Piece, along: float) -> tuple[Outline, bool]:
    """A half piece turned by ``-along`` degrees, its fold on y = 0, itself above; whether it was mirrored."""
    outline = turned(_cut_line(piece), -along)
    level = fold_level(piece, -along)
    half = moved(outline, 0.0, -level)
    below = sum(y for _, y in half) < 0
    if below:
        half = flipped(half)
    snapped = tuple((x, 0.0 if abs(y) < ON_FOLD else y) for x, y in half)
    if min(y for _, y in snapped) < 0:
        raise BadCloth(f"{piece.name}: lies on both sides of its own fold.", field=piece.name)
    return snapped, below


def _folds(piece: Piece) -> list[tuple[Point, Point]]:
    folds = [(edge.path.start, edge.path.end) for edge in piece.edges if edge.kind is EdgeKind.FOLD]
    if not folds:
        raise BadCloth(f"{piece.name}: is cut on the fold but has no fold edge.", field=piece.name)
    return folds


def fold_degrees(piece: Piece) -> float:
    """Direction of the fold."""
    (x0, y0), (x1, y1) = _folds(piece)[0]
    return _straightened(degrees(atan2(y1 - y0, x1 - x0)))


def fold_level(piece: Piece, turn: float) -> float:
    """Height of the fold above the turned outline's origin, mm; it must be one straight line."""
    heights = [y for fold in _folds(piece) for _, y in turned(fold, turn)]
    if max(heights) - min(heights) > ON_FOLD:
        raise BadCloth(f"{piece.name}: its fold is not straight.", field=piece.name)
    return sum(heights) / len(heights)


def from_axis(half: Outline) -> Outline:
    """Least x to 0; y stays, because the fold is at 0."""
    return moved(half, -min(x for x, _ in half), 0.0)


def opened(half: Outline, name: str) -> Outline:
    """The whole piece of a half whose fold is on y = 0."""
    whole = shapely.union(Polygon(half), Polygon(flipped(half)))
    if not isinstance(whole, Polygon) or len(whole.interiors) > 0:
        raise BadCloth(f"{name}: does not open out to one piece; look at its fold edge.", field=name)
    return sound_outline(whole.exterior.simplify(1e-6).coords[:-1], name)
