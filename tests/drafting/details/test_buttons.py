"""Where buttons sit, and how long their holes are."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.blocks.sketch import Sketch
from drafting.details.buttons import Button, Opening, mark_button, places
from drafting.geometry import Point
from drafting.house import least_extension
from drafting.pattern import MarkKind

BUTTON = Button(16.0, 3.0)


def test_hole_is_as_long_as_the_button_is_wide_and_thick() -> None:
    assert BUTTON.hole == 19.0


def test_extension_is_the_less_of_the_two_rules() -> None:
    assert least_extension(16.0) == 12.0  # 3/4 of it
    assert least_extension(32.0) == 22.35  # half of it + 1/4 in


def test_places_are_even_from_the_first_to_the_last() -> None:
    assert places(Opening(14.0, 314.0, 80.0), BUTTON) == [14.0, 89.0, 164.0, 239.0, 314.0]


def test_places_put_one_at_the_bust_and_go_on_at_that_distance() -> None:
    found = places(Opening(10.0, 330.0, 90.0, through=170.0), BUTTON)

    assert found == [10.0, 90.0, 170.0, 250.0, 330.0]


@pytest.mark.parametrize("through", [5.0, 20.0, 60.0, 101.0])
def test_places_are_not_crowded_for_a_bust_level_beside_the_first_button(through: float) -> None:
    assert places(Opening(10.0, 100.0, 90.0, through=through), BUTTON) == [10.0, 100.0]


def test_places_of_an_opening_too_short_for_two_is_one() -> None:
    assert places(Opening(14.0, 40.0, 80.0), BUTTON) == [14.0]


@given(st.floats(5, 40), st.floats(0, 900), st.floats(25.4, 127), st.one_of(st.none(), st.floats(0, 900)))
def test_places_stay_within_the_opening_and_their_spacing(
    first: float, more: float, spacing: float, through: float | None
) -> None:
    found = places(Opening(first, first + more, spacing, through), BUTTON)

    assert found[0] == first
    assert found[-1] <= first + more + 1e-6
    assert all(0 < b - a <= spacing + 1e-6 for a, b in pairwise(found))


def test_mark_button_sets_the_hole_a_little_beyond_the_centre() -> None:
    sketch = Sketch("front", [], (), (Point(0, 0), Point(0, 50)))

    mark_button(sketch, BUTTON, 120.0)

    hole, dot = sketch.marks
    assert (hole.kind, dot.kind) == (MarkKind.BUTTONHOLE, MarkKind.BUTTON)
    assert (hole.path.start, hole.path.end) == (Point(-3.0, 120.0), Point(16.0, 120.0))
    assert dot.path.point_at(1.5) == pytest.approx((0.0, 120.0))
