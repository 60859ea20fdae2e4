"""From the pieces of a draft to what is laid: every copy, face up or down, on one layer, two, or the fold.

A lay item's outline is the cut line turned so that the grain arrow points along the cloth (+x), least x and
least y at 0. Whoever lays it may turn it by the cloth's rotations, never otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from math import atan2, degrees, radians, sin
from typing import Any

import shapely
from shapely.geometry import Polygon

from drafting.errors import BadCloth
from drafting.geometry import Point
from drafting.layplan.cloth import Cloth
from drafting.layplan.outline import Outline, at_origin, extent, flipped, moved, sound_outline, turned
from drafting.pattern import Cut, Draft, EdgeKind, Piece

#: Two outlines that differ by less than this share of their area are cut as the same piece.
SAME_SHAPE = 1e-4

#: Corners this near to the fold lie on it, mm.
ON_FOLD = 0.05

#: Sine of the angle within which a fold runs with the grain: a hair's breadth over a long piece.
STRAIGHT = 1e-4

#: A workshop lays a few dozen pieces; beyond this many the request is a slip.
GREATEST_COUNT = 2000


class Layer(StrEnum):
    """Through how much cloth an item is cut."""

    SINGLE = "single"  # one layer; on folded cloth the one whose right side looks up
    DOUBLE = "double"  # both layers of folded cloth: a left and a right at once
    FOLD = "fold"  # half a piece against the fold


@dataclass(frozen=True, slots=True)
class LayItem:
    """One outline to lay. ``copy`` counts the item among those of its name, from 1.

    ``polygon``: as the module says; of a ``FOLD`` item it is the half, with the fold along y = 0.
    """

    name: str
    copy: int
    polygon: Outline
    mirrored: bool = False
    layer: Layer = Layer.SINGLE

    @property
    def area(self) -> float:
        """Area of the outline as laid, mm2."""
        return float(Polygon(self.polygon).area)


def items_for(draft: Draft, cloth_role: str, cloth: Cloth) -> list[LayItem]:
    """Everything that a draft has cut of one cloth, as it is laid on it.

    Open cloth: each copy lies single, half of a mirrored cut face down, a piece on the fold opened out.
    Folded cloth: a mirrored cut lies double, once for each pair, as do equal copies of a piece that is the
    same face up and face down; an odd copy lies single; a half on the fold lies against the fold, unless its
    fold leaves the grain, as a collar's may: then it lies single, opened out.

    Raises:
        BadCloth: a piece without a cut line, or with an outline, a fold or a count that cannot be laid.
    """
    items: list[LayItem] = []
    for piece in draft.pieces:
        copies = 0
        for cut in piece.cuts:
            if cut.cloth != cloth_role:
                continue
            new = _lay_cut(piece, cut, cloth, copies + 1)
            items.extend(new)
            copies += len(new)
            if len(items) > GREATEST_COUNT:
                raise BadCloth(f"{piece.name}: more than {GREATEST_COUNT} pieces to lay.", field=piece.name)
    return items


def items_together(drafts: Sequence[Draft], cloth_role: str, cloth: Cloth) -> list[LayItem]:
    """What several garments have cut of one cloth, as for a wedding party.

    Each piece's name begins with the number of its garment, from 1: ``2 sleeve``.

    Raises: BadCloth as ``items_for``.
    """
    return [
        replace(item, name=f"{number} {item.name}")
        for number, draft in enumerate(drafts, start=1)
        for item in items_for(draft, cloth_role, cloth)
    ]


def read_items(data: object) -> list[LayItem]:
    """Bare polygons from plain JSON: ``{"items": [{"id": 1, "demand": 2, "polygon": [[x, y], ...]}]}``.

    Raises:
        BadCloth: ``field`` names the item or the key at fault.
    """
    rows = data.get("items") if isinstance(data, Mapping) else None
    if not isinstance(rows, list) or not rows:
        raise BadCloth("items: expected a list of at least one item.", field="items")
    items: list[LayItem] = []
    for index, row in enumerate(rows):
        name, demand, polygon = _read_row(row, f"items[{index}]")
        outline = at_origin(sound_outline(polygon, name))
        items.extend(LayItem(name, copy, outline) for copy in range(1, demand + 1))
        if len(items) > GREATEST_COUNT:
            raise BadCloth(f"items: more than {GREATEST_COUNT} pieces to lay.", field="items")
    if len({(item.name, item.copy) for item in items}) < len(items):
        raise BadCloth("id: two items have the same id; number them differently.", field="id")
    return items


def _read_row(row: object, where: str) -> tuple[str, int, list[Any]]:
    if not isinstance(row, Mapping):
        raise BadCloth(f"{where}: expected an object with id, demand and polygon.", field=where)
    name, demand, polygon = row.get("id"), row.get("demand", 1), row.get("polygon")
    if isinstance(name, bool) or not isinstance(name, str | int):
        raise BadCloth(f"{where}.id: give each item a name or a number.", field=f"{where}.id")
    if isinstance(demand, bool) or not isinstance(demand, int) or not 0 < demand <= GREATEST_COUNT:
        raise BadCloth(
            f"{where}.demand: must be a whole number from 1 to {GREATEST_COUNT}.", field=f"{where}.demand"
        )
    if not isinstance(polygon, list):
        raise BadCloth(f"{where}.polygon: expected a list of corners.", field=f"{where}.polygon")
    return str(name), demand, polygon


def _lay_cut(piece: Piece, cut: Cut, cloth: Cloth, first: int) -> list[LayItem]:
    if not 0 < cut.count <= GREATEST_COUNT:
        raise BadCloth(f"{piece.name}: cannot be cut {cut.count} times.", field=piece.name)
    if cut.on_fold:
        return _lay_on_fold(piece, cut, cloth, first)
    outline = at_origin(_with_grain(piece))
    face_down = at_origin(flipped(outline))
    up, down = (cut.count - cut.count // 2, cut.count // 2) if cut.mirrored else (cut.count, 0)
    doubles = 0
    if cloth.folded and cut.mirrored:
        doubles, up, down = down, up - down, 0
    elif cloth.folded and _same_face_down(outline, cloth):
        doubles, up = divmod(up, 2)
    kinds = (
        [(outline, False, Layer.DOUBLE)] * doubles
        + [(outline, False, Layer.SINGLE)] * up
        + [(face_down, True, Layer.SINGLE)] * down
    )
    return [LayItem(piece.name, first + n, *kind) for n, kind in enumerate(kinds)]


def _lay_on_fold(piece: Piece, cut: Cut, cloth: Cloth, first: int) -> list[LayItem]:
    """On folded cloth against the fold; opened out on open cloth, and where the fold leaves the grain."""
    along = _fold_degrees(piece)
    from_grain = along - _grain_degrees(piece)
    with_grain = abs(sin(radians(from_grain))) < STRAIGHT
    half, mirrored = _half_on_axis(piece, _grain_degrees(piece) if with_grain else along)
    if cloth.folded and with_grain:
        return [
            LayItem(piece.name, first + n, _from_axis(half), mirrored, Layer.FOLD) for n in range(cut.count)
        ]
    whole = _opened(half, piece.name)
    laid = at_origin(whole if with_grain else turned(whole, from_grain))
    return [LayItem(piece.name, first + n, laid) for n in range(cut.count)]


def _with_grain(piece: Piece) -> Outline:
    """The piece's cut line, turned so that its grain points along +x."""
    return turned(_cut_line(piece), -_grain_degrees(piece))


