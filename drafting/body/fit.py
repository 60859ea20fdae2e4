"""Fit notes: what a tape does not say about a wearer, learnt at fittings and kept for each later draft.

Each is a signed amount. The rules by which they change a draft are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from types import MappingProxyType
from typing import Final, Literal

from drafting.errors import BadMeasurement


@dataclass(frozen=True, slots=True)
class FitNote:
    """A row of the catalogue. ``kind`` is what its amount counts: mm, or degrees."""

    name: str
    title: str
    kind: Literal["length", "degrees"]
    low: float
    high: float
    help: str


_ROWS: Final = (
    FitNote(
        "front_length",
        "Front over the bust",
        "length",
        -30.0,
        60.0,
        "The front is drawn longer by this, from the neck point over the bust to the waist, and its bust "
        "dart wider: the front rides up or its sides swing forward. Less than 0: it sags above the bust.",
    ),
    FitNote(
        "rounded_back",
        "Rounded back",
        "length",
        0.0,
        45.0,
        "The back is drawn longer by this above the armhole line: it pulls up from the waist and stands off "
        "the neck.",
    ),
    FitNote(
        "sway_back",
        "Hollow back",
        "length",
        0.0,
        20.0,
        "The back is drawn shorter by this at the centre of the waist, by nothing at the sides: folds lie "
        "across the small of the back.",
    ),
    FitNote(
        "shoulder_slope",
        "Shoulder slope",
        "degrees",
        -10.0,
        10.0,
        "Added to the house's slope: more than 0 for sloping shoulders (folds from the neck to the "
        "underarm), less for square ones (folds across below the neck).",
    ),
    FitNote(
        "left_shoulder_lower",
        "Left shoulder lower than the right",
        "length",
        -30.0,
        30.0,
        "The lower side's shoulder and armhole are marked on front and back, which are cut alike and then "
        "trimmed on that side; less than 0: the right one is lower.",
    ),
    FitNote(
        "left_hip_higher",
        "Left hip higher than the right",
        "length",
        -40.0,
        40.0,
        "The sewing order says how much more to cut above the skirt's waist on that side; less than 0 where "
        "the right one is higher.",
    ),
)

FIT_NOTES: Final[Mapping[str, FitNote]] = MappingProxyType({row.name: row for row in _ROWS})
"""The catalogue, by name."""

NO_FIT_NOTES: Final[Mapping[str, float]] = MappingProxyType({})


def checked_fit(notes: Mapping[str, object]) -> Mapping[str, float]:
    """Return the notes as floats, mm and degrees; those of 0 left out.

    Raises: BadMeasurement, its field the note at fault: unknown, not a number, or outside its limits.
    """
    found = {}
    for name, value in notes.items():
        row = FIT_NOTES.get(name)
        if row is None:
            raise BadMeasurement(f"{str(name)[:60]} is no fit note known here", field=str(name)[:60])
        if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
            raise BadMeasurement(f"{row.title}: give a number", field=name)
        if not row.low <= value <= row.high:
            unit = "mm" if row.kind == "length" else "degrees"
            raise BadMeasurement(
                f"{row.title}: {value:g} is not between {row.low:g} and {row.high:g} {unit}", field=name
            )
        if value:
            found[name] = float(value)
    return MappingProxyType(found)
