from __future__ import annotations

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.details.facing import faced_curve, front_inner_edge
from drafting.geometry import Path, Point, curve_through, dot


def test_faced_curve_goes_over_from_one_width_to_the_other() -> None:
    """Beside a straight edge of 100, from 10 wide to 20: 15 in the middle."""
    edge = Path.line(Point(0, 0), Point(100, 0))

    inner = faced_curve(edge, Point(0, -10), Point(100, -20), Point(1, 0), samples=4)

    middle = min(inner.flatten(0.01), key=lambda point: abs(point.x - 50))
    assert isclose(middle.y, -15, abs_tol=0.3)
    assert (inner.start, inner.end) == (Point(0, -10), Point(100, -20))


@given(st.floats(20, 60))
def test_faced_curve_keeps_its_width_beside_a_bent_edge(width: float) -> None:
    edge = curve_through([Point(0, 200), Point(-15, 90), Point(80, 0)], Point(0, -1), Point(1, 0))

    inner = faced_curve(edge, Point(-width, 200), Point(80, -width), Point(1, 0))

    outer = edge.flatten(0.05)
    for point in inner.flatten(0.5):
        nearest = min((point.x - q.x) ** 2 + (point.y - q.y) ** 2 for q in outer) ** 0.5
        assert abs(nearest - width) < 0.12 * width


def test_faced_curve_of_an_edge_without_length_is_refused() -> None:
    with pytest.raises(ValueError, match="direction"):
        faced_curve(Path.line(Point(0, 0), Point(0, 0)), Point(0, -10), Point(10, -10), Point(1, 0))


def test_front_inner_edge_is_square_to_shoulder_and_waist() -> None:
    inner = front_inner_edge(Point(110, 380), Point(0, -1), Point(70, 0), Point(0, -1))

    assert dot(inner.start_tangent, Point(1, 0)) == 0
    assert dot(inner.end_tangent, Point(1, 0)) == 0
    assert (inner.start, inner.end) == (Point(110, 380), Point(70, 0))
