"""The pieces of a sleeve and of what ends it."""

from __future__ import annotations

import pytest

from drafting.blocks.sleeve import draft_sleeve
from drafting.blocks.sleeve_cap import ArmholeSize, CapRule
from drafting.details.sleeves import (
    CuffSize,
    band_piece,
    cap_allowance,
    cuff_piece,
    sleeve_piece,
    slit_strip,
)
from drafting.geometry import distance
from drafting.house import house_rules
from drafting.pattern import Corner, EdgeKind, MarkKind

HOUSE = house_rules()
SLEEVE = draft_sleeve(ArmholeSize(205.0, 210.0, 105.0, 100.0), CapRule(30.0, 0.22, 0.38), 340.0, 560.0, 260.0)


def test_hemmed_sleeve_turns_its_corners_up() -> None:
    piece = sleeve_piece("sleeve", SLEEVE, HOUSE, hem=25.0).piece()

    hem = piece.edge("hem")
    assert (hem.kind, hem.allowance, hem.end_corner) == (EdgeKind.HEM, 25.0, Corner.TURNED)
    assert [(notch.edge, notch.count) for notch in piece.notches] == [("cap", 1), ("cap", 1), ("cap", 2)]
    assert piece.edge("underarm front").length == pytest.approx(piece.edge("underarm back").length)
    assert piece.grain[0].x == piece.grain[1].x == 0.0


def test_cap_allowance_is_never_more_than_5_8() -> None:
    assert cap_allowance(HOUSE) == HOUSE["seam_allowance"] == pytest.approx(0.625 * 25.4)
    assert cap_allowance({"seam_allowance": 38.1}) == pytest.approx(0.625 * 25.4)
    assert cap_allowance({"seam_allowance": 10.0}) == 10.0


def test_slit_parts_the_end_a_quarter_from_the_back() -> None:
    piece = sleeve_piece("sleeve", SLEEVE, HOUSE, hem=0.0, slit=75.0).piece()

    whole = SLEEVE.hem.length
    assert piece.edge("end back").length == pytest.approx(0.25 * whole)
    assert piece.edge("end front").length == pytest.approx(0.75 * whole)
    slit = next(mark for mark in piece.marks if mark.name == "slit")
    assert distance(slit.path.start, slit.path.end) == pytest.approx(75.0)
    assert slit.path.start.x < 0  # behind the grain


def test_sleeve_without_slit_has_one_end() -> None:
    piece = sleeve_piece("sleeve", SLEEVE, HOUSE, hem=0.0).piece()

    assert {edge.name for edge in piece.edges} == {"cap", "underarm front", "underarm back", "end"}
    assert not piece.marks


def test_cuff_closes_to_its_girth_and_its_hole_comes_to_lie_on_its_button() -> None:
    size = CuffSize(girth=190.0, depth=50.0, lap=22.0, button=12.0)

    piece = cuff_piece(size, HOUSE).piece()

    assert piece.edge("seam").length == piece.edge("inner").length == 190.0
    for outer in ("lap", "lap end", "end"):
        assert piece.edge(outer).length == piece.edge(f"{outer} inner").length
    marks = {mark.kind: mark.path for mark in piece.marks}
    button, hole = marks[MarkKind.BUTTON], marks[MarkKind.BUTTONHOLE]
    closed = button.start.x - size.girth
    assert hole.start.x < closed < hole.end.x
    assert hole.length == pytest.approx(12.0)
    assert button.point_at(button.length / 2).y == hole.start.y == 25.0
    assert {cut.cloth for cut in piece.cuts} == {"shell", "interfacing"}


def test_band_is_twice_its_depth() -> None:
    piece = band_piece(300.0, 25.0, HOUSE).piece()

    assert [piece.edge(name).length for name in ("seam", "end", "inner", "start")] == [300, 50, 300, 50]


def test_slit_strip_goes_up_one_side_and_down_the_other() -> None:
    piece = slit_strip(75.0, 6.0).piece()

    assert piece.edge("slit").length == 150.0
    assert piece.edge("end").length == 24.0
