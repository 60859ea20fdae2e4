"""Bands, and what is made of them."""

from __future__ import annotations

from math import degrees, pi

import pytest

from drafting.details.collars.standing import arc, band, bend, pointed, shirt_stand
from drafting.geometry import Point, angle_between, distance


def test_bend_of_a_quarter_circle() -> None:
    assert bend(100 * pi / 2, 100.0) == pytest.approx(pi / 2, abs=1e-9)


def test_bend_without_a_rise_is_straight() -> None:
    assert bend(200.0, 0.0) == 0.0


@pytest.mark.parametrize("rise", [-30.0, -8.0, 0.0, 10.0, 25.4, 60.0])
def test_band_has_the_length_and_the_rise_asked_for(rise: float) -> None:
    leaf = band(180.0, 40.0, rise)

    assert leaf.neck.length == pytest.approx(180.0, abs=1e-3)
    assert leaf.neck.end.y == pytest.approx(rise, abs=0.05)
    assert leaf.back.length == pytest.approx(40.0, abs=1e-9)
    assert leaf.end.length == pytest.approx(40.0, abs=0.05)


def test_band_bent_upward_is_shorter_above() -> None:
    leaf = band(180.0, 40.0, 20.0)

    assert leaf.edge.length == pytest.approx(180.0 - 40.0 * bend(180.0, 20.0), abs=0.02)


def test_band_bent_downward_is_longer_above() -> None:
    assert band(180.0, 40.0, -20.0).edge.length > 185.0


def test_band_is_square_at_both_ends() -> None:
    leaf = band(180.0, 40.0, 20.0)

    for neck, line in (
        (leaf.neck.start_tangent, leaf.back.start_tangent),
        (leaf.neck.end_tangent, leaf.end.start_tangent),
    ):
        assert degrees(angle_between(neck, line)) == pytest.approx(90.0, abs=0.05)


def test_arc_begins_where_it_is_told() -> None:
    assert arc(Point(3.0, 4.0), 50.0, 0.3).start == pytest.approx((3.0, 4.0))


def test_pointed_keeps_the_neck_edge_and_lengthens_the_end() -> None:
    plain = band(180.0, 60.0, -5.0)

    leaf = pointed(plain, longer=10.0, outward=15.0)

    assert leaf.neck == plain.neck
    assert leaf.end.length == pytest.approx(distance(Point(0, 0), Point(15.0, 70.0)), abs=0.05)
    assert abs(leaf.edge.start_tangent.y) < 1e-9


def test_shirt_stand_ends_its_top_at_the_centre_front() -> None:
    leaf, top = shirt_stand(180.0, 20.0, 25.0, 10.0)

    assert leaf.neck.length == pytest.approx(200.0, abs=1e-3)
    across = top.end - leaf.neck.point_at(180.0)
    assert abs(angle_between(leaf.neck.tangent_at(180.0), across)) == pytest.approx(pi / 2, abs=0.01)
    assert leaf.end.end == top.end
