from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.pattern import Draft, Method
from drafting.styles.choices import ChoiceValue

WOMAN = Body.of({"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0})
BABY = Body.of({"stature": 600.0, "bust_girth": 430.0, "waist_girth": 430.0, "hip_girth": 440.0})
INCH = 25.4


def drafted(body: Body = WOMAN, **choices: ChoiceValue) -> Draft:
    draft = make_draft("trousers", body, choices)
    assert [f"{check.name}: {check.value}" for check in draft.checks if not check.ok] == []
    return draft


def measured(draft: Draft, name: str) -> float:
    return next(row.garment for row in draft.finished if row.name == name)


def test_crotch_depth_is_the_body_rise_and_ease() -> None:
    given = Body.of(
        {"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0, "body_rise": 280.0}
    )

    assert measured(drafted(given), "crotch depth") == pytest.approx(280 + 0.75 * INCH)


def test_trousers_on_elastic_have_no_darts_and_no_zip() -> None:
    draft = drafted()

    assert draft.darts == ()
    assert [need.kind for need in draft.notions] == ["elastic"]


def test_trousers_on_a_waistband_are_fitted_by_darts() -> None:
    draft = drafted(closure="side zip")

    assert {dart.piece for dart in draft.darts} == {"trouser front", "trouser back"}
    assert Method.ZIP in {seam.method for seam in draft.seams}
    assert measured(draft, "waist") == pytest.approx(725 + 0.75 * INCH)


@pytest.mark.parametrize(("leg", "share"), [("straight", 0.22), ("tapered", 0.17), ("wide", 0.29)])
def test_leg_is_as_wide_at_the_hem_as_chosen(leg: str, share: float) -> None:
    # The hem is a little curved: the edge is longer than the width by less than 1 in 100.
    assert measured(drafted(leg=leg), "leg at the hem") == pytest.approx(2 * share * 967, rel=0.01)


def test_a_babys_leg_lets_its_foot_through() -> None:
    assert measured(drafted(BABY, leg="tapered"), "leg at the hem") >= 0.2 * 600


def test_trousers_that_end_in_the_crotch_are_refused() -> None:
    with pytest.raises(BadChoice, match="below the crotch") as refusal:
        make_draft("trousers", WOMAN, {"trouser_length": 300.0})

    assert refusal.value.field == "trouser_length"
