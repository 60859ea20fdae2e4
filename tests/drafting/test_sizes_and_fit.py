"""Size tables that stand in for a wearer, and the fit notes that she keeps."""

from __future__ import annotations

from math import atan2, degrees

import pytest

from drafting import make_draft
from drafting.body import FIT_NOTES, SIZES, Body, questions, size_of
from drafting.body.sizes import WOMENS_BUST_EDGES_CM
from drafting.errors import BadMeasurement, CannotDraft
from drafting.geometry import distance
from drafting.output.contract import read_contract, to_contract
from drafting.pattern import Draft

WEARER = {"stature": 1680.0, "bust_girth": 920.0, "waist_girth": 760.0, "hip_girth": 1000.0}


def test_size_of_a_bust_of_92_lies_within_its_interval() -> None:
    # EN 13402-3: from 90 to 94 cm; waist and hip between the middles of S (70, 94) and M (78, 102).
    size = size_of("woman-92-168")

    assert (size.stature, size.bust, size.waist, size.hip) == (1680, 920, 760, 1000)


def test_sizes_hold_a_row_for_each_interval_and_height() -> None:
    womens = [size for size in SIZES.values() if size.age_years is None]

    assert len(womens) == 3 * (len(WOMENS_BUST_EDGES_CM) - 1)
    assert {size.bust / 10 for size in womens} >= {76.0, 100.0, 104.5, 128.0}


@pytest.mark.parametrize("name", SIZES)
def test_sizes_grow_and_are_no_unlikely_bodies(name: str) -> None:
    size = SIZES[name]
    measured = {
        "stature": size.stature,
        "bust_girth": size.bust,
        "waist_girth": size.waist,
        "hip_girth": size.hip,
    }

    # The table of heights by age that the questions ask begins at two years.
    age = size.age_years if size.age_years is None or size.age_years >= 2 else None
    assert questions(measured, age_years=age) == ()
    assert size.body()["bust_girth"] == size.bust
    assert not size.body().measure("neck_base_girth").given


def test_size_of_refuses_an_unknown_size() -> None:
    with pytest.raises(BadMeasurement, match="no size 'giant'") as refused:
        size_of("giant")

    assert refused.value.field == "size"


@pytest.mark.parametrize(
    ("notes", "field", "words"),
    [
        ({"hump": 3.0}, "hump", "no fit note"),
        ({"sway_back": float("nan")}, "sway_back", "give a number"),
        ({"sway_back": True}, "sway_back", "give a number"),
        ({"sway_back": 21.0}, "sway_back", "between 0 and 20 mm"),
        ({"shoulder_slope": -11.0}, "shoulder_slope", "between -10 and 10 degrees"),
    ],
)
def test_body_refuses_a_fit_note_that_cannot_be(notes: dict[str, float], field: str, words: str) -> None:
    with pytest.raises(BadMeasurement, match=words) as refused:
        Body.of(WEARER, fit=notes)

    assert refused.value.field == field


def test_body_without_a_note_has_0_of_it() -> None:
    body = Body.of(WEARER, fit={"sway_back": 0.0, "rounded_back": 10.0})

    assert dict(body.fit) == {"rounded_back": 10.0}
    assert body.fit_note("sway_back") == 0.0
    with pytest.raises(KeyError):
        body.fit_note("hump")


def test_contract_keeps_the_fit_notes() -> None:
    draft = make_draft("notched-collar-dress", Body.of(WEARER, fit={"rounded_back": 10.0}))

    assert read_contract(to_contract(draft)).body.fit == {"rounded_back": 10.0}


def test_contract_refuses_a_fit_note_that_nobody_knows() -> None:
    data = to_contract(make_draft("notched-collar-dress", Body.of(WEARER)))
    data["fit"] = {"hump": 3.0}

    with pytest.raises(Exception, match="hump, which is no fit note known here"):
        read_contract(data)


def test_every_note_has_limits_around_nothing() -> None:
    assert all(row.low <= 0 < row.high for row in FIT_NOTES.values())


