"""Belts: their lengths, what they need, and whom they are refused."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.details.belts import folded_strip
from drafting.errors import BadChoice, CannotDraft
from drafting.house import house_rules
from drafting.pattern import Cut, EdgeKind

ADULT = Body.of({"stature": 1640, "bust_girth": 900, "waist_girth": 720, "hip_girth": 960})
CHILD = Body.of({"stature": 1050, "bust_girth": 570, "waist_girth": 545, "hip_girth": 590})
HOUSE = house_rules()
SHELL = (Cut("shell", 1),)


def test_folded_strip_is_twice_its_width() -> None:
    piece = folded_strip("belt", 800.0, 38.0, HOUSE, SHELL, ends=EdgeKind.SEAM).piece()

    assert piece.edge("upper end").length == 76.0
    assert piece.edge("long edge left").length == piece.edge("long edge right").length == 800.0


def test_folded_strip_refuses_nothing() -> None:
    with pytest.raises(CannotDraft):
        folded_strip("belt", 0.0, 38.0, HOUSE, SHELL, ends=EdgeKind.SEAM)


def test_a_straight_belt_laps_over_the_waist_and_has_loops() -> None:
    """720 with 1 in of ease and an overlap of 5 in."""
    draft = make_draft("shift-dress", ADULT, {"belt": "straight"})

    assert draft.passed
    assert draft.piece("belt").edge("long edge left").length == pytest.approx(720 + 25.4 + 127)
    assert draft.piece("belt loop").cuts == (Cut("shell", 4),)
    assert [need.kind for need in draft.notions if "belt" in need.remark] == ["hook"]


def test_a_tied_belt_is_cut_in_halves() -> None:
    draft = make_draft("shift-dress", ADULT, {"belt": "tied", "belt_width": 60.0})

    assert draft.passed
    half = draft.piece("tie belt")
    assert half.edge("upper end").length == 120.0
    assert half.edge("long edge left").length == pytest.approx((720 + 25.4) / 2 + 500)


def test_a_childs_belt_is_not_tied() -> None:
    with pytest.raises(BadChoice, match="EN 14682") as refusal:
        make_draft("shift-dress", CHILD, {"belt": "tied"})

    assert refusal.value.field == "belt"
    assert make_draft("shift-dress", CHILD, {"belt": "straight"}).passed


def test_a_belt_goes_around_a_raised_seam() -> None:
    draft = make_draft("high-waist-dress", ADULT, {"belt": "straight"})

    seam = next(row.garment for row in draft.finished if row.name == "waist seam")
    assert draft.piece("belt").edge("long edge left").length == pytest.approx(seam + 127)
