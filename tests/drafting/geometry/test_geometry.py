"""The vector core against hand-worked cases and against libraries of others."""

from __future__ import annotations

from math import hypot, isclose, pi, sqrt

import pytest
import shapely
from fontTools.misc.bezierTools import calcCubicArcLength
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from drafting.geometry import (
    Cubic,
    Line,
    Path,
    Point,
    angle_between,
    cross,
    curve_through,
    distance,
    dot,
    intersect,
    lerp,
    line_meeting,
    mirrored,
    perpendicular,
    polygon_area,
    rotated,
    unit,
)

P = Point
COORDINATES = st.floats(-500, 500).map(lambda v: round(v, 3))
POINTS = st.builds(Point, COORDINATES, COORDINATES)
CUBICS = st.builds(Cubic, POINTS, POINTS, POINTS, POINTS)
QUARTER = 4 / 3 * (sqrt(2) - 1)  # handle length of the usual cubic for a quarter circle
ARC = Cubic(P(100, 0), P(100, 100 * QUARTER), P(100 * QUARTER, 100), P(0, 100))


def close(a: Point, b: Point, tolerance: float = 1e-6) -> bool:
    return distance(a, b) <= tolerance


def test_point_adds_and_scales_as_a_vector() -> None:
    assert P(1, 2) + P(3, 5) == P(4, 7)
    assert P(1, 2) - P(3, 5) == P(-2, -3)
    assert P(1, 2) * 3 == 3 * P(1, 2) == P(3, 6)
    assert -P(1, 2) == P(-1, -2)


def test_vector_helpers_give_hand_worked_values() -> None:
    assert dot(P(1, 2), P(3, 4)) == 11
    assert cross(P(1, 2), P(3, 4)) == -2
    assert unit(P(3, 4)) == P(0.6, 0.8)
    assert perpendicular(P(1, 0)) == P(0, 1)
    assert lerp(P(0, 0), P(10, 20), 0.25) == P(2.5, 5)
    assert close(rotated(P(2, 1), pi / 2, P(1, 1)), P(1, 2))
    assert close(mirrored(P(3, 0), P(0, 0), P(1, 1)), P(0, 3))
    assert isclose(angle_between(P(1, 0), P(0, -1)), -pi / 2)
    assert close(line_meeting(P(0, 0), P(1, 1), P(0, 4), P(1, -1)), P(2, 2))


def test_unit_refuses_a_vector_without_length() -> None:
    with pytest.raises(ValueError, match="no direction"):
        unit(P(0, 0))


def test_line_meeting_refuses_parallels() -> None:
    with pytest.raises(ValueError, match="parallel"):
        line_meeting(P(0, 0), P(1, 1), P(0, 1), P(2, 2))


@given(CUBICS)
def test_cubic_length_agrees_with_fonttools(curve: Cubic) -> None:
    theirs = calcCubicArcLength(curve.p0, curve.p1, curve.p2, curve.p3, tolerance=1e-7)

    assert isclose(curve.length, theirs, rel_tol=1e-6, abs_tol=1e-4)


@settings(deadline=None)
@given(CUBICS)
def test_cubic_flatten_stays_within_the_tolerance(curve: Cubic) -> None:
    polyline = shapely.LineString(curve.flatten(0.05))

    on_curve = shapely.points([curve.at(i / 997) for i in range(998)])
    assert shapely.distance(polyline, on_curve).max() <= 0.05


def test_cubic_length_of_a_straight_curve_is_its_chord() -> None:
    assert isclose(Cubic(P(0, 0), P(10, 0), P(20, 0), P(30, 0)).length, 30, rel_tol=1e-12)
    assert isclose(Cubic(P(0, 0), P(0, 0), P(30, 40), P(30, 40)).length, 50, rel_tol=1e-9)