def _cut_line(piece: Piece) -> Outline:
    if not piece.cut_line:
        raise BadCloth(f"{piece.name}: has no cut line yet; finish the draft first.", field=piece.name)
    return sound_outline(piece.cut_line, piece.name)


def _grain_degrees(piece: Piece) -> float:
    (x0, y0), (x1, y1) = piece.grain
    if (x0, y0) == (x1, y1):
        raise BadCloth(f"{piece.name}: has no grain line.", field=piece.name)
    return _straightened(degrees(atan2(y1 - y0, x1 - x0)))


def _straightened(angle: float) -> float:
    """A line drawn straight up or along must not turn a piece by the last bit of an arc tangent."""
    return round(angle) if abs(angle - round(angle)) < 1e-9 else angle


def _half_on_axis(piece: Piece, along: float) -> tuple[Outline, bool]:
    """A half piece turned by ``-along`` degrees, its fold on y = 0, itself above; whether it was mirrored."""
    outline = turned(_cut_line(piece), -along)
    level = _fold_level(piece, -along)
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


def _fold_degrees(piece: Piece) -> float:
    """Direction of the fold."""
    (x0, y0), (x1, y1) = _folds(piece)[0]
    return _straightened(degrees(atan2(y1 - y0, x1 - x0)))


def _fold_level(piece: Piece, turn: float) -> float:
    """Height of the fold above the turned outline's origin, mm; it must be one straight line."""
    heights = [y for fold in _folds(piece) for _, y in turned(fold, turn)]
    if max(heights) - min(heights) > ON_FOLD:
        raise BadCloth(f"{piece.name}: its fold is not straight.", field=piece.name)
    return sum(heights) / len(heights)


def _from_axis(half: Outline) -> Outline:
    """Least x to 0; y stays, because the fold is at 0."""
    return moved(half, -min(x for x, _ in half), 0.0)


def _opened(half: Outline, name: str) -> Outline:
    """The whole piece of a half whose fold is on y = 0."""
    whole = shapely.union(Polygon(half), Polygon(flipped(half)))
    if not isinstance(whole, Polygon) or len(whole.interiors) > 0:
        raise BadCloth(f"{name}: does not open out to one piece; look at its fold edge.", field=name)
    return sound_outline(whole.exterior.simplify(1e-6).coords[:-1], name)


def _same_face_down(outline: Outline, cloth: Cloth) -> bool:
    """Whether the outline face down can be laid over itself by a turn that the cloth allows."""
    true = Polygon(outline)
    face_down = flipped(outline)
    for degrees_ in cloth.rotations:
        other = Polygon(at_origin(turned(face_down, degrees_)))
        if true.symmetric_difference(other).area <= SAME_SHAPE * true.area:
            return True
    return False


def widest(items: list[LayItem]) -> LayItem:
    """The item that takes most of the cloth's width."""
    return max(items, key=lambda item: extent(item.polygon)[1])
