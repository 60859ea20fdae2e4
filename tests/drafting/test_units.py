"""Lengths as typed: what is understood, what is refused and with which words."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.errors import BadMeasurement
from drafting.units import Unit, format_length, parse_length


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("14 3/4", 374.65),
        ("14¾", 374.65),
        ("14 ¾ in", 374.65),
        ("14-3/4", 374.65),
        ("14-¾", 374.65),
        ("14 3⁄4", 374.65),
        ("14.75in", 374.65),
        ("14.75 inches", 374.65),
        ('14 3/4"', 374.65),
        ("14 3/4″", 374.65),
        ("14 in.", 355.6),
        ("3/4", 19.05),
        ("¾", 19.05),
        ("37,5 cm", 375.0),
        ("37.5CM", 375.0),
        ("375 mm", 375.0),
        ("1 1/2 yd", 1371.6),
        ("2m", 2000.0),
        (" +5 cm ", 50.0),
        (".5", 12.7),
        ("0", 0.0),
        (14.75, 374.65),
        (14, 355.6),
    ],
)
def test_parse_length_reads_what_people_write(text: str | float, mm: float) -> None:
    assert parse_length(text, Unit.IN) == pytest.approx(mm, abs=1e-9)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "nothing is written"),
        ("   ", "nothing is written"),
        ("-4", "is negative"),
        ("−4", "is negative"),
        (-4, "is negative"),
        ("nan", "is not a length"),
        ("inf", "is not a length"),
        (float("nan"), "is not a length"),
        (float("inf"), "is not a length"),
        (10**400, "is not a length"),
        ("1e3", "is not a length"),
        ("1,234.5", "is not a length"),
        ("14 3 4", "is not a length"),
        ("about 14", "is not a length"),
        ("9" * 500, "is not a length"),
        (True, "is not a length"),
        (None, "is not a length"),
        ([14], "is not a length"),
        ("5 ft", "no unit known here"),
        ("5 cubits", "no unit known here"),
        ("1/0", "divides by nothing"),
        ("14 3/0", "divides by nothing"),
        ("99999.1 mm", "longer than 99999 mm"),
        (4000, "longer than 99999 mm"),
    ],
)
def test_parse_length_refuses_with_a_reason(text: object, words: str) -> None:
    with pytest.raises(BadMeasurement, match=words) as refusal:
        parse_length(text, Unit.IN, field="bust_girth")  # type: ignore[arg-type]

    assert refusal.value.field == "bust_girth"
    assert len(str(refusal.value)) < 150


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (374.65, Unit.IN, "14 3/4"),
        (19.05, Unit.IN, "3/4"),
        (355.6, Unit.IN, "14"),
        (355.6 + 1.5, Unit.IN, "14"),
        (355.6 + 1.7, Unit.IN, "14 1/8"),
        (25.3, Unit.IN, "1"),
        (0, Unit.IN, "0"),
        (-12.7, Unit.IN, "-1/2"),
        (-0.1, Unit.IN, "0"),
        (375.04, Unit.CM, "37.5"),
        (370, Unit.CM, "37.0"),
        (-0.3, Unit.CM, "0.0"),
        (374.6, Unit.MM, "375"),
        (1371.6, Unit.YD, "1.5"),
        (2400, Unit.M, "2.4"),
    ],
)
def test_format_length_writes_as_the_trade_does(mm: float, unit: Unit, text: str) -> None:
    assert format_length(mm, unit) == text


def test_format_length_writes_decimal_inches_when_asked() -> None:
    assert format_length(374.65, Unit.IN, eighths=False) == "14.75"


@given(st.floats(min_value=0, max_value=99_990), st.sampled_from(Unit))
def test_parse_length_reads_back_what_format_length_wrote(mm: float, unit: Unit) -> None:
    assert parse_length(format_length(mm, unit), unit) == pytest.approx(mm, abs=25.4 / 16 + 1e-6)


@given(st.text(max_size=80))
def test_parse_length_never_fails_otherwise(text: str) -> None:
    try:
        mm = parse_length(text, Unit.CM)
    except BadMeasurement:
        return
    assert 0 <= mm <= 99_999
