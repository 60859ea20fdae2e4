from __future__ import annotations

from dataclasses import replace
from math import isclose

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drafting.blocks.trousers import FORK, Leg, LegSizes, TopShape, draft_leg
from drafting.errors import CannotDraft
from drafting.geometry import dot

SIZES = LegSizes(257.5, 967.0, 148.0, 304.0, 600.0, 1015.0, 213.0, 164.0)
PLAIN = TopShape(0.0, 0.0, 0, 100.0)


def legs(waist: float, shape: TopShape, sizes: LegSizes = SIZES) -> tuple[Leg, Leg]:
    return draft_leg("front", waist, sizes, shape), draft_leg("back", waist, sizes, shape)


def test_legs_share_both_seams_line_for_line() -> None:
    front, back = legs(257.5, PLAIN)

    assert isclose(front.side.length, back.side.length, rel_tol=1e-9)
    assert isclose(front.inseam.length, back.inseam.length, rel_tol=1e-9)


def test_back_is_wider_than_the_front_by_its_fork() -> None:
    front, back = legs(257.5, PLAIN)
    wider = (FORK["back"] - FORK["front"]) * SIZES.hip_girth

    assert isclose(front.inseam.start.x - back.inseam.start.x, wider)
    assert isclose(front.hem.start.x - back.hem.start.x, wider)
    # Both hems together are the leg's girth.
    widths = sum(leg.hem.end.x - leg.hem.start.x for leg in (front, back))
    assert widths == pytest.approx(2 * SIZES.hem)


def test_back_waist_rises_at_the_centre() -> None:
    front, back = legs(257.5, PLAIN)

    assert front.centre.start.y == 0
    assert back.centre.start.y == pytest.approx(0.07 * 257.5)


@settings(deadline=None)
@given(st.floats(205, 225), st.integers(0, 2))
def test_leg_is_as_long_at_the_waist_as_its_band(waist: float, darts: int) -> None:
    drawn = legs(waist, TopShape(18.0, 10.0, darts, 100.0))

    for leg in drawn:
        assert isclose(sum(part.length for part in leg.waist), waist, abs_tol=1e-5)
        assert len(leg.darts) == darts
        assert abs(dot(leg.waist[0].start_tangent, leg.centre.start_tangent)) < 1e-6
        assert abs(dot(leg.waist[-1].end_tangent, leg.side.start_tangent)) < 1e-6


def test_hem_and_crotch_are_square_to_the_inside_leg() -> None:
    for leg in legs(257.5, PLAIN):
        assert abs(dot(leg.hem.start_tangent, leg.inseam.end_tangent)) < 1e-9
        assert abs(dot(leg.centre.end_tangent, leg.inseam.start_tangent)) < 1e-9


def test_shorts_end_above_the_knee() -> None:
    front, back = legs(257.5, PLAIN, replace(SIZES, length=420.0))

    assert front.hem.start.y == -420
    assert isclose(front.inseam.length, back.inseam.length, rel_tol=1e-9)


def test_a_crotch_at_the_hip_is_refused() -> None:
    with pytest.raises(CannotDraft, match="measure body rise") as refusal:
        draft_leg("front", 257.5, replace(SIZES, crotch_level=160.0), PLAIN)

    assert refusal.value.field == "body_rise"


def test_a_waist_that_no_dart_takes_in_is_refused() -> None:
    with pytest.raises(CannotDraft, match="choose elastic"):
        draft_leg("front", 120.0, SIZES, TopShape(18.0, 10.0, 1, 100.0))
