"""From what was typed on the measuring form to millimetres, with a message beside each field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from drafting.body import CATALOGUE, ESSENTIAL, Body
from drafting.errors import BadMeasurement
from drafting.units import Unit, parse_length


@dataclass(frozen=True, slots=True)
class Reading:
    """``values``: name -> mm as given. ``typed``: the text kept beside them. ``errors``: name -> message."""

    values: dict[str, float]
    typed: dict[str, str]
    errors: dict[str, str]


def read_measurements(
    typed: Mapping[str, str], unit: Unit, *, already: Mapping[str, float] | None = None
) -> Reading:
    """Read a measuring form; an empty field is a measurement that was not taken.

    Never raises for what a person can type: every fault is in ``errors``, so that a form shows all at once.
    ``already`` is not mixed in; it only spares the complaint about an essential that is known.
    """
    values: dict[str, float] = {}
    kept: dict[str, str] = {}
    errors: dict[str, str] = {}
    for name, text in typed.items():
        if not str(text).strip():
            continue
        if name not in CATALOGUE:
            errors[name] = "This is not a measurement of the catalogue."
            continue
        kept[name] = str(text).strip()[:60]
        try:
            values[name] = parse_length(text, unit, field=name)
        except BadMeasurement as problem:
            errors[name] = _sentence(str(problem))
    for name in ESSENTIAL:
        if name not in values and name not in errors and name not in (already or {}):
            errors[name] = f"The {CATALOGUE[name].word} must always be measured."
    errors |= _range_errors(values, errors)
    return Reading(values, kept, errors)


def _range_errors(values: Mapping[str, float], errors: Mapping[str, str]) -> dict[str, str]:
    """Each value outside every human range, with the message of the body itself."""
    found: dict[str, str] = {}
    # Stand-ins let one value be judged while an essential is still missing.
    stand_ins = {name: (CATALOGUE[name].low_mm + CATALOGUE[name].high_mm) / 2 for name in ESSENTIAL}
    for name, value in values.items():
        if name in errors:
            continue
        try:
            Body.of({**stand_ins, name: value})
        except BadMeasurement as problem:
            if problem.field == name:
                # The body speaks of waist_girth; whoever holds the tape says waist.
                found[name] = _sentence(str(problem).replace(name, f"the {CATALOGUE[name].word}", 1))
    return found


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?")) else ".")
