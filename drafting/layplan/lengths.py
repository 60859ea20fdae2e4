"""Lengths of cloth as they lie on the shelf: how long, and where something is wrong with them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from drafting.errors import BadCloth

#: No length on a shelf is longer than this, mm; a larger figure is a slip of the unit.
GREATEST_LENGTH = 500_000.0


@dataclass(frozen=True, slots=True)
class Flaw:
    """A place that must not be cut from. Checked when built.

    Args:
        at: its centre along the cloth, from the straightened beginning of the length, mm.
        across: its centre across the cloth, from the lower edge, selvedge included, mm.
        size: how far it reaches along and across, mm.

    Raises:
        BadCloth: ``field`` names the value at fault.
    """

    at: float
    across: float
    size: float

    def __post_init__(self) -> None:
        for name in ("at", "across", "size"):
            _check("flaw", name, getattr(self, name))
        if self.size == 0:
            raise BadCloth("flaw: size: give the size of the flaw in mm, more than 0.", field="size")

    def to_contract(self) -> dict[str, Any]:
        return {"at": self.at, "across": self.across, "size": self.size}


@dataclass(frozen=True, slots=True)
class Stretch:
    """A length of cloth on the shelf, mm, as it lies there: not shrunk, its ends not straightened.

    Raises:
        BadCloth: ``field`` names the value at fault.
    """

    length: float
    flaws: tuple[Flaw, ...] = ()
    name: str = ""

    def __post_init__(self) -> None:
        _check("stretch", "length", self.length)
        if self.length == 0:
            raise BadCloth("stretch: length: give the length in mm, more than 0.", field="length")

    def to_contract(self) -> dict[str, Any]:
        return {
            "length": self.length,
            "flaws": [flaw.to_contract() for flaw in self.flaws],
            "name": self.name,
        }


def read_flaw(data: object) -> Flaw:
    """Read a flaw from plain JSON. Raises: BadCloth."""
    row = _object(data, "flaw", ("at", "across", "size"))
    return Flaw(row["at"], row["across"], row["size"])


def read_stretch(data: object) -> Stretch:
    """Read a length from plain JSON. Raises: BadCloth."""
    row = _object(data, "stretch", ("length",))
    flaws = row.get("flaws", [])
    if not isinstance(flaws, list | tuple):
        raise BadCloth("stretch: flaws: expected a list.", field="flaws")
    return Stretch(row["length"], tuple(read_flaw(flaw) for flaw in flaws), str(row.get("name", "")))


def _object(data: object, what: str, needed: tuple[str, ...]) -> Mapping[str, Any]:
    if not isinstance(data, Mapping):
        raise BadCloth(f"{what}: expected an object with {', '.join(needed)}.", field=what)
    for name in needed:
        if name not in data:
            raise BadCloth(f"{what}: {name} is missing.", field=name)
    return data


def _check(what: str, name: str, value: object) -> None:
    number = not isinstance(value, bool) and isinstance(value, int | float)
    if not number or not isfinite(value) or not 0 <= value <= GREATEST_LENGTH:  # type: ignore[arg-type, operator]  # number says so
        raise BadCloth(
            f"{what}: {name}: must be a number from 0 to {GREATEST_LENGTH:.0f} mm, not {value!r}.", field=name
        )