def test_cubic_length_of_a_curve_that_runs_back_counts_both_ways() -> None:
    # x(t) = 3 t (1 - t) * 60 rises to 45 at t = 1/2 and returns.
    assert isclose(Cubic(P(0, 0), P(60, 0), P(60, 0), P(0, 0)).length, 90, rel_tol=1e-9)


def test_cubic_that_turns_back_is_measured_to_its_turn_and_back() -> None:
    """x = 2 - 6 t2 (1 - t): from 2 to 10/9 at t = 2/3 and back.

    y = 90 t (1 - t) (1 - 2 t) goes 15 / sqrt 3 up and down, and as far on the other side.
    """
    curve = Cubic(P(2, 0), P(2, 0), P(0, 0), P(2, 0))

    assert isclose(curve.length, 16 / 9, rel_tol=1e-10)
    assert isclose(curve.split_parameter(0.4434)[1].length, 16 / 9 - 6 * 0.4434**2 * 0.5566, rel_tol=1e-10)
    assert isclose(Cubic(P(0, 0), P(0, 30), P(0, -30), P(0, 0)).length, 60 / 3**0.5, rel_tol=1e-10)


def test_cubic_without_length_has_no_tangent() -> None:
    dot_like = Cubic(P(5, 5), P(5, 5), P(5, 5), P(5, 5))

    assert dot_like.length == 0
    assert dot_like.flatten() == (P(5, 5), P(5, 5))
    with pytest.raises(ValueError, match="no direction"):
        dot_like.tangent_at(0)


def test_cubic_tangent_with_handles_on_their_ends_is_the_limit() -> None:
    assert close(Cubic(P(0, 0), P(0, 0), P(0, 10), P(10, 10)).tangent_at(0), P(0, 1))
    curve = Cubic(P(0, 0), P(0, 10), P(10, 10), P(10, 10))
    assert close(curve.tangent_at(curve.length), P(1, 0))


@pytest.mark.parametrize(
    "points",
    [
        # All but stops where it turns back, and sets out so slowly that it nearly stands.
        (P(-103, -0.698), P(196, -0.071), P(-69, 0.001), P(-146, 2.25)),
        (P(260, -0.002), P(260, -0.029), P(-45, 0.013), P(-101, -0.024)),
        # A plain quarter turn.
        (P(0, 0), P(0, 110), P(90, 200), P(200, 200)),
    ],
)
def test_cubic_is_as_long_as_all_its_parts(points: tuple[P, P, P, P]) -> None:
    rest, parts = Cubic(*points), 0.0
    for count in range(64, 1, -1):
        part, rest = rest.split_parameter(1 / count)
        parts += part.length

    assert isclose(Cubic(*points).length, parts + rest.length, rel_tol=1e-9)


@given(CUBICS, st.floats(0.02, 0.98))
def test_path_along_finds_a_place_of_its_own(curve: Cubic, share: float) -> None:
    path = Path((Line(curve.p0 - P(30, 40), curve.p0), curve))
    assume(curve.length > 1)
    place = share * path.length

    assert close(path.point_at(path.along(path.point_at(place))), path.point_at(place))


def test_path_along_takes_what_is_nearest_to_a_point_beside_it() -> None:
    path = Path.polyline([P(0, 0), P(100, 0), P(100, 50)])

    assert path.along(P(40, 7)) == 40
    assert path.along(P(130, 20)) == 120
    assert path.along(P(-5, 5)) == 0


def test_swept_is_the_area_of_a_ring() -> None:
    ring = Path.polyline([P(30, 10), P(70, 10), P(70, 40), P(30, 40), P(30, 10)])
    hill = Path((Cubic(P(0, 0), P(10, 60), P(90, 60), P(100, 0)), Line(P(100, 0), P(0, 0))))

    assert ring.swept == 1200
    assert hill.reversed().swept == -hill.swept
    assert isclose(-hill.swept, polygon_area(hill.reversed().flatten(1e-6)), rel_tol=1e-6)


