"""A flat collar traced from front and back."""

from __future__ import annotations

import pytest

from drafting.details.collars.flat import flat_collar, laid_together, smoothed
from drafting.geometry import Path, Point, distance
from tests.drafting.details.test_necklines import BACK, FRONT, SHOULDER


def laid(overlap: float) -> tuple[Path, Point]:
    return laid_together(BACK.neck, SHOULDER, FRONT.neck, SHOULDER, overlap)


def test_laid_together_is_as_long_as_both_necklines() -> None:
    neck, _ = laid(19.0)

    assert neck.length == pytest.approx(BACK.neck.length + FRONT.neck.length, abs=1e-6)
    assert neck.start == BACK.neck.end


def test_laid_together_without_overlap_mirrors_the_front_over_the_shoulder() -> None:
    neck, down = laid(0.0)

    # The centre front lies as far from the shoulder line as before, on its other side.
    a, b = SHOULDER.start, SHOULDER.end
    across = Point(-(b - a).y, (b - a).x)
    beside = (neck.end - a).x * across.x + (neck.end - a).y * across.y
    before = (FRONT.neck.end - a).x * across.x + (FRONT.neck.end - a).y * across.y
    assert beside == pytest.approx(-before)
    assert distance(down, Point(0.0, 0.0)) == pytest.approx(1.0)


def test_laid_together_overlaps_the_shoulders_by_what_is_said() -> None:
    straight, _ = laid(0.0)
    lapped, _ = laid(20.0)

    # Every point of the front turns about the neck point by overlap / shoulder: so does its centre.
    moved = distance(straight.end, lapped.end) / distance(straight.end, SHOULDER.start)
    assert moved == pytest.approx(20.0 / 130.0, rel=0.01)


@pytest.mark.parametrize("overlap", [0.0, 19.0, 50.0])
def test_smoothed_has_the_necklines_length_and_no_corner(overlap: float) -> None:
    rough, _ = laid(overlap)

    neck = smoothed(rough, BACK.neck.length)

    assert neck.length == pytest.approx(rough.length, abs=1e-6)
    assert abs(neck.start_tangent.y) < 1e-9
    assert distance(neck.end, rough.end) < 2.5


@pytest.mark.parametrize(("rounded", "widest"), [(True, 61.5), (False, 65.0)])
def test_flat_collar_is_even_and_begins_at_the_centre(rounded: bool, widest: float) -> None:
    rough, down = laid(19.0)
    neck = smoothed(rough, BACK.neck.length)

    leaf = flat_collar(neck, down, 60.0, rounded=rounded)

    assert leaf.back.length == 60.0
    assert leaf.back.end == Point(0.0, neck.start.y - 60.0)
    assert leaf.end.start == neck.end
    assert distance(leaf.edge.end, leaf.end.end) < 1e-9
    middle = leaf.edge.point_at(0.4 * leaf.edge.length)
    # A pointed one widens towards its point.
    assert 58.5 <= min(distance(middle, q) for q in neck.flatten()) <= widest


def test_flat_collar_rolls_more_the_more_it_overlaps() -> None:
    edges = []
    for overlap in (0.0, 40.0):
        rough, down = laid(overlap)
        edges.append(flat_collar(smoothed(rough, BACK.neck.length), down, 60.0, rounded=True).edge.length)

    assert edges[1] < edges[0] - 10
