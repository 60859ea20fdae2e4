"""Collars with lapels on a buttoned front: set on, grown on, and a shawl."""

from __future__ import annotations

import pytest

from drafting.errors import BadChoice, CannotDraft
from drafting.pattern import Draft, Method
from drafting.styles.coat_dress import STYLE
from drafting.truing.collars import beside_it, lapel_overhang
from tests.drafting.styles.parts.dressed import BODIES, drafted, failed, sampled

KINDS = ("set-on notched", "notched", "shawl")
STAND_APART = {"collar": "set-on notched", "collar_stand_cut": "cut apart"}


def length(draft: Draft, piece: str, edge: str) -> float:
    return draft.piece(piece).edge(edge).length


def test_any_wearer_has_a_right_coat_dress_or_a_cause() -> None:
    drawn = 0
    for body, choices in sampled(STYLE, 5, 45):
        try:
            draft = drafted(choices, body, STYLE)
        except (BadChoice, CannotDraft):
            continue
        drawn += 1
        assert failed(draft) == [], (body, choices)
    assert drawn >= 22


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("body", BODIES)
@pytest.mark.parametrize("at", ["armhole line", "waist"])
def test_every_lapel_is_drawn_for_every_wearer(kind: str, body: str, at: str) -> None:
    draft = drafted({"collar": kind, "break_point": at, "sleeve": "none"}, body, STYLE)

    assert failed(draft) == []
    assert len(draft.roll_lines) == 1


def test_a_set_on_collar_is_sewn_to_back_neck_and_gorge() -> None:
    draft = drafted({"collar": "set-on notched"}, style=STYLE)

    neckline = length(draft, "back bodice", "neck") + length(draft, "front bodice", "neck")
    for piece in ("collar", "under-collar"):
        assert length(draft, piece, "collar neck") == pytest.approx(neckline, abs=1e-6)
    checked = {row.name for row in draft.checks}
    assert "collar on its neckline: under-collar to the neckline" in checked
    assert "collar on its neckline: collar to the facings" in checked


def test_a_shawl_has_no_notch_and_needs_no_collar_piece() -> None:
    draft = drafted({"collar": "shawl"}, style=STYLE)

    edges = {edge.name for edge in draft.piece("front bodice").edges}
    assert "collar notch" not in edges
    assert "collar" not in {piece.name for piece in draft.pieces}
    assert {seam.method for seam in draft.seams if seam.name == "lapel edge"} == {Method.ENCLOSED}


def test_a_shawl_asks_nothing_of_the_notch() -> None:
    narrow = {"lapel_width": 30.0, "notch_width": 55.0}

    assert failed(drafted({"collar": "shawl", **narrow}, style=STYLE)) == []
    with pytest.raises(BadChoice, match="a notch of 55 mm") as refusal:
        drafted({"collar": "notched", **narrow}, style=STYLE)
    assert refusal.value.field == "notch_width"


@pytest.mark.parametrize("kind", KINDS)
def test_a_lapel_wider_than_its_front_is_refused(kind: str) -> None:
    with pytest.raises(BadChoice, match="mm narrower, or a lower break") as refusal:
        drafted({"collar": kind, "lapel_width": 160.0}, style=STYLE)

    assert refusal.value.field == "lapel_width"


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("top", ["shoulder", "armhole"])
def test_lapels_go_with_princess_lines(kind: str, top: str) -> None:
    draft = drafted({"collar": kind, "princess": top}, style=STYLE)

    assert failed(draft) == []
    assert {line.piece for line in draft.roll_lines} == {"centre front"}
    assert {"centre front", "side front"} <= {piece.name for piece in draft.pieces}


def test_a_lapel_may_lie_over_the_princess_seam_but_not_beyond_the_front() -> None:
    """It is measured on both panels as they are sewn; the narrow centre panel alone would not hold it."""
    draft = drafted({"collar": "shawl", "princess": "shoulder", "break_point": "waist"}, "child", STYLE)
    (line,) = draft.roll_lines
    centre = draft.piece("centre front")

    assert lapel_overhang(centre, line) > 0.5
    assert lapel_overhang(centre, line, beside_it(draft, centre)) < 0.5


@pytest.mark.parametrize("body", BODIES)
def test_a_stand_cut_apart_is_sewn_to_its_fall_in_both_layers(body: str) -> None:
    draft = drafted({**STAND_APART, "sleeve": "none"}, body, STYLE)

    assert failed(draft) == []
    checked = {row.name for row in draft.checks}
    for layer in ("collar", "under-collar"):
        stand = draft.piece(f"{layer} stand")
        assert length(draft, layer, "stand seam") == pytest.approx(stand.edge("stand seam").length, abs=1e-4)
        assert stand.edge("stand seam").length < stand.edge("collar neck").length
        assert f"seam: {layer} to its stand" in checked
        assert f"line runs on: neck edge of the {layer} over its stand" in checked
    assert {cut.cloth for cut in draft.piece("under-collar stand").cuts} == {"shell", "interfacing"}


def test_a_stand_cut_apart_and_its_fall_fit_the_neckline_together() -> None:
    draft = drafted(STAND_APART, style=STYLE)

    neckline = length(draft, "back bodice", "neck") + length(draft, "front bodice", "neck")
    layers = ("under-collar stand", "under-collar")
    together = sum(length(draft, layer, "collar neck") for layer in layers)
    assert together == pytest.approx(neckline, abs=0.2)
    assert "collar on its neckline: under-collar to the neckline" in {row.name for row in draft.checks}


def test_a_stand_cut_apart_goes_with_a_set_on_collar_only() -> None:
    draft = drafted({"collar": "shawl", "collar_stand_cut": "cut apart"}, style=STYLE)

    assert not any("stand" in piece.name for piece in draft.pieces)


def test_any_wearer_has_a_stand_cut_apart_or_a_cause() -> None:
    drawn = 0
    for body, choices in sampled(STYLE, 11, 50):
        wished = {**choices, **STAND_APART}
        try:
            draft = drafted(wished, body, STYLE)
        except (BadChoice, CannotDraft):
            continue
        drawn += 1
        assert failed(draft) == [], (body, wished)
    assert drawn >= 25
