"""A lay plan: what lies where on the cloth, and how much is bought."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import isfinite
from typing import Any

from shapely.geometry import Polygon

from drafting.errors import BadCloth
from drafting.layplan.cloth import Cloth, read_cloth
from drafting.layplan.items import Layer, LayItem
from drafting.layplan.outline import Outline, at_origin, flipped, turned
from drafting.layplan.strip import Pose
from drafting.layplan.table import Span, spans

#: Version of the file that ``LayPlan.to_contract`` writes.
CONTRACT = 1

#: A piece at the beginning of a length may begin before it by this much, mm: the last bits of a float.
NEAR = 1e-6


@dataclass(frozen=True, slots=True)
class Placed:
    """An item as it lies: ``outline`` is its cut line on the cloth, mm.

    ``mirrored`` tells whether the pattern lies face down. A half on the fold opens out the same either way.
    """

    piece: str
    copy: int
    mirrored: bool
    rotation: float
    layer: Layer
    outline: Outline


@dataclass(frozen=True, slots=True)
class Used:
    """Of the length ``name`` (or the roll) so much is taken from its beginning, mm, for these pieces."""

    name: str
    length: float
    pieces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LayPlan:
    """All of it.

    Args:
        cloth: the cloth that it was laid on.
        usable_width: width on which the pieces lie, mm.
        length: length of the lay, mm, on the shrunk cloth.
        buy_length: length to buy, mm.
        utilisation: share of the cloth under the lay that becomes pieces; on folded cloth of both layers.
        seconds: time taken to find it.
        placed: the items in cutting order, from the beginning of the cloth.
        found_by: which packer found it.
        remarks: what went wrong or was left, in the workshop's words.
        matched, unmatched: names of the matches on the repeat that the lay holds, and of those that cannot be
            together with these.
    """

    cloth: Cloth
    usable_width: float
    length: float
    buy_length: float
    utilisation: float
    seconds: float
    placed: tuple[Placed, ...]
    found_by: str = ""
    remarks: tuple[str, ...] = ()
    matched: tuple[str, ...] = ()
    unmatched: tuple[str, ...] = ()

    @property
    def cloth_length(self) -> float:
        """Length of cloth under the lay, mm: twice the lay's where it is folded end to end."""
        return self.length * self.cloth.lengths_a_lay

    @property
    def under(self) -> tuple[Span, ...]:
        """The lengths under the lay, each as far as the lay reaches; the roll alone where there are none."""
        here = (span for span in spans(self.cloth) if span.start < self.length)
        return tuple(replace(span, end=min(span.end, self.length)) for span in here)

    @property
    def used(self) -> tuple[Used, ...]:
        return used_of(self.placed, self.cloth)

    def to_contract(self) -> dict[str, Any]:
        """Plain JSON values. Outlines are not rounded: a rounded one may overlap its neighbour."""
        return {
            "contract": CONTRACT,
            "cloth": self.cloth.to_contract(),
            "usable_width": self.usable_width,
            "length": self.length,
            "buy_length": self.buy_length,
            "utilisation": self.utilisation,
            "seconds": round(self.seconds, 3),
            "placed": [_placed_to_contract(placed) for placed in self.placed],
            "found_by": self.found_by,
            "remarks": list(self.remarks),
            "matched": list(self.matched),
            "unmatched": list(self.unmatched),
        }

    @classmethod
    def read_contract(cls, data: object) -> LayPlan:
        """Read what ``to_contract`` wrote.

        Raises:
            BadCloth: ``field`` names the key that is missing or wrong.
        """
        if not isinstance(data, Mapping) or data.get("contract") != CONTRACT:
            raise BadCloth(f"contract: expected a lay plan of contract {CONTRACT}.", field="contract")
        cloth = read_cloth(data.get("cloth"))
        rows = data.get("placed")
        if not isinstance(rows, list):
            raise BadCloth("placed: expected a list.", field="placed")
        placed = tuple(_read_placed(row, f"placed[{index}]") for index, row in enumerate(rows))
        return cls(
            cloth=cloth,
            usable_width=_number(data, "usable_width"),
            length=_number(data, "length"),
            buy_length=_number(data, "buy_length"),
            utilisation=_number(data, "utilisation"),
            seconds=_number(data, "seconds"),
            placed=placed,
            found_by=str(data.get("found_by", "")),
            remarks=tuple(str(remark) for remark in data.get("remarks", [])),
            matched=tuple(str(name) for name in data.get("matched", [])),
            unmatched=tuple(str(name) for name in data.get("unmatched", [])),
        )


