from __future__ import annotations

from xml.etree import ElementTree

import pytest

from costing.rules.care import CARE_FIELDS, NO, PROCESSES, care_marks


def test_care_marks_stand_in_the_order_of_a_label_whatever_order_they_are_said_in():
    said = {
        "care_professional": "p-mild",
        "care_iron": "150",
        "care_dry": "line-shade",
        "care_bleach": NO,
        "care_wash": "30-mild",
    }

    marks = care_marks(said)

    assert [(mark.title, mark.words) for mark in marks] == [
        ("Washing", "wash at up to 30 °C, mild"),
        ("Bleaching", "do not bleach"),
        ("Drying", "dry on a line in the shade"),
        ("Ironing", "iron at up to 150 °C"),
        ("Professional care", "dry clean (P), mild"),
    ]


def test_care_marks_leave_out_what_nobody_has_said():
    assert [mark.title for mark in care_marks({"care_wash": "", "care_iron": "110"})] == ["Ironing"]
    assert care_marks({}) == ()


@pytest.mark.parametrize(
    ("field", "code"), [(process.field, code) for process in PROCESSES for code in process.treatments]
)
def test_each_treatment_is_drawn_and_its_drawing_says_it_in_words(field, code):
    [mark] = care_marks({field: code})

    drawn = ElementTree.fromstring(mark.svg)
    assert drawn.get("aria-label") == drawn.findtext("title") == mark.words
    assert len(drawn) > 1


def test_no_two_treatments_of_a_process_look_alike():
    for process in PROCESSES:
        drawn = [
            "".join(care_marks({process.field: code})[0].svg.split("</title>")[1:])
            for code in process.treatments
        ]
        assert len(set(drawn)) == len(drawn), process.title


def test_a_code_fits_its_column():
    assert len(CARE_FIELDS) == 5
    assert max(len(code) for process in PROCESSES for code in process.treatments) <= 12
