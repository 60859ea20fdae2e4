"""Front and back in one piece: their widths, their sides, their lower edge, their darts."""

from __future__ import annotations

from math import isclose, radians, tan

import pytest

from drafting.blocks.bodice import proportions, waist_shaping
from drafting.blocks.hanging_side import Widths, hanging_side
from drafting.blocks.inner_darts import NO_SHAPING, flat_shaping, inner_darts
from drafting.blocks.one_piece import OnePiece, draft_one_piece
from drafting.blocks.widths import fitted_widths, flared_widths, loose_widths, semi_fitted_widths
from drafting.body import Body
from drafting.errors import CannotDraft
from drafting.geometry import Line, Point, dot, intersect
from drafting.house import house_rules

HOUSE = house_rules()
INCH = 25.4


def body(bust: float = 900.0, waist: float = 720.0, hip: float = 960.0, stature: float = 1640.0) -> Body:
    return Body.of({"stature": stature, "bust_girth": bust, "waist_girth": waist, "hip_girth": hip})


def sheath(wearer: Body, length: float = 600.0) -> OnePiece:
    p = proportions(wearer, HOUSE)
    shaping = waist_shaping(p, HOUSE)
    widths = fitted_widths(p, wearer, HOUSE, shaping)
    hip = wearer["waist_to_hip"]
    return draft_one_piece(p, HOUSE, widths, hip_level=hip, length=length, shaping=shaping)


def test_loose_widths_by_hand() -> None:
    """Bust 900 + 3 in and hip 960 + 4 in make quarters of 244.05 and 265.4."""
    wearer = body()
    p = proportions(wearer, HOUSE)

    widths = loose_widths(p, wearer, HOUSE)

    assert (widths.bust, widths.hip) == pytest.approx((244.05, 265.4))
    straight = 244.05 + (265.4 - 244.05) * p.bust_line / (p.bust_line + wearer["waist_to_hip"])
    assert widths.waist == pytest.approx(straight - 0.5 * INCH)
    assert loose_widths(p, wearer, HOUSE, shaped=False).waist == pytest.approx(straight)


def test_loose_widths_hang_from_what_is_widest_above() -> None:
    stout = body(bust=1300.0, waist=1400.0, hip=1250.0)
    widths = loose_widths(proportions(stout, HOUSE), stout, HOUSE)

    assert widths.waist == pytest.approx((1400.0 + 3 * INCH) / 4)
    assert widths.hip == widths.waist


def test_flared_widths_are_one_line_past_waist_and_hip() -> None:
    wearer = body()
    p = proportions(wearer, HOUSE)

    widths = flared_widths(p, wearer, HOUSE)

    assert widths.below_hip == widths.at_underarm == pytest.approx(tan(radians(9.0)))
    assert widths.waist - widths.bust == pytest.approx(widths.below_hip * p.bust_line)


def test_flared_widths_widen_the_bust_where_the_side_would_lean_too_far() -> None:
    stout = body(bust=1000.0, waist=1250.0, hip=1250.0)
    p = proportions(stout, HOUSE)

    widths = flared_widths(p, stout, HOUSE)

    assert widths.bust > (1000.0 + 3 * INCH) / 4
    assert widths.waist == pytest.approx((1250.0 + 3 * INCH) / 4)
    assert widths.below_hip <= tan(radians(22.0)) + 1e-9


def test_semi_fitted_widths_have_what_the_darts_take_in() -> None:
    wearer = body()
    loose = {**HOUSE, "bust_ease": HOUSE["loose_bust_ease"], "waist_ease": HOUSE["loose_waist_ease"]}
    p = proportions(wearer, loose)
    shaping = waist_shaping(p, loose)

    widths = semi_fitted_widths(p, wearer, loose, shaping)

    assert widths.waist - shaping.each * shaping.count == pytest.approx((720.0 + 3 * INCH) / 4)


