"""A shawl, and a collar set on at the gorge, from the lines of a collar with lapels."""

from __future__ import annotations

from math import radians

import pytest

from drafting.details.collar import CollarSizes, notched_collar
from drafting.details.collars.lapel import folded_shawl, gorge, set_on, shawl
from drafting.geometry import Path, Point, angle_between, distance

SIZES = CollarSizes(extension=20.0, stand=19.0, width=70.0, slant=12.0, notch=32.0, lapel=76.0, gorge=70.0)
BREAK, NECK = Point(-20.0, 180.0), Point(70.0, 400.0)
COLLAR = notched_collar(BREAK, NECK, Point(0.94, -0.342), 80.0, SIZES)


def kink(path: Path) -> float:
    """The greatest corner between two segments, radians."""
    pairs = zip(path.segments, path.segments[1:], strict=False)
    return max(abs(angle_between(a.tangent_at(a.length), b.tangent_at(0.0))) for a, b in pairs)


def test_shawl_runs_evenly_from_the_centre_back_to_the_break() -> None:
    above, below = shawl(COLLAR)

    assert above.start == COLLAR.edge.start
    assert below.end == BREAK
    assert kink(above.joined(below)) < 1e-9
    assert above.start_tangent == pytest.approx(COLLAR.edge.start_tangent)


def test_shawl_is_as_wide_as_the_lapel_at_its_point() -> None:
    above, _ = shawl(COLLAR)

    assert above.end == COLLAR.lapel_point


def test_folded_shawl_lies_on_the_other_side_of_the_roll_line() -> None:
    along = COLLAR.roll_neck - BREAK

    sides = [angle_between(along, point - BREAK) for point in folded_shawl(COLLAR)[:-1]]
    assert max(sides) < 0


def test_gorge_leaves_the_neck_point_along_the_roll_and_ends_at_the_notch() -> None:
    line = gorge(COLLAR)

    assert (line.start, line.end) == (NECK, COLLAR.notch.end)
    assert angle_between(line.start_tangent, BREAK - COLLAR.roll_neck) == pytest.approx(0.0, abs=1e-9)
    assert kink(line) < 1e-9


def test_set_on_has_the_back_neck_and_the_gorge_as_its_neck_edge() -> None:
    leaf = set_on(COLLAR)

    assert leaf.neck.length == pytest.approx(80.0 + gorge(COLLAR).length, abs=1e-6)
    assert kink(leaf.neck) < radians(0.1)


def test_set_on_stands_upright_at_the_centre_back() -> None:
    leaf = set_on(COLLAR)

    assert leaf.back.start == pytest.approx((0.0, 0.0), abs=1e-9)
    assert leaf.back.end == pytest.approx((0.0, -70.0), abs=1e-6)
    assert abs(leaf.edge.start_tangent.y) < 1e-9


def test_set_on_closes_at_the_notch() -> None:
    leaf = set_on(COLLAR)

    assert distance(leaf.neck.end, leaf.end.start) < 1e-9
    assert distance(leaf.edge.end, leaf.end.end) < 1e-9
    assert leaf.end.length == pytest.approx(32.0)
