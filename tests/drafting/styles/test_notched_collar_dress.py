"""The whole dress: every choice, many bodies, refusals."""

from __future__ import annotations

from itertools import pairwise, product

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadChoice, CannotDraft
from drafting.house import house_rules
from drafting.pattern import Draft, MarkKind, Method
from drafting.styles import STYLES, choice_words, read_choices
from drafting.units import Unit

NAME = "notched-collar-dress"
BREAKS = ("armhole line", "half-way", "waist")
CLOSURES = ("centre-back zip", "front buttons")
LININGS = ("none", "bodice", "full")
KINDS = ("knife", "box", "inverted")

BODIES = {
    "toddler": (850, 500, 490, 510),
    "girl": (1350, 680, 600, 720),
    "average": (1629, 907, 725, 967),
    "hourglass": (1700, 1000, 680, 1080),
    "large": (1650, 1600, 1650, 1600),
    "large with a waist": (1720, 1500, 1180, 1560),
}


def body(name: str) -> Body:
    stature, bust, waist, hip = BODIES[name]
    return Body.of({"stature": stature, "bust_girth": bust, "waist_girth": waist, "hip_girth": hip})


def failed(draft: Draft) -> list[str]:
    return [f"{c.name}: {c.value:.3f} > {c.limit:g} {c.remark}" for c in draft.checks if not c.ok]


@pytest.mark.parametrize("name", BODIES)
@pytest.mark.parametrize(("break_point", "closure"), list(product(BREAKS, CLOSURES)))
def test_make_draft_passes_every_check(name: str, break_point: str, closure: str) -> None:
    for lining, kind in zip(LININGS, KINDS, strict=True):
        draft = make_draft(
            NAME,
            body(name),
            {
                "break_point": break_point,
                "closure": closure,
                "lining": lining,
                "pleat_kind": kind,
                "pleats": 2,
            },
        )

        assert failed(draft) == []


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    stature=st.floats(850, 1900),
    bust_share=st.floats(0.48, 0.8),
    waist_share=st.floats(0.72, 1.08),
    hip_share=st.floats(0.92, 1.2),
    choices=st.fixed_dictionaries(
        {
            "break_point": st.sampled_from(BREAKS),
            "closure": st.sampled_from(CLOSURES),
            "lining": st.sampled_from(LININGS),
            "pleat_kind": st.sampled_from(KINDS),
            "pleats": st.integers(1, 6),
        }
    ),
)
def test_make_draft_is_right_or_refused(
    stature: float, bust_share: float, waist_share: float, hip_share: float, choices: dict[str, str | int]
) -> None:
    bust = stature * bust_share
    wearer = Body.of(
        {
            "stature": stature,
            "bust_girth": bust,
            "waist_girth": max(340.0, bust * waist_share),
            "hip_girth": bust * hip_share,
        }
    )
    try:
        draft = make_draft(NAME, wearer, choices)
    except (CannotDraft, BadChoice) as refusal:
        assert refusal.field  # noqa: PT017  # either outcome is right; a refusal must name its cause
        return
    assert failed(draft) == []


def test_make_draft_twice_is_the_same() -> None:
    assert make_draft(NAME, body("average")) == make_draft(NAME, body("average"))


def test_collar_neck_edge_is_as_long_as_the_back_neck() -> None:
    draft = make_draft(NAME, body("average"))

    collar = draft.piece("front bodice").edge("collar neck").length
    assert abs(collar - draft.piece("back bodice").edge("neck").length) < 1e-6


def test_right_front_lies_left_of_its_centre_and_the_right_back_right() -> None:
    draft = make_draft(NAME, body("average"))

    assert draft.piece("front bodice").edge("armhole").path.start.x < 0
    assert draft.piece("back bodice").edge("armhole").path.start.x > 0


