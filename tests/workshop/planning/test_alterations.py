"""What a fitting takes off, by place. Places, steps and minutes are common practice, no source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drafting.body import FIT_NOTES
from workshop.planning.rules.alterations import (
    BOTH,
    LEFT,
    PLACES,
    RIGHT,
    BadChange,
    Change,
    Lesson,
    check_change,
    learn,
    lesson,
    minutes_of,
    steps,
    words,
)

SIDE_SEAM = Change("side_seam", "in", 12.7, BOTH)
HEM = Change("hem", "up", 25.4)


def every_change():
    for place in PLACES.values():
        for way in place.ways:
            for side in (LEFT, RIGHT, BOTH) if place.sided else ("",):
                yield Change(place.name, way.name, min(10.0, place.most_mm), side)


def check(change):
    check_change(change, show=lambda mm: f"{mm:g} mm")


@pytest.mark.parametrize("change", list(every_change()), ids=str)
def test_every_place_makes_work_and_words(change):
    check(change)

    assert minutes_of(change) >= 5
    assert abs(sum(step.minutes for step in steps(change)) - minutes_of(change)) < 1
    assert PLACES[change.place].title in words(change, "10 mm")


def test_words_name_place_way_amount_and_side():
    assert words(SIDE_SEAM, "1/2 in") == "side seam in by 1/2 in, both sides"
    assert words(replace(SIDE_SEAM, side=LEFT), "1.3 cm") == "side seam in by 1.3 cm, left"
    assert words(HEM, "1 in") == "hem up by 1 in"


def test_two_sides_take_twice_the_minutes_and_letting_out_looks_first():
    # 5 mark + 6 open + 5 unpick + 7 sew + 3 press + 8 close = 34 a side.
    assert minutes_of(replace(SIDE_SEAM, side=LEFT)) == 34
    assert minutes_of(SIDE_SEAM) == 68
    assert minutes_of(HEM) == 10 + 8 + 8 + 18 + 6
    assert steps(replace(SIDE_SEAM, way="out"))[0].name.startswith("Measure the allowance")


def test_minutes_that_somebody_gave_are_spread_over_the_steps():
    found = steps(replace(SIDE_SEAM, side=LEFT, minutes=17))

    assert [step.minutes for step in found] == [2.5, 3.0, 2.5, 3.5, 1.5, 4.0]
    assert minutes_of(replace(SIDE_SEAM, minutes=17)) == 17


@pytest.mark.parametrize(
    ("changes", "part", "message"),
    [
        ({"place": "elbow"}, "place", "from the list"),
        ({"way": "up"}, "way", "The side seam goes in or out"),
        ({"side": ""}, "side", "left, right or both"),
        ({"side": "front"}, "side", "left, right or both"),
        ({"amount_mm": 0.0}, "amount", "at most 80 mm"),
        ({"amount_mm": 80.1}, "amount", "cut a piece again"),
        ({"amount_mm": float("nan")}, "amount", "at most 80 mm"),
        ({"minutes": 0}, "minutes", "from 1 to 6000"),
        ({"minutes": 6001}, "minutes", "from 1 to 6000"),
    ],
)
def test_check_change_names_the_part_at_fault(changes, part, message):
    with pytest.raises(BadChange, match=message) as refusal:
        check(replace(SIDE_SEAM, **changes))

    assert refusal.value.part == part


def test_check_change_refuses_a_side_where_there_is_but_one():
    with pytest.raises(BadChange, match="There is but one hem"):
        check(replace(HEM, side=LEFT))


@pytest.mark.parametrize(
    ("change", "taught"),
    [
        # tan(3.0 degrees) x 135 mm = 7.07 mm: plane geometry.
        (Change("shoulder", "up", 7.07, BOTH), Lesson("shoulder_slope", 3.0)),
        (Change("shoulder", "down", 7.07, BOTH), Lesson("shoulder_slope", -3.0)),
        (Change("shoulder", "up", 10, LEFT), Lesson("left_shoulder_lower", 10)),
        (Change("shoulder", "up", 10, RIGHT), Lesson("left_shoulder_lower", -10)),
        (Change("front_length", "longer", 20), Lesson("front_length", 20)),
        (Change("front_length", "shorter", 20), Lesson("front_length", -20)),
        (Change("upper_back", "longer", 15), Lesson("rounded_back", 15)),
        (Change("small_of_back", "shorter", 12), Lesson("sway_back", 12)),
        (Change("waist_line", "longer", 8, LEFT), Lesson("left_hip_higher", 8)),
        (Change("waist_line", "longer", 8, RIGHT), Lesson("left_hip_higher", -8)),
        (Change("waist_line", "shorter", 8, BOTH), None),
        (SIDE_SEAM, None),
        (HEM, None),
        (Change("front_length", "longer", 20, in_figure=False), None),
    ],
    ids=str,
)
def test_lesson_of_a_change(change, taught):
    assert lesson(change) == taught


def test_every_lesson_is_a_fit_note_that_is_known():
    notes = {found.note for change in every_change() if (found := lesson(change)) is not None}

    assert notes <= set(FIT_NOTES)
    assert len(notes) == 6


def test_learn_adds_to_what_is_known_and_stops_at_the_limits():
    known = {"front_length": 15.0, "sway_back": 15.0, "rounded_back": 10.0}
    lessons = [
        Lesson("front_length", -15.0),
        Lesson("sway_back", 5.1),
        Lesson("shoulder_slope", 3.0),
        Lesson("rounded_back", -10.1),
    ]

    fit, taken = learn(known, lessons)

    assert fit == {"sway_back": 15.0, "rounded_back": 10.0, "shoulder_slope": 3.0}
    assert taken == [True, False, True, False]
    assert known["front_length"] == 15.0
