from __future__ import annotations

from drafting.geometry import Path, Point
from drafting.geometry.rings import as_array, as_points, as_polygon, as_ring

SQUARE = [Point(0.0, 0.0), Point(4.0, 0.0), Point(4.0, 3.0), Point(0.0, 3.0)]


def test_points_go_into_rows_and_come_back() -> None:
    rows = as_array(SQUARE)

    assert rows.tolist() == [[0.0, 0.0], [4.0, 0.0], [4.0, 3.0], [0.0, 3.0]]
    assert as_points(rows) == SQUARE
    assert as_array([]).shape == (0, 2)


def test_a_ring_as_shapes() -> None:
    assert as_polygon(SQUARE).area == 12.0
    assert as_ring(SQUARE).length == 14.0
    assert as_ring(SQUARE).is_ccw


def test_flatten_gives_the_same_points_again_and_others_for_another_tolerance() -> None:
    curve = Path.cubic(Point(0.0, 0.0), Point(0.0, 50.0), Point(100.0, 50.0), Point(100.0, 0.0))

    fine, coarse = curve.flatten(0.01), curve.flatten(1.0)
    assert curve.flatten(0.01) is fine
    assert len(fine) > len(coarse)
    assert fine == tuple(curve.segments[0].flatten(0.01))
    assert curve.reversed().length == curve.length
