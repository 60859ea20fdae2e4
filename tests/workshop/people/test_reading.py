from __future__ import annotations

import pytest

from drafting.units import Unit
from workshop.people.rules.measuring import read_measurements

ESSENTIAL = {"bust_girth": "36", "waist_girth": "28", "hip_girth": "38", "stature": "66"}


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("14 3/4", 374.65),
        ("14¾", 374.65),
        ("14.75in", 374.65),
        ("37,5 cm", 375.0),
        ("375 mm", 375.0),
    ],
)
def test_read_measurements_takes_every_way_of_writing(text, mm):
    reading = read_measurements({**ESSENTIAL, "neck_base_girth": text}, Unit.IN)

    assert reading.values["neck_base_girth"] == pytest.approx(mm, abs=1e-9)
    assert reading.typed["neck_base_girth"] == text
    assert reading.errors == {}


def test_read_measurements_leaves_out_empty_fields():
    reading = read_measurements({**ESSENTIAL, "wrist_girth": "  "}, Unit.IN)

    assert sorted(reading.values) == sorted(ESSENTIAL)
    assert reading.errors == {}


def test_read_measurements_asks_for_every_essential_at_once():
    reading = read_measurements({}, Unit.CM)

    assert reading.errors == {
        "bust_girth": "The bust must always be measured.",
        "waist_girth": "The waist must always be measured.",
        "hip_girth": "The hip must always be measured.",
        "stature": "The height must always be measured.",
    }


@pytest.mark.parametrize("text", ["abc", "-5", "0", "nan", "inf", "1e400", "12 furlong", "99999999", "5 5 5"])
def test_read_measurements_puts_the_fault_at_its_field(text):
    reading = read_measurements({**ESSENTIAL, "waist_girth": text}, Unit.IN)

    assert list(reading.errors) == ["waist_girth"]
    assert reading.errors["waist_girth"].endswith((".", "?"))


def test_read_measurements_refuses_what_no_human_has_even_beside_missing_essentials():
    reading = read_measurements({"waist_girth": "5"}, Unit.CM)

    assert reading.errors["waist_girth"] == (
        "The waist of 50 mm / 5.0 cm / 2 in is outside every human range "
        "(320 mm / 32.0 cm / 12 5/8 in to 2300 mm / 230.0 cm / 90 1/2 in); is the unit right?"
    )
    assert reading.errors["bust_girth"] == "The bust must always be measured."


def test_read_measurements_refuses_a_name_outside_the_catalogue():
    reading = read_measurements({**ESSENTIAL, "tail_length": "12"}, Unit.IN)

    assert reading.errors == {"tail_length": "This is not a measurement of the catalogue."}