def _drafted(**fit: float) -> Draft:
    return make_draft("notched-collar-dress", Body.of(WEARER, fit=fit))


def _centre_back(draft: Draft) -> float:
    return draft.piece("back bodice").edge("centre back").length


def test_a_rounded_back_is_longer_and_leaves_the_front_as_it_was() -> None:
    plain, rounded = _drafted(), _drafted(rounded_back=15.0)

    assert _centre_back(rounded) - _centre_back(plain) == pytest.approx(15.0)
    assert rounded.piece("front bodice").edge("side upper") == plain.piece("front bodice").edge("side upper")
    assert rounded.passed


def test_a_hollow_back_is_shorter_at_the_centre_only() -> None:
    plain, hollow = _drafted(), _drafted(sway_back=12.0)

    assert _centre_back(plain) - _centre_back(hollow) == pytest.approx(12.0)
    assert hollow.piece("back bodice").edge("side").length == plain.piece("back bodice").edge("side").length
    assert hollow.passed


def test_a_longer_front_makes_a_wider_bust_dart() -> None:
    def mouth(draft: Draft) -> float:
        darts = (dart for dart in draft.darts if "bust" in dart.name)
        return sum(distance(dart.start, dart.end) for dart in darts)

    plain, longer = _drafted(), _drafted(front_length=20.0)

    assert mouth(longer) > mouth(plain) + 15
    assert longer.passed


def test_square_shoulders_slope_less() -> None:
    def slope(draft: Draft) -> float:
        line = draft.piece("back bodice").edge("shoulder").path
        return degrees(atan2(abs(line.end.y - line.start.y), abs(line.end.x - line.start.x)))

    assert slope(_drafted()) == pytest.approx(20.0)
    assert slope(_drafted(shoulder_slope=-5.0)) == pytest.approx(15.0)


def test_a_deep_hollow_is_refused_where_no_dart_takes_it() -> None:
    toddler = {"stature": 850.0, "bust_girth": 500.0, "waist_girth": 490.0, "hip_girth": 510.0}

    with pytest.raises(CannotDraft, match="10 mm shorter at the centre, not 20 mm") as refused:
        make_draft("notched-collar-dress", Body.of(toddler, fit={"sway_back": 20.0}))

    assert refused.value.field == "sway_back"


@pytest.mark.parametrize(("lower", "side"), [(12.0, "left"), (-12.0, "right")])
def test_a_lower_shoulder_is_marked_with_its_armhole_on_pieces_cut_alike(lower: float, side: str) -> None:
    plain, uneven = _drafted(), _drafted(left_shoulder_lower=lower)

    for name in ("front bodice", "back bodice"):
        piece = uneven.piece(name)
        assert piece.edges == plain.piece(name).edges
        shoulder, armhole = (
            next(mark.path for mark in piece.marks if mark.name == f"{side} {line}")
            for line in ("shoulder", "armhole")
        )
        drawn = {edge.name: edge.path for edge in piece.edges}
        assert armhole.length == pytest.approx(drawn["armhole"].length)
        tip = max(shoulder.start, shoulder.end, key=lambda point: abs(point.x))
        # The lowered shoulder ends where the lowered armhole begins.
        assert min(distance(tip, armhole.start), distance(tip, armhole.end)) == pytest.approx(0.0, abs=1e-6)
    assert any(f"The {side} shoulder is 12 mm lower" in note for note in uneven.notes)
    assert uneven.passed


def test_a_higher_hip_is_told_with_its_side_and_amount() -> None:
    told = [note for note in _drafted(left_hip_higher=-15.0).notes if "right hip is 15 mm higher" in note]

    assert len(told) == 1
    assert "15 mm more above the skirt's waist" in told[0]
    without = make_draft("shift-dress", Body.of(WEARER, fit={"left_hip_higher": 15.0})).notes
    assert ["no waist seam" in note for note in without if "left hip is 15 mm higher" in note] == [True]
