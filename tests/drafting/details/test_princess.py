"""The course of a princess line, by figures that can be reckoned by hand."""

from __future__ import annotations

from math import radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.details.princess import Lower, Turn, ease_over, eased_edges, edges, leaving
from drafting.geometry import Path, Point, distance, dot

DOWN = Point(0, -1)
TOP = (Point(100, 350), DOWN)
OVER, ABOUT = Point(90, 150), Point(115, 150)
LOWER = (Lower((Point(75, 0),), DOWN), Lower((Point(105, 0),), DOWN))
TURN = Turn(ABOUT, radians(-16))


def test_ease_over_is_the_chord_of_the_turn() -> None:
    """25 mm beside the pivot, turned by 16 degrees: 2 x 25 x sin 8 = 6.96."""
    assert ease_over(TURN, OVER) == pytest.approx(50 * sin(radians(8)))
    assert ease_over(TURN, ABOUT) == 0


def test_leaving_lies_between_square_and_straight() -> None:
    """From a level edge to a place at 60 degrees from the upright: 30 degrees."""
    edge = Path.line(Point(0, 100), Point(200, 100))

    direction = leaving(edge, 100.0, Point(100 + 173.205, 0))

    assert dot(direction, DOWN) == pytest.approx(0.866, abs=1e-3)


def test_edges_without_a_turn_are_alike_down_to_the_bust() -> None:
    inner, outer = edges(TOP, OVER, LOWER, None)

    assert inner.segments[0] == outer.segments[0]
    assert inner.end == Point(75, 0)
    assert outer.end == Point(105, 0)
    assert outer.length == pytest.approx(inner.length, abs=1e-6)


def test_edges_pass_the_bust_and_keep_their_end_directions() -> None:
    inner, outer = edges(TOP, OVER, LOWER, TURN)

    for path in (inner, outer):
        assert min(distance(point, OVER) for point in path.flatten(0.01)) < 0.1
        assert path.end_tangent == pytest.approx(DOWN)
    assert inner.start_tangent == pytest.approx(DOWN)
    assert outer.start_tangent == pytest.approx((-sin(radians(16)), -sin(radians(74))))
    assert distance(outer.start, ABOUT) == pytest.approx(distance(inner.start, ABOUT))


@given(st.floats(0, 12))
def test_eased_edges_ease_no_more_than_they_may(most: float) -> None:
    inner, outer = eased_edges(TOP, OVER.x, LOWER, TURN, most)

    assert -0.3 <= outer.length - inner.length <= most + 0.3


def test_the_outer_edge_passes_the_bust_half_way_between_its_two_directions() -> None:
    """Above it falls turned by 16 degrees, below upright: 8 at the bust."""
    _, outer = edges(TOP, OVER, LOWER, TURN)

    passing = next(part for part in outer.segments if distance(part.end, OVER) < 1e-9)
    assert passing.tangent_at(passing.length) == pytest.approx((-sin(radians(8)), -sin(radians(82))))


def test_eased_edges_pass_the_bust_point_where_the_ease_allows() -> None:
    inner, _ = eased_edges(TOP, OVER.x, LOWER, TURN, 50.0)

    assert inner.segments[0].end == OVER
