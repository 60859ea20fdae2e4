"""Lines that fall: each value can be followed by hand."""

from __future__ import annotations

from math import atan, inf, isclose, radians, tan

import pytest

from drafting.blocks.falling import (
    even_slope,
    falling_curve,
    lean_at,
    parted_at,
    path_of,
    squarely_met,
    tightest_hollow,
)
from drafting.errors import CannotDraft
from drafting.geometry import Cubic, Line, Point

UPRIGHT = falling_curve(Point(100.0, 90.0), 0.0, Point(100.0, -60.0), 0.0)


def test_falling_curve_falls_evenly_and_keeps_its_slopes() -> None:
    curve = falling_curve(Point(100.0, 90.0), 0.0, Point(130.0, -60.0), 0.5)

    assert [curve.at(t).y for t in (0.0, 0.5, 1.0)] == pytest.approx([90.0, 15.0, -60.0])
    assert lean_at(curve, 0.0) == pytest.approx(0.0)
    assert lean_at(curve, 1.0) == pytest.approx(atan(0.5))


@pytest.mark.parametrize(
    ("before", "after", "expected"), [(1.0, 1.0, 1.0), (1.0, 3.0, 1.5), (-1.0, 2.0, 0.0), (0.0, 2.0, 0.0)]
)
def test_even_slope_is_the_harmonic_mean_or_level(before: float, after: float, expected: float) -> None:
    assert even_slope(before, after) == pytest.approx(expected)


def test_parted_at_parts_at_the_height_asked_for() -> None:
    above, below = parted_at([UPRIGHT], 40.0)

    assert above[-1].p3 == below[0].p0
    assert above[-1].p3.y == pytest.approx(40.0)
    assert parted_at([UPRIGHT], -60.0)[1] == []
    assert parted_at([UPRIGHT], 95.0)[0] == []


def test_squarely_met_is_level_on_an_upright_line() -> None:
    kept, slope = squarely_met([UPRIGHT], Point(0.0, 0.0), 0.0)

    assert kept[-1].p3 == pytest.approx((100.0, 0.0))
    assert slope == pytest.approx(0.0)


def test_squarely_met_rises_by_the_half_angle_on_a_leaning_line() -> None:
    """A line that leans 20 degrees outward is met tan 10 degrees of its distance higher."""
    lean = tan(radians(20.0))
    curve = falling_curve(Point(100.0, 100.0), lean, Point(100.0 + 200.0 * lean, -100.0), lean)

    kept, slope = squarely_met([curve], Point(0.0, -40.0), 0.0)

    foot = kept[-1].p3
    assert foot.y == pytest.approx(-40.0 + foot.x * tan(radians(10.0)))
    assert slope == pytest.approx(radians(20.0))


def test_squarely_met_refuses_a_line_that_ends_above() -> None:
    with pytest.raises(CannotDraft) as refusal:
        squarely_met([UPRIGHT], Point(0.0, -80.0), 0.0)

    assert refusal.value.field == "length"


def test_tightest_hollow_is_the_radius_of_a_circle_and_nothing_on_a_bulge() -> None:
    """A sixteenth of a circle of 100 mm, as a curve; its mirror image bulges."""
    handle = 100.0 * 4 / 3 * tan(radians(22.5) / 4)
    turn = radians(22.5)
    end = Point(100.0 * (1 - 0.9238795325112867), -100.0 * 0.3826834323650898)
    along = Point(tan(turn), -1.0) * (handle * 0.9238795325112867)
    hollow = Cubic(Point(0.0, 0.0), Point(0.0, -handle), end - along, end)
    bulging = hollow.mapped(lambda p: Point(-p.x, p.y))

    assert isclose(tightest_hollow(hollow), 100.0, rel_tol=1e-3)
    assert tightest_hollow(bulging) == inf
    assert tightest_hollow(UPRIGHT) == inf


def test_path_of_writes_straight_curves_as_lines() -> None:
    bent = falling_curve(Point(100.0, -60.0), 0.0, Point(120.0, -160.0), 0.4)

    segments = path_of([UPRIGHT, bent]).segments

    assert isinstance(segments[0], Line)
    assert segments[1] == bent