def test_moved_path_is_exactly_as_long() -> None:
    curve = Path.cubic(P(0, 0), P(10, 90), P(60, 120), P(150, 130))

    # Measured where it has come to lie it differs in the last digit.
    assert curve.mapped(lambda p: rotated(p, 0.6, P(3, 4))).length != curve.length
    assert curve.rotated(0.6, P(3, 4)).length == curve.length


@settings(deadline=None)
@given(CUBICS, st.floats(0.02, 0.98))
def test_cubic_split_adds_up(curve: Cubic, share: float) -> None:
    assume(curve.length > 1)
    s = curve.length * share

    head, tail = curve.split_at(s)

    assert isclose(head.length, s, rel_tol=1e-6, abs_tol=1e-6)
    assert isclose(head.length + tail.length, curve.length, rel_tol=1e-8)
    assert head.end == tail.start
    assert close(head.end, curve.point_at(s), 1e-5)


@pytest.mark.parametrize("s", [-1.0, 201.0, float("nan")])
def test_line_point_at_refuses_a_length_that_is_not_on_it(s: float) -> None:
    with pytest.raises(ValueError, match="not on a line"):
        Line(P(0, 0), P(200, 0)).point_at(s)


def test_flatten_refuses_a_tolerance_of_nothing() -> None:
    with pytest.raises(ValueError, match="not positive"):
        ARC.flatten(0)


def test_path_walks_across_its_segments() -> None:
    path = Path((Line(P(200, 0), P(100, 0)), Line(P(100, 0), P(100, 50))))

    assert path.length == 150
    assert path.point_at(120) == P(100, 20)
    assert path.tangent_at(100) == P(-1, 0)
    assert path.start_tangent == P(-1, 0)
    assert path.end_tangent == P(0, 1)
    assert path.reversed().point_at(30) == P(100, 20)
    assert path.split_at(100) == (Path.line(P(200, 0), P(100, 0)), Path.line(P(100, 0), P(100, 50)))
    assert path.split_at(120)[1] == Path.line(P(100, 20), P(100, 50))


def test_path_moves_keep_its_length() -> None:
    path = Path((Line(P(200, 0), P(100, 0)), ARC))

    assert isclose(path.rotated(0.7, P(3, 4)).length, path.length)
    assert isclose(path.mirrored(P(3, 4), P(5, -6)).length, path.length)
    assert path.translated(1, 2).start == P(201, 2)
    assert path.joined(Path.line(P(0, 100), P(0, 0))).end == P(0, 0)


def test_path_refuses_a_gap() -> None:
    with pytest.raises(ValueError, match="gap of 1 mm"):
        Path((Line(P(0, 0), P(1, 0)), Line(P(2, 0), P(3, 0))))
    with pytest.raises(ValueError, match="at least one"):
        Path(())


@pytest.mark.parametrize("s", [0.0, 150.0, -3.0, 1e9])
def test_path_split_refuses_a_part_without_length(s: float) -> None:
    with pytest.raises(ValueError, match="cannot be split"):
        Path.polyline((P(0, 0), P(100, 0), P(100, 50))).split_at(s)


def test_polygon_area_is_signed() -> None:
    square = [P(0, 0), P(10, 0), P(10, 10), P(0, 10)]

    assert polygon_area(square) == 100
    assert polygon_area([*square, square[0]]) == 100
    assert polygon_area(square[::-1]) == -100
    assert polygon_area(square[:2]) == 0


@given(st.lists(POINTS, min_size=3, max_size=12))
def test_polygon_area_agrees_with_shapely(points: list[Point]) -> None:
    ring = shapely.LinearRing(points)
    theirs = abs(
        sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring.coords, ring.coords[1:], strict=False)) / 2
    )
    assert isclose(abs(polygon_area(points)), theirs, rel_tol=1e-6, abs_tol=1e-3)
    if shapely.Polygon(points).is_valid:
        assert isclose(abs(polygon_area(points)), shapely.Polygon(points).area, rel_tol=1e-6, abs_tol=1e-3)


