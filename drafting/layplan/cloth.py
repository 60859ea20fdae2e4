"""The cloth on the table, and the length of it that is bought.

Lengths are millimetres; x runs along the cloth, y across it. y = 0 is the inner edge of one selvedge, or
the fold where the cloth is folded; y = ``usable_width`` is the inner edge of the other selvedge.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from math import ceil, isfinite

from drafting.errors import BadCloth
from drafting.layplan.lengths import Stretch, read_stretch

#: Squaring the two cut ends of a length, mm. Common practice, no source.
END_ALLOWANCE = 30.0

#: How a seller cuts from the roll where nothing else is known: by whole 10 cm. Common practice, no source.
SELLERS_INCREMENT = 100.0

#: No cloth for garments is wider than this, mm; a larger figure is a slip of the unit.
GREATEST_WIDTH = 6000.0

#: No cloth for garments shrinks by more than this share; a larger figure is a percentage typed as a share.
GREATEST_SHRINKAGE = 0.5

_LENGTHS = ("selvedge", "repeat_length", "repeat_width", "gap", "fold_depth")
_SHARES = ("shrinkage_length", "shrinkage_width")
_SWITCHES = ("one_way", "folded", "crosswise", "roll")
_LATER = {"fold_depth": 0.0, "crosswise": False, "stretches": (), "roll": True}
"""What is left out of a file where it is as usual."""


@dataclass(frozen=True, slots=True)
class Cloth:
    """A cloth as it is laid. Checked when built.

    Args:
        name: what is cut of it: ``shell``, ``lining``, ``interfacing``.
        width: from edge to edge, as bought, mm.
        selvedge: strip at either edge that is not used, mm.
        one_way: nap or print has a direction, so that every piece must point the same way.
        folded: folded right sides together and cut through both layers; lengthwise, selvedge to selvedge,
            unless one of the next two says otherwise.
        fold_depth: where it is more than 0, only one edge is folded over: double for so many mm from the
            fold, single beyond the selvedge that lies there.
        crosswise: folded end to end; the lower layer runs the other way.
        shrinkage_length, shrinkage_width: share lost when it is shrunk before cutting, 0.03 for 3 %.
        repeat_length, repeat_width: repeat of stripes or a print, mm; 0 where there is none to match.
        gap: least distance between two pieces, mm.
        stretches: lengths from the shelf that are used first, in this order.
        roll: more is cut from the roll where they are not enough.

    Raises:
        BadCloth: ``field`` names the value at fault.
    """

    name: str
    width: float
    selvedge: float = 10.0
    one_way: bool = False
    folded: bool = False
    shrinkage_length: float = 0.0
    shrinkage_width: float = 0.0
    repeat_length: float = 0.0
    repeat_width: float = 0.0
    gap: float = 2.0
    fold_depth: float = 0.0
    crosswise: bool = False
    stretches: tuple[Stretch, ...] = ()
    roll: bool = True

    def __post_init__(self) -> None:
        for name in ("width", *_LENGTHS, *_SHARES):
            _check_number(name, getattr(self, name))
        if not 0 < self.width <= GREATEST_WIDTH:
            raise BadCloth(
                f"{self.width:g} mm is no width of cloth; give a width up to {GREATEST_WIDTH:g} mm.",
                field="width",
            )
        for name in _SHARES:
            if getattr(self, name) > GREATEST_SHRINKAGE:
                raise BadCloth(
                    f"{name}: {getattr(self, name):g} is more than half; write 3 % as 0.03.", field=name
                )
        if self.usable_width <= 0:
            raise BadCloth(
                f"With a selvedge of {self.selvedge:g} mm nothing is left of {self.width:g} mm of width.",
                field="selvedge",
            )
        self._check_fold()

    def _check_fold(self) -> None:
        if (self.crosswise or self.fold_depth) and not self.folded:
            raise BadCloth("folded: say that it is folded, or leave out how.", field="folded")
        if self.crosswise and self.fold_depth:
            raise BadCloth("fold_depth: cloth folded crosswise is folded in half.", field="fold_depth")
        if self.crosswise and self.one_way:
            raise BadCloth(
                "crosswise: the lower layer would run the other way; fold one-way cloth lengthwise.",
                field="crosswise",
            )
        if self.fold_depth > self.spread_width / 2:
            raise BadCloth(
                f"fold_depth: {self.fold_depth:g} mm is more than half of the cloth.", field="fold_depth"
            )
        if not (self.roll or self.stretches):
            raise BadCloth("stretches: give a length, or say that there is a roll.", field="stretches")

    @property
    def spread_width(self) -> float:
        """Width between the selvedges once shrunk, before any fold; mm."""
        return self.width * (1 - self.shrinkage_width) - 2 * self.selvedge

    @property
    def usable_width(self) -> float:
        """Width on which pieces may lie as the cloth lies on the table; mm."""
        if self.fold_depth:
            return self.spread_width - self.fold_depth
        return self.spread_width / 2 if self.folded and not self.crosswise else self.spread_width

    @property
    def single_from(self) -> float:
        """Where the single layer of a part folded cloth begins, beyond the selvedge folded over; mm."""
        return self.fold_depth + self.selvedge if self.fold_depth else 0.0

    @property
    def fold_at(self) -> float:
        """Where across the shrunk cloth, from its lower edge, the lengthwise fold lies; mm."""
        return self.fold_depth + self.selvedge if self.fold_depth else self.spread_width / 2 + self.selvedge

    @property
    def has_lengthwise_fold(self) -> bool:
        return self.folded and not self.crosswise

    @property
    def lengths_a_lay(self) -> int:
        """Lengths of cloth under one length of lay: two where it is folded end to end."""
        return 2 if self.crosswise else 1

    @property
    def rotations(self) -> tuple[float, ...]:
        """Turns that keep the grain, degrees."""
        return (0.0,) if self.one_way else (0.0, 180.0)

    def to_contract(self) -> dict[str, object]:
        """The mapping that ``read_cloth`` reads."""
        values = {field.name: getattr(self, field.name) for field in fields(self)}
        kept = {name: value for name, value in values.items() if _LATER.get(name, ...) != value}
        if self.stretches:
            kept["stretches"] = [stretch.to_contract() for stretch in self.stretches]
        return {"cloth": kept.pop("name"), **kept}


def read_cloth(data: object) -> Cloth:
    """Read a cloth from plain JSON.

    Raises:
        BadCloth: not a mapping, a key that is missing, unknown or of the wrong kind, or a value out of range.
    """
    if not isinstance(data, Mapping):
        raise BadCloth("cloth: expected an object with cloth and width.", field="cloth")
    known = {"cloth", "width", *_LENGTHS, *_SHARES, *_SWITCHES}
    name = data.get("cloth")
    if not isinstance(name, str) or not name.strip():
        raise BadCloth("cloth: name the cloth that is cut, such as shell or lining.", field="cloth")
    if "width" not in data:
        raise BadCloth("width: give the width of the cloth in mm.", field="width")
    for key in _SWITCHES:
        if not isinstance(data.get(key, False), bool):
            raise BadCloth(f"{key}: must be true or false.", field=key)
    # Extra keys are welcome in every contract, and say nothing to us.
    values = {key: data[key] for key in known & data.keys() if key != "cloth"}
    return Cloth(name.strip(), stretches=_read_stretches(data), **values)


def _read_stretches(data: Mapping[str, object]) -> tuple[Stretch, ...]:
    rows = data.get("stretches", [])
    if not isinstance(rows, list | tuple):
        raise BadCloth("stretches: expected a list of lengths.", field="stretches")
    return tuple(read_stretch(row) for row in rows)


def buy_length(length: float, cloth: Cloth, increment_mm: float = SELLERS_INCREMENT) -> float:
    """Length to ask the seller for, mm: lay and ends, before shrinking, rounded up to how he cuts.

    A cloth with a repeat needs one repeat more, because the seller's cut falls anywhere in it.

    Args:
        length: length of the lay on the shrunk cloth, mm.
        cloth: the cloth.
        increment_mm: what the seller rounds to: 100 for 10 cm, 114.3 for an eighth of a yard.

    Raises:
        BadCloth: the length or the increment is negative or not a number; an increment of 0.

    Source: common practice, no source.
    """
    _check_number("length", length)
    _check_number("increment_mm", increment_mm)
    if increment_mm == 0:
        raise BadCloth("increment_mm: must be more than 0.", field="increment_mm")
    if length == 0:
        return 0.0
    needed = (length + END_ALLOWANCE + cloth.repeat_length) / (1 - cloth.shrinkage_length)
    # A lay of exactly so many increments must not be rounded up by the last bit of a float.
    return ceil(needed / increment_mm - 1e-9) * increment_mm


def _check_number(name: str, value: object) -> None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadCloth(f"{name}: {value!r} is not a number.", field=name)
    try:
        finite = isfinite(value)
    except OverflowError:
        finite = False
    if not finite or value < 0:
        raise BadCloth(f"{name}: must be a finite number, 0 or more.", field=name)
