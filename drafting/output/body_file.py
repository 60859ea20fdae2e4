"""A body as it is written in a file: unit, measurements, perhaps the age."""

from __future__ import annotations

import json
from collections.abc import Mapping

from drafting.body import Body
from drafting.errors import BadMeasurement
from drafting.units import Unit, parse_length

UNITS = (Unit.MM, Unit.CM, Unit.IN)
"""The units that a body file may name."""


def read_body_text(text: str) -> tuple[Body, Unit]:
    """Return the body written as JSON text, and its unit. Raises: BadMeasurement (see ``read_body``)."""
    try:
        data = json.loads(text)
    except ValueError as fault:  # also: a number of too many digits
        raise BadMeasurement(f"the body is not JSON: {fault}", field="body") from None
    except RecursionError:
        raise BadMeasurement("the body is nested too deeply", field="body") from None
    return read_body(data)


def read_body(data: object) -> tuple[Body, Unit]:
    """Return the body of ``{"unit": ..., "measurements": {...}, "age_years": ...}``, and its unit.

    A measurement may be a number or text such as ``"14 3/4"``; the age may be left out.

    Raises:
        BadMeasurement: a part is missing or of the wrong kind, or a measurement cannot be one; ``field``
            names it.
    """
    if not isinstance(data, Mapping):
        raise BadMeasurement("the body must be a JSON object with unit and measurements", field="body")
    unit = _unit(data.get("unit"))
    typed = data.get("measurements")
    if not isinstance(typed, Mapping) or not typed:
        raise BadMeasurement(
            "measurements must be a JSON object with at least one measurement", field="measurements"
        )
    taken = {str(name): parse_length(value, unit, field=str(name)) for name, value in typed.items()}
    return Body.of(taken, age_years=data.get("age_years")), unit


def _unit(word: object) -> Unit:
    if not isinstance(word, str) or word not in list(UNITS):
        raise BadMeasurement(f"unit must be one of {', '.join(UNITS)}", field="unit")
    return Unit(word)
