"""From the pieces of a draft to what is laid: every copy, face up or down, on one layer, two, or the fold.

A lay item's outline is the cut line turned so that the grain arrow points along the cloth (+x), least x and
least y at 0. Whoever lays it may turn it by the cloth's rotations, never otherwise.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from math import radians, sin
from typing import Any

from shapely.geometry import Polygon

from drafting.errors import BadCloth
from drafting.layplan.cloth import Cloth
from drafting.layplan.frames import (
    STRAIGHT,
    fold_degrees,
    from_axis,
    grain_degrees,
    half_on_axis,
    on_grain,
    opened,
)
from drafting.layplan.outline import Outline, at_origin, extent, flipped, sound_outline, turned
from drafting.pattern import Cut, Draft, Piece

#: Two outlines that differ by less than this share of their area are cut as the same piece.
SAME_SHAPE = 1e-4

#: A workshop lays a few dozen pieces; beyond this many the request is a slip.
GREATEST_COUNT = 2000


class Layer(StrEnum):
    """Through how much cloth an item is cut."""

    SINGLE = "single"  # one layer; on folded cloth the one whose right side looks up
    DOUBLE = "double"  # both layers of folded cloth: a left and a right at once
    FOLD = "fold"  # half a piece against the fold


@dataclass(frozen=True, slots=True)
class Pin:
    """A point of an item, x and y from the corner of its polygon, mm.

    Pins of one name, on several items, must lie at the same phase of the cloth's repeat: along the cloth, and
    where ``across`` says so also across it.
    """

    name: str
    x: float
    y: float
    across: bool = False


@dataclass(frozen=True, slots=True)
class LayItem:
    """One outline to lay. ``copy`` counts the item among those of its name, from 1.

    ``polygon``: as the module says; of a ``FOLD`` item it is the half, with the fold along y = 0.
    ``pins``: where it must match other items of the same lay.
    """

    name: str
    copy: int
    polygon: Outline
    mirrored: bool = False
    layer: Layer = Layer.SINGLE
    pins: tuple[Pin, ...] = ()

    @property
    def area(self) -> float:
        """Area of the outline as laid, mm2."""
        return float(Polygon(self.polygon).area)


def plain_items(draft: Draft, cloth_role: str, cloth: Cloth) -> list[LayItem]:
    """Everything that a draft has cut of one cloth, as it is laid on it, without pins.

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
    outline = at_origin(on_grain(piece))
    face_down = at_origin(flipped(outline))
    up, down = (cut.count - cut.count // 2, cut.count // 2) if cut.mirrored else (cut.count, 0)
    doubles = 0
    double = _goes_double(outline, cloth)
    if double and cut.mirrored:
        doubles, up, down = down, up - down, 0
    elif double and _same_face_down(outline, cloth):
        doubles, up = divmod(up, 2)
    kinds = (
        [(outline, False, Layer.DOUBLE)] * doubles
        + [(outline, False, Layer.SINGLE)] * up
        + [(face_down, True, Layer.SINGLE)] * down
    )
    return [LayItem(piece.name, first + n, *kind) for n, kind in enumerate(kinds)]


def _lay_on_fold(piece: Piece, cut: Cut, cloth: Cloth, first: int) -> list[LayItem]:
    """On folded cloth against the fold; opened out on open cloth, and where the fold leaves the grain."""
    along = fold_degrees(piece)
    from_grain = along - grain_degrees(piece)
    with_grain = abs(sin(radians(from_grain))) < STRAIGHT
    half, mirrored = half_on_axis(piece, grain_degrees(piece) if with_grain else along)
    if cloth.has_lengthwise_fold and with_grain and _goes_double(half, cloth):
        return [
            LayItem(piece.name, first + n, from_axis(half), mirrored, Layer.FOLD) for n in range(cut.count)
        ]
    whole = opened(half, piece.name)
    laid = at_origin(whole if with_grain else turned(whole, from_grain))
    return [LayItem(piece.name, first + n, laid) for n in range(cut.count)]


def _goes_double(outline: Outline, cloth: Cloth) -> bool:
    """Whether there are two layers for it: of part folded cloth only so far as the fold is deep."""
    return cloth.folded and (not cloth.fold_depth or extent(outline)[1] <= cloth.fold_depth)


def _same_face_down(outline: Outline, cloth: Cloth) -> bool:
    """Whether the outline face down can be laid over itself by a turn that the cloth allows."""
    true = Polygon(outline)
    face_down = flipped(outline)
    for degrees_ in cloth.rotations:
        other = Polygon(at_origin(turned(face_down, degrees_)))
        if true.symmetric_difference(other).area <= SAME_SHAPE * true.area:
            return True
    return False
