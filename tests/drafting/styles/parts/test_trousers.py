from __future__ import annotations

import pytest
import shapely

from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.pattern import Draft, EdgeKind, Method
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


CLOSED_BY_ZIP = ("fly", "side zip", "centre-back zip")


@pytest.mark.parametrize("closure", CLOSED_BY_ZIP)
@pytest.mark.parametrize("body", [WOMAN, BABY])
def test_every_zip_is_bought_as_long_as_its_opening(closure: str, body: Body) -> None:
    draft = drafted(body, closure=closure)
    (bought,) = (need for need in draft.notions if need.kind == "zip")
    (seam,) = (seam for seam in draft.seams if seam.method is Method.ZIP)

    assert draft.side_length(seam.a) == pytest.approx(bought.size_mm)


def test_a_fly_has_a_facing_on_the_right_and_a_shield_on_the_left() -> None:
    draft = drafted(closure="fly")
    front, facing, shield = (draft.piece(name) for name in ("trouser front", "fly facing", "fly shield"))
    opening = front.edge("centre front")

    assert opening.kind is EdgeKind.OPENING
    for edge in (facing.edge("fly front"), shield.edge("shield edge"), shield.edge("inner shield edge")):
        assert edge.length == pytest.approx(opening.length)
    assert facing.edge("fly top").length == pytest.approx(1.5 * INCH)
    assert [cut.count for cut in facing.cuts if cut.cloth == "shell"] == [1]
    assert shield.edge("shield top").length == pytest.approx(1.25 * INCH)  # the lap of the waistband


def test_a_fly_is_topstitched_where_it_is_marked_beside_the_opening() -> None:
    draft = drafted(closure="fly")
    front, facing = draft.piece("trouser front"), draft.piece("fly facing")
    line = next(mark.path for mark in front.marks if mark.name == "stitching of the fly")

    assert line.length == pytest.approx(facing.edge("fly edge").length)
    away = shapely.LineString(front.edge("centre front").path.flatten(0.05))
    apart = [shapely.distance(away, shapely.Point(p)) for p in line.flatten(1.0)]
    assert max(apart) == pytest.approx(1.5 * INCH, rel=0.04)
    assert apart.index(max(apart)) < 0.75 * len(apart)
    assert min(apart) == pytest.approx(0.0, abs=1e-6)


def test_the_crotch_seam_is_sewn_only_below_a_zip() -> None:
    draft = drafted(closure="fly")
    seam = next(seam for seam in draft.seams if seam.name == "crotch seam, front")

    assert [ref.edge for ref in seam.a] == ["centre front seam"]


@pytest.mark.parametrize(("waist", "at_side"), [(860.0, 0.35 * 53.6), (760.0, 32.0), (720.0, 40.0)])
def test_a_small_waist_on_a_wide_hip_is_taken_in_more_at_the_side(waist: float, at_side: float) -> None:
    """Of a quarter of what hip and waist differ with their ease, 35 in 100, 25 mm at most while darts do."""
    body = Body.of({"stature": 1650.0, "bust_girth": 900.0, "waist_girth": waist, "hip_girth": 1030.0})
    front = drafted(body, closure="fly").piece("trouser front")

    side = next(edge for edge in front.edges if edge.name.startswith("side"))
    top = max((side.path.start, side.path.end), key=lambda point: point.y)
    taken = max(abs(p.x) for p in side.path.flatten()) - abs(top.x)
    assert taken == pytest.approx(at_side, abs=0.5)


@pytest.mark.parametrize(("waist", "darts"), [(760.0, 1), (717.0, 2)])
def test_a_front_that_one_dart_does_not_take_in_has_two(waist: float, darts: int) -> None:
    body = Body.of({"stature": 1626.0, "bust_girth": 900.0, "waist_girth": waist, "hip_girth": 1084.0})
    draft = drafted(body, closure="fly")

    assert sum(dart.piece == "trouser front" for dart in draft.darts) == darts
    assert measured(draft, "waist") == pytest.approx(waist + 0.75 * INCH)