def test_curve_through_passes_its_points_with_even_curvature() -> None:
    points = [P(0, 0), P(60, 40), P(120, 30), P(150, -40)]

    curve = curve_through(points, start_tangent=P(0, 5), end_tangent=P(1, -1))

    assert [segment.start for segment in curve.segments] == points[:-1]
    assert curve.end == points[-1]
    assert close(curve.start_tangent, P(0, 1))
    assert close(curve.end_tangent, unit(P(1, -1)))
    for before, after in zip(curve.segments, curve.segments[1:], strict=False):
        assert isinstance(before, Cubic)
        assert isinstance(after, Cubic)
        h, k = distance(before.p0, before.p3), distance(after.p0, after.p3)
        assert close(before.derivative(1) * (1 / h), after.derivative(0) * (1 / k))
        bend_before = (before.p1 - before.p2 * 2 + before.p3) * (6 / h**2)
        bend_after = (after.p0 - after.p1 * 2 + after.p2) * (6 / k**2)
        assert close(bend_before, bend_after)


def test_curve_through_two_points_is_a_straight_line() -> None:
    curve = curve_through([P(0, 0), P(30, 40)])

    assert isclose(curve.length, 50)
    assert close(curve.point_at(25), P(15, 20))


def test_curve_through_follows_a_circle() -> None:
    circle = [P(100 * hypot(1, 0), 0.0), rotated(P(100, 0), pi / 4, P(0, 0)), P(0, 100)]

    curve = curve_through(circle, P(0, 1), P(-1, 0))

    assert isclose(curve.length, 50 * pi, rel_tol=5e-3)


def test_curve_through_refuses_what_is_no_curve() -> None:
    with pytest.raises(ValueError, match="at least two"):
        curve_through([P(0, 0)])
    with pytest.raises(ValueError, match="same point twice"):
        curve_through([P(0, 0), P(0, 0), P(1, 1)])


def test_intersect_lines() -> None:
    cross_path = Path.polyline([P(0, 0), P(10, 10), P(20, 0)])

    assert intersect(cross_path, Line(P(0, 5), P(20, 5))) == [P(5, 5), P(15, 5)]
    assert intersect(cross_path, Path.line(P(0, 10), P(20, 10))) == [P(10, 10)]  # a joint, once
    assert intersect(cross_path, Line(P(0, 11), P(20, 11))) == []
    assert intersect(Path.line(P(0, 0), P(5, 0)), Line(P(1, 0), P(3, 0))) == []  # on one another


def test_intersect_curve_with_line_finds_the_circle() -> None:
    found = intersect(Path((ARC,)), Line(P(0, 0), P(200, 200)))

    assert len(found) == 1
    assert close(found[0], P(sqrt(0.5) * 100, sqrt(0.5) * 100), 1e-6)


@given(CUBICS, POINTS, POINTS)
def test_intersect_curve_with_line_lies_on_both(curve: Cubic, a: Point, b: Point) -> None:
    assume(distance(a, b) > 1)
    line = Line(a, b)

    found = intersect(Path((curve,)), line)

    chords = shapely.LineString(curve.flatten(1e-3))
    for point in found:
        assert chords.distance(shapely.Point(point)) <= 2e-3
        assert shapely.LineString([a, b]).distance(shapely.Point(point)) <= 1e-4


def test_intersect_curves_meet_at_hand_worked_points() -> None:
    # The parabolas y = x(100 - x)/100 and its mirror image over y = 12.5 meet where y = 12.5.
    up = Cubic(P(0, 0), P(100 / 3, 100 / 3), P(200 / 3, 100 / 3), P(100, 0))
    down = up.mapped(lambda p: P(p.x, 25 - p.y))
    x = 50 - sqrt(2500 - 1250)

    found = intersect(Path((up,)), Path((down,)))

    assert len(found) == 2
    assert close(found[0], P(x, 12.5), 1e-5)
    assert close(found[1], P(100 - x, 12.5), 1e-5)
