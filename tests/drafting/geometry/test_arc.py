from __future__ import annotations

from math import isclose, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drafting.geometry import Point, arc, distance

ORIGIN = Point(0.0, 0.0)


def test_arc_of_a_quarter_turns_to_the_left() -> None:
    path = arc(ORIGIN, Point(100.0, 0.0), pi / 2)

    assert distance(path.end, Point(0, 100)) < 1e-9
    assert distance(path.start_tangent, Point(0, 1)) < 1e-9
    assert distance(path.end_tangent, Point(-1, 0)) < 1e-9
    assert isclose(path.length, 50 * pi, rel_tol=1e-5)


@settings(deadline=None)
@given(st.floats(0.01, 6.2), st.sampled_from([1, -1]))
def test_arc_stays_on_its_circle(angle: float, way: int) -> None:
    path = arc(ORIGIN, Point(300.0, 0.0), way * angle)

    assert isclose(path.length, 300 * angle, rel_tol=1e-5)
    assert all(abs(distance(p, ORIGIN) - 300) < 0.002 for p in path.flatten(0.01)[::5])


@pytest.mark.parametrize(("start", "angle"), [(ORIGIN, 1.0), (Point(10.0, 0.0), 0.0)])
def test_arc_refuses_what_has_no_length(start: Point, angle: float) -> None:
    with pytest.raises(ValueError, match="radius and an angle"):
        arc(ORIGIN, start, angle)
