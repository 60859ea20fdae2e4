from __future__ import annotations

from math import isclose, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.blocks.waist import DartPlace, fitted, level_curve, root, side_height, waist_line
from drafting.errors import CannotDraft
from drafting.geometry import Point, dot, unit


def test_waist_line_without_darts_and_upright_side_is_straight() -> None:
    line = waist_line((), 0.0, Point(200.0, 0.0), 0.0)

    assert line.width == 200
    assert isclose(line.length, 200, rel_tol=1e-12)
    assert line.feet == ()


def test_waist_line_leaves_out_what_a_dart_takes_up() -> None:
    """A dart of 30 whose axis stands at 100: its feet lie at 85 and 115, on one height."""
    line = waist_line((DartPlace(100.0, 150.0),), 15.0, Point(220.0, 0.0), 0.0)

    ((inner, outer),) = line.feet
    assert (inner.x, outer.x) == (85, 115)
    assert inner.y == outer.y
    assert line.panels[0].start == Point(0, 0)
    assert line.panels[1].end == Point(220, 0)


@given(st.floats(60, 120), st.floats(80, 200), st.floats(4, 18))
def test_waist_line_is_square_to_the_legs_of_a_dart(axis: float, apex: float, half: float) -> None:
    line = waist_line((DartPlace(axis, apex),), half, Point(220.0, 0.0), 0.1)

    (inner, outer), point = line.feet[0], Point(axis, apex)
    assert abs(dot(line.panels[0].end_tangent, unit(point - inner))) < 1e-3
    assert abs(dot(line.panels[1].start_tangent, unit(point - outer))) < 1e-3


@given(st.floats(150, 200), st.floats(-0.1, 0.3))
def test_fitted_makes_the_waist_that_was_asked_for(target: float, lean: float) -> None:
    places = [DartPlace(90.0, 150.0)]
    side = Point(215.0, side_height(places, 15.0, 215.0, lean))

    line, half = fitted(places, target, side, lean)

    assert isclose(line.width, target, abs_tol=1e-6)
    assert 0 <= half <= 90


def test_fitted_refuses_a_waist_that_no_dart_makes() -> None:
    with pytest.raises(CannotDraft) as refusal:
        fitted([DartPlace(90.0, 150.0)], 20.0, Point(215.0, 0.0), 0.1)

    assert refusal.value.field == "waist_girth"


def test_fitted_refuses_a_dart_too_wide_for_its_length() -> None:
    """From 215 to 175: 40 wide under a point 50 high."""
    with pytest.raises(CannotDraft, match="mm wide and only") as refusal:
        fitted([DartPlace(90.0, 50.0)], 175.0, Point(215.0, 0.0), 0.0)

    assert refusal.value.field == "waist_girth"


def test_side_height_of_an_even_bend_is_half_the_lean() -> None:
    assert isclose(side_height((), 0.0, 200.0, 0.2), 200 * tan(-0.1))
    assert side_height((), 0.0, 200.0, 0.0) == 0


def test_level_curve_keeps_its_slopes() -> None:
    curve = level_curve(Point(0, 0), 0.0, Point(100, 10), 0.2)

    assert curve.start_tangent == Point(1, 0)
    assert isclose(curve.end_tangent.y / curve.end_tangent.x, tan(0.2))


def test_root_finds_where_a_falling_function_passes_nothing() -> None:
    assert isclose(root(lambda x: 8 - x**3, 0.0, 10.0), 2, abs_tol=1e-9)
    assert root(lambda _: 0.0, 1.0, 3.0) == 2  # flat: the middle