@pytest.mark.parametrize(
    ("lining", "has", "lacks"),
    [
        ("none", "front armhole facing", "front bodice lining"),
        ("bodice", "front bodice lining", "front armhole facing"),
        ("full", "skirt back lining", "back armhole facing"),
    ],
)
def test_lining_decides_what_finishes_the_armhole(lining: str, has: str, lacks: str) -> None:
    names = {piece.name for piece in make_draft(NAME, body("average"), {"lining": lining}).pieces}

    assert has in names
    assert lacks not in names


def test_a_front_that_does_not_open_has_buttons_and_no_holes() -> None:
    draft = make_draft(NAME, body("average"), {"closure": "centre-back zip"})

    marks = [mark for piece in draft.pieces for mark in piece.marks]
    assert {mark.name for mark in marks if mark.kind is MarkKind.BUTTON} == {"button (through both fronts)"}
    assert all(mark.kind is not MarkKind.BUTTONHOLE for mark in marks)
    assert any("do not open" in step for step in draft.notes)


def test_front_buttons_open_the_skirt_to_the_hem() -> None:
    draft = make_draft(NAME, body("average"), {"closure": "front buttons"})

    assert draft.piece("skirt front").cuts[0].mirrored
    assert draft.piece("back bodice").on_fold
    assert {need.kind for need in draft.notions} == {"button"}


def test_bust_dart_only_where_the_front_is_longer() -> None:
    assert not any(dart.name == "bust dart" for dart in make_draft(NAME, body("toddler")).darts)
    assert any(dart.name == "bust dart" for dart in make_draft(NAME, body("average")).darts)


def test_a_wide_bust_dart_is_shared_by_two_and_every_check_passes() -> None:
    measured = {"back_waist_length": 390.0, "front_waist_length": 465.0}
    wearer = Body.of(
        {"stature": 1650, "bust_girth": 1300, "waist_girth": 1130, "hip_girth": 1340, **measured}
    )

    draft = make_draft(NAME, wearer, {"lining": "bodice"})

    on_front = [dart.name for dart in draft.darts if dart.piece == "front bodice"]
    assert on_front == ["waist dart 1", "bust dart 1", "bust dart 2"]
    assert failed(draft) == []


def test_back_shoulder_is_eased_on_to_the_front() -> None:
    draft = make_draft(NAME, body("average"), {"lining": "bodice"})

    eased = {seam.name: round(seam.ease, 6) for seam in draft.seams if seam.method is Method.EASED}
    assert eased == {"shoulder": 4.7625, "shoulder of the lining": 4.7625}
    plain = make_draft(NAME, body("average"), {}, {"back_shoulder_ease": 0.0})
    assert not any(seam.method is Method.EASED for seam in plain.seams)


@pytest.mark.parametrize("break_point", BREAKS)
def test_buttons_are_never_on_one_another(break_point: str) -> None:
    wearer = Body.of({"stature": 1600, "bust_girth": 1180, "waist_girth": 1040, "hip_girth": 1230})

    draft = make_draft(NAME, wearer, {"break_point": break_point, "closure": "front buttons"})

    marks = draft.piece("front bodice").marks
    heights = sorted(mark.path.point_at(1.5).y for mark in marks if mark.kind is MarkKind.BUTTON)
    assert all(b - a >= 2 * draft.house["button_diameter"] for a, b in pairwise(heights))
    # The first where the lapel breaks; none further from the next, or the last from the waist, than 88.9.
    assert all(b - a <= draft.house["button_spacing"] for a, b in pairwise([0.0, *heights]))
    assert heights[-1] == pytest.approx(max(draft.roll_lines[0].start.y, heights[0]))
    assert len(heights) == {"armhole line": 3, "half-way": 2, "waist": 1}[break_point]


def test_cautions_for_a_child_name_cords_and_buttons() -> None:
    wearer = body("toddler")

    said = make_draft(NAME, wearer).cautions

    assert [text.split(":")[0] for text in said] == [
        "Up to 7 years or 134 cm",
        "Buttons, hooks and eyes of a child's dress",
        "Not for sleep",
    ]
    assert make_draft(NAME, body("average")).cautions == ()