@pytest.mark.parametrize("wearer", [body(), body(560.0, 540.0, 590.0, 1040.0), body(1300.0, 1350.0, 1320.0)])
def test_draft_one_piece_is_as_wide_as_asked(wearer: Body) -> None:
    piece = sheath(wearer)
    widths, hip = piece.widths, wearer["waist_to_hip"]

    for panel in (piece.front, piece.back):
        at_hip = intersect(panel.sides[-1], Line(Point(0.0, -hip), Point(2000.0, -hip)))
        assert at_hip[0].x == pytest.approx(widths.hip, abs=1e-3)
        assert panel.waist_side == pytest.approx((widths.waist, 0.0))
        assert panel.bust_side.x == pytest.approx(widths.bust)
        taken = sum(2 * dart.half for dart in panel.inner_darts)
        assert widths.waist - taken == pytest.approx(piece.net_waist)


@pytest.mark.parametrize("wearer", [body(), body(560.0, 540.0, 590.0, 1040.0), body(1300.0, 1350.0, 1320.0)])
def test_draft_one_piece_gives_front_and_back_one_side_and_a_square_lower_edge(wearer: Body) -> None:
    p = proportions(wearer, HOUSE)
    widths = flared_widths(p, wearer, HOUSE)

    piece = draft_one_piece(p, HOUSE, widths, hip_level=wearer["waist_to_hip"], length=420.0)

    lengths = [sum(side.length for side in panel.sides) for panel in (piece.front, piece.back)]
    assert lengths[0] == pytest.approx(lengths[1])
    for panel in (piece.front, piece.back):
        assert panel.lower.start == Point(0.0, -420.0)
        assert panel.lower.start_tangent == pytest.approx((1.0, 0.0))
        assert abs(dot(panel.lower.end_tangent, panel.sides[-1].end_tangent)) < 1e-9
        assert abs(dot(panel.armhole.end_tangent, panel.sides[0].start_tangent)) < 1e-9


def test_draft_one_piece_refuses_a_side_that_begins_in_the_armhole() -> None:
    wearer = body(bust=800.0)
    p = proportions(wearer, HOUSE)

    with pytest.raises(CannotDraft, match="inside the armhole"):
        draft_one_piece(p, HOUSE, Widths(165.0, 230.0, 240.0), hip_level=148.0, length=600.0)


def test_hanging_side_widens_later_where_the_allowance_would_fold() -> None:
    p = proportions(body(), HOUSE)
    widths = Widths(235.0, 215.0, 290.0, close=True)

    usual, wide = (hanging_side(p, widths, 148.0, 600.0, allowance)[1] for allowance in (10.0, 50.0))

    assert wide.p1.y < usual.p1.y
    with pytest.raises(CannotDraft) as refusal:
        hanging_side(p, widths, 148.0, 600.0, 150.0)
    assert refusal.value.field == "waist_girth"


def test_flat_shaping_shares_a_stubby_dart() -> None:
    """36 mm wide needs 60 mm of length; 50 mm long, two of 18 mm each lie flat."""
    p = proportions(body(), HOUSE)
    shaping = waist_shaping(p, HOUSE)
    assert shaping.count == 1
    assert 30.0 < shaping.each < 38.2

    shared = flat_shaping(p, shaping, (100.0, -50.0))

    assert shared.count == 2
    assert isclose(shared.each, shaping.each / 2)
    assert flat_shaping(p, shaping, (100.0, -100.0)) == shaping
    assert flat_shaping(p, NO_SHAPING, (100.0, -50.0)) == NO_SHAPING


def test_inner_darts_refuse_what_no_number_of_darts_makes_flat() -> None:
    p = proportions(body(), HOUSE)
    shaping = waist_shaping(p, HOUSE)

    with pytest.raises(CannotDraft) as refusal:
        inner_darts(p, p.bust_point, (100.0, -20.0), flat_shaping(p, shaping, (100.0, -20.0)))

    assert refusal.value.field == "waist_girth"
