"""Lengths as people write them, at the edge of an engine that counts in millimetres."""

from __future__ import annotations

import math
import re
import unicodedata
from enum import StrEnum
from typing import Final

from drafting.errors import BadMeasurement

LONGEST_MM: Final = 99_999.0
_LONGEST_TEXT: Final = 60


class Unit(StrEnum):
    """The units that a length may be written in."""

    MM = "mm"
    CM = "cm"
    IN = "in"
    YD = "yd"
    M = "m"


MM_PER: Final[dict[Unit, float]] = {
    Unit.MM: 1.0,
    Unit.CM: 10.0,
    Unit.IN: 25.4,  # exact by definition of the international inch
    Unit.YD: 914.4,
    Unit.M: 1000.0,
}

_WORDS: Final[dict[str, Unit]] = {
    "mm": Unit.MM,
    "millimetre": Unit.MM,
    "millimetres": Unit.MM,
    "millimeter": Unit.MM,
    "millimeters": Unit.MM,
    "cm": Unit.CM,
    "centimetre": Unit.CM,
    "centimetres": Unit.CM,
    "centimeter": Unit.CM,
    "centimeters": Unit.CM,
    "in": Unit.IN,
    "ins": Unit.IN,
    "inch": Unit.IN,
    "inches": Unit.IN,
    '"': Unit.IN,
    "″": Unit.IN,
    "”": Unit.IN,
    "''": Unit.IN,
    "yd": Unit.YD,
    "yds": Unit.YD,
    "yard": Unit.YD,
    "yards": Unit.YD,
    "m": Unit.M,
    "metre": Unit.M,
    "metres": Unit.M,
    "meter": Unit.M,
    "meters": Unit.M,
}

_LENGTH: Final = re.compile(
    r"""(?P<sign>[-−+]?)\s*
        (?:(?:(?P<whole>[0-9]+)(?:\s+|\s*-\s*))?(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)
          |(?P<decimal>[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))
        \s*(?P<unit>[^\s0-9.,/+−-]*\.?)""",
    re.VERBOSE,
)


def parse_length(
    text: str | float | int, default_unit: Unit, *, field: str = "", longest_mm: float = LONGEST_MM
) -> float:
    """Return a length in mm from what a person typed, or a plain number in ``default_unit``.

    Understands whole numbers, decimals with a point or a comma, and fractions (``14 3/4``,
    ``14-3/4``, ``14¾``), each with or without a unit: mm, cm, in or a double quote, yd, m.

    Raises:
        BadMeasurement: empty, not a length, negative, not finite, unknown unit, a fraction over
            nothing, or longer than ``longest_mm``. ``field`` is passed on to the error.
    """
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise BadMeasurement(
            f"{_shown(text)} is not a length; write a number such as 37.5 or 14 3/4", field=field
        )
    if isinstance(text, str):
        number, unit = _read(text, default_unit, field)
    else:
        number, unit = _finite(text, field), default_unit
    return _in_reach(number * MM_PER[unit], text, field, longest_mm)


def format_length(mm: float, unit: Unit, *, eighths: bool = True) -> str:
    """Write a length in ``unit`` without the unit's name.

    Inches to the nearest eighth as ``14 3/4`` (to two decimals where ``eighths`` is False),
    centimetres to one decimal, millimetres whole, yards and metres to three decimals at most.
    ``parse_length`` of the result is within 1/16 in of ``mm``.
    """
    value = mm / MM_PER[unit]
    if unit is Unit.IN:
        return _eighths(value) if eighths else _signed(f"{value:.2f}")
    if unit is Unit.CM:
        return _signed(f"{value:.1f}")
    if unit is Unit.MM:
        return _signed(f"{value:.0f}")
    return _signed(f"{value:.3f}".rstrip("0").rstrip("."))


def _read(text: str, default_unit: Unit, field: str) -> tuple[float, Unit]:
    cleaned = _plain(text)
    if not cleaned:
        raise BadMeasurement("nothing is written here; write a length such as 37.5 or 14 3/4", field=field)
    match = _LENGTH.fullmatch(cleaned) if len(cleaned) <= _LONGEST_TEXT else None
    if match is None:
        raise BadMeasurement(
            f"{_shown(text)} is not a length; write a number such as 37.5 cm or 14 3/4 in", field=field
        )
    if match["sign"] in ("-", "−"):
        raise BadMeasurement(f"{_shown(text)} is negative; a length is written without a minus", field=field)
    return _number(match, text, field), _unit(match["unit"], default_unit, text, field)


def _plain(text: str) -> str:
    """Spell fraction characters out (``14¾`` to ``14 3/4``), lower the case, trim."""
    spelt = []
    for character in text[: _LONGEST_TEXT * 2]:
        if unicodedata.decomposition(character).startswith("<fraction>"):
            spelt.append(" " + unicodedata.normalize("NFKC", character).replace("⁄", "/"))
        else:
            spelt.append("/" if character == "⁄" else character)
    # "14-¾" and "14 - ¾" are spelt "14- 3/4": the pattern allows the space.
    return "".join(spelt).strip().lower()


def _number(match: re.Match[str], text: str, field: str) -> float:
    if match["decimal"] is not None:
        return float(match["decimal"].replace(",", "."))
    if int(match["bottom"]) == 0:
        raise BadMeasurement(
            f"{_shown(text)} divides by nothing; the lower number of a fraction is 2, 4, 8 ...", field=field
        )
    return int(match["whole"] or 0) + int(match["top"]) / int(match["bottom"])


def _unit(word: str, default_unit: Unit, text: str, field: str) -> Unit:
    if not word:
        return default_unit
    known = _WORDS.get(word) or _WORDS.get(word.removesuffix("."))
    if known is None:
        raise BadMeasurement(f"{_shown(text)} has no unit known here; use mm, cm, in, yd or m", field=field)
    return known


def _finite(number: float, field: str) -> float:
    try:
        value = float(number)
    except OverflowError:
        value = math.inf
    if not math.isfinite(value):
        raise BadMeasurement(f"{_shown(number)} is not a length; write a number such as 37.5", field=field)
    return value


def _in_reach(mm: float, text: object, field: str, longest_mm: float) -> float:
    if mm < 0:
        raise BadMeasurement(f"{_shown(text)} is negative; a length is written without a minus", field=field)
    if mm > longest_mm:
        raise BadMeasurement(
            f"{_shown(text)} is longer than {longest_mm:.0f} mm; is the unit right?", field=field
        )
    return mm


def _shown(text: object) -> str:
    written = str(text) if not isinstance(text, int) or abs(text) < 10**20 else "that number"
    short = " ".join(written.split())
    return f"“{short[:37]}...”" if len(short) > 40 else f"“{short}”"


def _eighths(inches: float) -> str:
    count = round(abs(inches) * 8)
    sign = "-" if inches < 0 and count else ""
    whole, part = divmod(count, 8)
    if not part:
        return f"{sign}{whole}"
    shared = math.gcd(part, 8)
    fraction = f"{part // shared}/{8 // shared}"
    return f"{sign}{whole} {fraction}" if whole else f"{sign}{fraction}"


def _signed(written: str) -> str:
    """Drop the minus of a rounded nothing."""
    return written.removeprefix("-") if float(written) == 0 else written