@pytest.mark.parametrize(
    ("choices", "field"),
    [
        ({"pleats": 12, "pleat_kind": "box"}, "pleats"),
        ({"skirt_length": 100}, "skirt_length"),
        ({"skirt_length": 1400}, "skirt_length"),
        ({"notch_width": 60, "lapel_width": 40}, "notch_width"),
        ({"lapel_width": 160}, "lapel_width"),
        ({"collar_width": "1000 mm"}, "collar_width"),
        ({"break_point": "knee"}, "break_point"),
        ({"pleats": 2.5}, "pleats"),
        ({"pleats": float("nan")}, "pleats"),
        ({"cape": True}, "cape"),
        ({"lapel_width": float("inf")}, "lapel_width"),
        ({"lapel_width": -3}, "lapel_width"),
    ],
)
def test_make_draft_refuses_choices_that_cannot_be(choices: dict[str, str | float], field: str) -> None:
    with pytest.raises(BadChoice) as refusal:
        make_draft(NAME, body("average"), choices)

    assert refusal.value.field == field


@pytest.mark.parametrize(
    ("changed", "field"),
    [
        ({"armscye_depth": 380}, "armscye_depth"),
        ({"shoulder_length": 42, "back_width": 240, "neck_base_girth": 690}, "shoulder_length"),
        ({"front_waist_length": 640, "back_waist_length": 370}, "front_waist_length"),
        ({"front_waist_length": 250, "back_waist_length": 370}, "front_waist_length"),
        ({"waist_girth": 330, "bust_girth": 1600}, "waist_girth"),
    ],
)
def test_make_draft_refuses_a_body_with_the_measurement_at_fault(
    changed: dict[str, float], field: str
) -> None:
    known = {"stature": 1629, "bust_girth": 907, "waist_girth": 725, "hip_girth": 967}

    with pytest.raises(CannotDraft) as refusal:
        make_draft(NAME, Body.of({**known, **changed}))

    assert refusal.value.field == field


def test_read_choices_fills_defaults_and_reads_lengths_in_the_workshops_unit() -> None:
    read = read_choices(NAME, {"collar_width": "2 3/4", "skirt_length": "60 cm", "pleats": "4"}, Unit.IN)

    assert round(float(read["collar_width"]), 6) == 69.85
    assert read["skirt_length"] == 600
    assert read["pleats"] == 4
    assert read["lapel_width"] == 0.0
    assert set(read) == {choice.name for choice in STYLES[NAME].choices}


def test_read_choices_refuses_an_unknown_style() -> None:
    with pytest.raises(BadChoice) as refusal:
        read_choices("toga", {}, Unit.MM)

    assert refusal.value.field == "style"


@pytest.mark.parametrize(
    ("overrides", "field"),
    [
        ({"bust_ease": 5000.0}, "bust_ease"),
        ({"bust_ease": float("nan")}, "bust_ease"),
        ({"magic": 1.0}, "magic"),
        ({"button_extension": 12.7, "button_diameter": 38.0}, "button_extension"),
    ],
)
def test_house_rules_refuses_values_outside_their_limits(overrides: dict[str, float], field: str) -> None:
    with pytest.raises(BadChoice) as refusal:
        house_rules(overrides)

    assert refusal.value.field == field


def test_house_rules_change_the_draft() -> None:
    wide = make_draft(NAME, body("average"), {}, {"collar_width": 76.2})

    assert round(wide.piece("front bodice").edge("collar back").length, 6) == 76.2


def test_choice_words_tell_each_choice() -> None:
    words = dict(
        choice_words(
            NAME, {"pleats": 4, "collar_width": 69.85, "break_point": "waist", "lapel_width": 0.0}, Unit.IN
        )
    )

    assert words["Pleats on each quarter"] == "4"
    assert words["Collar width at the back"] == "2 3/4 in"
    assert words["Where the lapel breaks"] == "just above the waist"
