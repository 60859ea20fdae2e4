"""The catalogue, the estimates and the questions."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.body import CATALOGUE, ESSENTIAL, Body, questions
from drafting.errors import BadMeasurement

WOMAN = {"bust_girth": 900.0, "waist_girth": 720.0, "hip_girth": 970.0, "stature": 1650.0}
TODDLER = {"bust_girth": 500.0, "waist_girth": 490.0, "hip_girth": 520.0, "stature": 850.0}

CONTRACT_NAMES = {
    "stature", "neck_base_girth", "shoulder_length", "back_width", "chest_width", "bust_girth", "waist_girth",
    "hip_girth", "bust_point_width", "neck_to_bust_point", "back_waist_length", "front_waist_length",
    "armscye_depth", "armscye_girth", "upper_arm_girth", "arm_length", "wrist_girth", "waist_to_hip",
    "waist_to_knee", "waist_height", "body_rise",
}  # fmt: skip


def test_catalogue_holds_the_contract_measurements() -> None:
    assert set(CATALOGUE) == CONTRACT_NAMES
    assert len(CATALOGUE) == 21
    assert set(ESSENTIAL) == {"bust_girth", "waist_girth", "hip_girth", "stature"}
    for name, row in CATALOGUE.items():
        assert row.name == name
        assert row.iso_term
        assert row.word
        assert row.how.endswith(".")
        assert 0 < row.low_mm < row.high_mm


def test_body_of_keeps_what_was_taken_and_marks_what_was_estimated() -> None:
    body = Body.of({**WOMAN, "arm_length": 580.0})

    assert body["arm_length"] == 580.0
    assert body.measure("arm_length").given is True
    assert body.measure("arm_length").error is None
    assert body.measure("wrist_girth").given is False
    assert body.measure("wrist_girth").error == pytest.approx(5.79)
    assert len(body.estimated) == 16
    assert list(body.measures) == list(CATALOGUE)


def test_body_of_works_out_estimates_by_hand() -> None:
    body = Body.of(WOMAN)

    # 109.9559 + 0.140246 x 900 + 0.078855 x 1650
    assert body["neck_base_girth"] == pytest.approx(366.288, abs=0.001)
    # 96.9132 + 0.220523 x 900 + 0.04154 x 1650
    assert body["back_width"] == pytest.approx(363.925, abs=0.001)
    assert body["chest_width"] == pytest.approx(0.94 * 363.925, abs=0.001)
    # -49.5462 + 0.364205 x 1650
    assert body["arm_length"] == pytest.approx(551.392, abs=0.001)


def test_body_of_lets_given_lengths_lead_their_neighbours() -> None:
    from_back = Body.of({**WOMAN, "back_waist_length": 410.0})
    from_front = Body.of({**WOMAN, "front_waist_length": 430.0})

    assert from_back["front_waist_length"] == pytest.approx(410 + 26 + 0.06 * (900 - 907.1))
    assert from_front["back_waist_length"] == pytest.approx(430 - 26 - 0.06 * (900 - 907.1))


def test_body_of_doubles_the_error_below_the_survey() -> None:
    assert Body.of(TODDLER).measure("wrist_girth").error == pytest.approx(2 * 5.79)


def test_body_of_runs_on_where_the_survey_ends() -> None:
    below, above = (Body.of({**WOMAN, "stature": 1409 + step}, age_years=30) for step in (-0.01, 0.01))

    for name in CATALOGUE:
        assert below[name] == pytest.approx(above[name], abs=0.02)


@pytest.mark.parametrize(
    ("age", "stature", "is_child"),
    [(None, 1408, True), (None, 1410, False), (13.9, 1700, True), (14, 1300, False), (40, 1300, False)],
)
def test_is_child_goes_by_age_then_by_stature(age: float | None, stature: float, is_child: bool) -> None:
    assert Body.of({**WOMAN, "stature": stature}, age_years=age).is_child is is_child


@pytest.mark.parametrize("name", sorted(ESSENTIAL))
def test_body_of_names_a_missing_essential(name: str) -> None:
    with pytest.raises(BadMeasurement, match=f"{name} is missing") as refusal:
        Body.of({other: value for other, value in WOMAN.items() if other != name})

    assert refusal.value.field == name


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (0, "more than nothing"),
        (-900, "more than nothing"),
        (float("nan"), "not a finite number"),
        (float("inf"), "not a finite number"),
        (10**400, "not a finite number"),
        ("900", "not a number"),
        (True, "not a number"),
        (None, "not a number"),
        (90, r"outside every human range \(350 mm / 35.0 cm / 13 3/4 in to 2200 mm / 220.0 cm / 86 5/8 in\)"),
        (9000, "outside every human range"),
    ],
)
def test_body_of_refuses_what_is_no_measurement(value: object, words: str) -> None:
    with pytest.raises(BadMeasurement, match=words) as refusal:
        Body.of({**WOMAN, "bust_girth": value})  # type: ignore[dict-item]

    assert refusal.value.field == "bust_girth"


def test_body_of_refuses_a_measurement_that_it_does_not_know() -> None:
    with pytest.raises(BadMeasurement, match="no measurement known here") as refusal:
        Body.of({**WOMAN, "tail_length": 300})

    assert refusal.value.field == "tail_length"


@pytest.mark.parametrize("age", [-1, 131, float("nan")])
def test_body_of_refuses_an_impossible_age(age: float) -> None:
    with pytest.raises(BadMeasurement) as refusal:
        Body.of(WOMAN, age_years=age)

    assert refusal.value.field == "age_years"


@given(
    bust=st.floats(500, 1600),
    waist_share=st.floats(0.6, 1.25),
    hip_share=st.floats(0.8, 1.4),
    stature=st.floats(850, 2000),
)
def test_estimates_go_together_for_every_body(
    bust: float, waist_share: float, hip_share: float, stature: float
) -> None:
    body = Body.of(
        {
            "bust_girth": bust,
            "waist_girth": max(320.0, bust * waist_share),
            "hip_girth": bust * hip_share,
            "stature": stature,
        }
    )

    assert body["neck_to_bust_point"] < body["front_waist_length"]
    assert body["armscye_depth"] <= 0.6 * body["back_waist_length"]
    assert 5 <= body["front_waist_length"] - body["back_waist_length"] + 1e-9 <= 70 + 1e-9
    assert body["back_width"] + body["chest_width"] < 0.85 * bust
    assert body["bust_point_width"] < body["chest_width"]
    assert body["neck_base_girth"] / 5 < body["back_width"] / 2
    assert body["wrist_girth"] < body["armscye_girth"]
    assert body["upper_arm_girth"] < body["armscye_girth"]
    assert body["waist_to_hip"] < body["waist_to_knee"] < body["waist_height"] < body["stature"]


def fields(measurements: dict[str, float], age_years: float | None = None) -> list[str]:
    return [question.field for question in questions(measurements, age_years=age_years)]


def test_questions_has_none_for_an_estimated_body() -> None:
    body = Body.of(WOMAN)

    assert questions({name: body[name] for name in CATALOGUE}) == ()
    assert questions(WOMAN, age_years=30) == ()
    assert questions(TODDLER, age_years=2) == ()
    assert questions({}) == ()


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"waist_girth": 1200, "hip_girth": 1000}, "waist_girth", "much larger than the hip"),
        (
            {"front_waist_length": 350, "back_waist_length": 400},
            "front_waist_length",
            "shorter than the back",
        ),
        (
            {"front_waist_length": 560, "back_waist_length": 400},
            "front_waist_length",
            "much longer than the back",
        ),
        ({"arm_length": 720}, "arm_length", "very long for the height"),
        ({"arm_length": 450}, "arm_length", "far from what the other measurements suggest"),
        ({"shoulder_length": 210, "back_width": 360}, "shoulder_length", "longer than half the back"),
        ({"upper_arm_girth": 400, "armscye_girth": 380}, "upper_arm_girth", "thicker than the armhole"),
        ({"wrist_girth": 290, "upper_arm_girth": 300}, "wrist_girth", "nearly as thick"),
        ({"chest_width": 450}, "chest_width", "nearly half the bust"),
        ({"back_width": 480}, "back_width", "half the bust"),
        ({"waist_height": 700}, "waist_height", "does not go with a height"),
        ({"armscye_depth": 300, "back_waist_length": 400}, "armscye_depth", "most of the back length"),
        ({"bust_girth": 355}, "bust_girth", "Were inches typed as centimetres"),
        ({"bust_girth": 2190}, "bust_girth", "Were centimetres typed as inches"),
        (
            {"neck_to_bust_point": 400, "front_waist_length": 410},
            "neck_to_bust_point",
            "at or below the waist",
        ),
        ({"waist_to_hip": 390, "waist_to_knee": 600}, "waist_to_hip", "nearer to the knee"),
        ({"waist_to_knee": 900, "waist_height": 1050}, "waist_to_knee", "too near the floor"),
        ({"neck_base_girth": 690}, "neck_base_girth", "very large for a bust"),
        ({"bust_point_width": 330, "chest_width": 340}, "bust_point_width", "as far apart"),
    ],
)
def test_questions_asks_about_the_unlikely(changes: dict[str, float], field: str, words: str) -> None:
    asked = questions({**WOMAN, **changes})

    assert any(question.field == field and words in question.message for question in asked)
    assert all(question.message[0].isupper() and question.message[-1] in ".?" for question in asked)


def test_questions_asks_about_a_height_that_does_not_go_with_the_age() -> None:
    assert fields({"stature": 1400}, age_years=4) == ["stature"]
    assert fields({"stature": 1030}, age_years=4) == []
    assert fields({"stature": 1250}, age_years=30) == ["stature"]


def test_questions_refuses_what_body_of_refuses() -> None:
    with pytest.raises(BadMeasurement):
        questions({"bust_girth": float("nan")})
