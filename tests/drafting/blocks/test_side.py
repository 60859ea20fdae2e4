from __future__ import annotations

from math import isclose, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.blocks.side import Side, SideLevels, bust_turn, opened_side, shared_side
from drafting.errors import CannotDraft
from drafting.geometry import Cubic, Point, angle_between, distance
from drafting.house import house_rules

HOUSE = house_rules()
LEVELS = SideLevels(230.0, 230.0, 170.0, 125.0)
# A straight upright seam, so that everything can be worked by hand: 200 from the centre, 160 high.
UPRIGHT = Side(Cubic(Point(200, 160), Point(200, 120), Point(200, 40), Point(200, 0)), 0.0, 0.25)


def test_shared_side_is_upright_where_waist_and_bust_are_one() -> None:
    side = shared_side(LEVELS, 230.0, (), 0.0)

    assert side.lean == 0
    assert side.curve.p3 == Point(230, 0)
    assert isclose(side.curve.p0.x, 230, abs_tol=1e-9)


@given(st.floats(-60, 20), st.floats(90, 150))
def test_shared_side_is_a_quarter_wide_at_the_bust_line(wider: float, bust_line: float) -> None:
    """With a waist from 60 narrower than the bust on a quarter to 20 wider."""
    side = shared_side(SideLevels(230.0, 230.0 + wider, 170.0, bust_line), 230.0 + wider, (), 0.0)

    assert isclose(side.bust_side.x, 230, abs_tol=1e-6)
    assert (side.lean > 0) == (wider < 0) or abs(wider) < 1e-3
    assert side.curve.p3.y < side.bust_side.y < side.curve.p0.y


def test_shared_side_refuses_a_waist_that_it_cannot_reach() -> None:
    with pytest.raises(CannotDraft) as refusal:
        shared_side(SideLevels(150.0, 400.0, 120.0, 90.0), 400.0, (), 0.0)

    assert refusal.value.field == "waist_girth"


def test_bust_turn_raises_the_underarm_by_what_the_front_is_longer() -> None:
    turn = bust_turn(UPRIGHT, 100.0, 20.0, HOUSE)

    opened = opened_side(UPRIGHT, turn)

    assert isclose(opened.underarm.y, 180, abs_tol=1e-9)
    assert turn.count == 1
    assert turn.apex == Point(100, UPRIGHT.bust_side.y)


@given(st.floats(8, 60))
def test_opened_side_keeps_the_seam_and_makes_equal_legs(longer: float) -> None:
    turn = bust_turn(UPRIGHT, 90.0, longer, HOUSE)

    opened = opened_side(UPRIGHT, turn)

    assert isclose(sum(path.length for path in opened.sides), 160, rel_tol=1e-9)
    assert len(opened.darts) == turn.count == len(opened.sides) - 1
    for dart in opened.darts:
        assert isclose(distance(dart.apex, dart.upper), distance(dart.apex, dart.lower), rel_tol=1e-12)


def test_opened_side_shares_a_wide_dart_between_two() -> None:
    wide = bust_turn(UPRIGHT, 90.0, 55.0, HOUSE)
    single = bust_turn(UPRIGHT, 90.0, 55.0, {**HOUSE, "bust_dart_single": 76.2})

    opened, as_one = opened_side(UPRIGHT, wide), opened_side(UPRIGHT, single)

    assert (wide.count, single.count) == (2, 1)
    assert distance(opened.underarm, as_one.underarm) < 1e-9
    assert max(distance(dart.upper, dart.lower) for dart in opened.darts) <= HOUSE["bust_dart_single"]
    upper, lower = opened.darts
    assert distance(upper.apex, lower.apex) > 15  # two points on one spot would pucker


def test_opened_side_without_a_turn_is_the_seam_itself() -> None:
    opened = opened_side(UPRIGHT, None)

    assert opened.darts == ()
    assert opened.underarm == Point(200, 160)
    assert opened.arrival == Point(1, 0)


@pytest.mark.parametrize("longer", [100.0, 400.0])
def test_bust_turn_refuses_a_front_that_is_far_too_long(longer: float) -> None:
    with pytest.raises(CannotDraft) as refusal:
        bust_turn(UPRIGHT, 100.0, longer, HOUSE)

    assert refusal.value.field == "front_waist_length"


@pytest.mark.parametrize("longer", [30.0, 40.0, 52.0])
def test_opened_side_keeps_the_seam_straight_across_a_dart_that_is_drawn_back(longer: float) -> None:
    """The lower dart turns the seam by its own angle, the side was turned by half the whole."""
    turn = bust_turn(UPRIGHT, 95.0, longer, {**HOUSE, "bust_dart_greatest": 200.0, "bust_dart_single": 20.0})
    dart = opened_side(UPRIGHT, turn).darts[1]

    wide = abs(angle_between(dart.upper - dart.apex, dart.lower - dart.apex))

    assert turn.count == 2
    assert 0 <= wide - turn.angle / 2 < radians(2.6)