def used_of(placed: Sequence[Placed], cloth: Cloth) -> tuple[Used, ...]:
    """What is taken of each length from the shelf and of the roll; only those on which something lies."""
    found = []
    for span in spans(cloth):
        on_it = [row for row in placed if span.start <= min(x for x, _ in row.outline) + NEAR < span.end]
        if on_it:
            end = max(x for row in on_it for x, _ in row.outline)
            pieces = tuple(f"{row.piece} {row.copy}" for row in on_it)
            found.append(Used(span.name, (end - span.start) * cloth.lengths_a_lay, pieces))
    return tuple(found)


def poses_of(item: LayItem, rotations: tuple[float, ...]) -> tuple[Pose, ...]:
    """The ways in which an item may lie; a half on the fold is turned by turning it over end to end.

    A half turned by 180 degrees would hang over the fold; mirrored over the fold it is the same piece.
    """
    if item.layer is not Layer.FOLD:
        return tuple(Pose(rotation, at_origin(turned(item.polygon, rotation))) for rotation in rotations)
    ways = [(0.0, item.polygon)]
    if 180.0 in rotations:
        ways.append((180.0, flipped(turned(item.polygon, 180.0))))
    return tuple(Pose(rotation, at_origin(outline)) for rotation, outline in ways)


def lies_mirrored(item: LayItem, rotation: float) -> bool:
    """Whether the pattern lies face down in the pose of that rotation."""
    return item.mirrored != (item.layer is Layer.FOLD and rotation == 180.0)


def utilisation(placed: tuple[Placed, ...], cloth: Cloth, length: float) -> float:
    """Share of the cloth under a lay of that length that becomes pieces; 0 for an empty lay."""
    if not placed or length <= 0:
        return 0.0
    taken = sum(
        float(Polygon(place.outline).area) * (1 if place.layer is Layer.SINGLE else 2) for place in placed
    )
    return taken / (cloth.spread_width * length * cloth.lengths_a_lay)


def _placed_to_contract(placed: Placed) -> dict[str, Any]:
    rotation = placed.rotation
    return {
        "piece": placed.piece,
        "copy": placed.copy,
        "mirrored": placed.mirrored,
        "rotation": int(rotation) if float(rotation).is_integer() else rotation,
        "layer": placed.layer.value,
        "outline": [list(point) for point in placed.outline],
    }


def _read_placed(row: object, where: str) -> Placed:
    if not isinstance(row, Mapping):
        raise BadCloth(f"{where}: expected an object.", field=where)
    try:
        return Placed(
            str(row["piece"]),
            int(row["copy"]),
            bool(row["mirrored"]),
            float(row["rotation"]),
            Layer(row["layer"]),
            tuple((float(x), float(y)) for x, y in row["outline"]),
        )
    except KeyError as missing:
        raise BadCloth(f"{where}: {missing.args[0]} is missing.", field=where) from None
    except (TypeError, ValueError) as wrong:
        raise BadCloth(f"{where}: {wrong}.", field=where) from None


def _number(data: Mapping[str, object], name: str) -> float:
    value = data.get(name)
    if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
        raise BadCloth(f"{name}: expected a finite number.", field=name)
    return float(value)
