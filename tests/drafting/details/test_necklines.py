"""The shapes of necklines, and how one is cut into a front or a back."""

from __future__ import annotations

from itertools import product
from math import cos, degrees, pi, radians, sin

import pytest

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.necklines import (
    BOAT,
    SCOOP,
    SHAPES,
    SQUARE,
    VEE,
    Half,
    NeckSize,
    back_neck,
    cut_neck,
    front_neck,
    house_size,
    lowest,
    opened,
    runs_on,
    shoulder_angle,
    widest,
)
from drafting.geometry import Path, Point, angle_between, distance
from drafting.pattern import EdgeKind

SLOPE = radians(20)
SHOULDER = Path.line(Point(70.0, 400.0), Point(70.0 + 130 * cos(SLOPE), 400.0 - 130 * sin(SLOPE)))
FRONT = Half(
    Path.cubic(Point(70.0, 400.0), Point(60.0, 370.0), Point(40.0, 330.0), Point(0.0, 330.0)), SHOULDER, 200.0
)
BACK = Half(
    Path.cubic(Point(70.0, 400.0), Point(65.0, 394.0), Point(35.0, 393.0), Point(0.0, 393.0)), SHOULDER, 210.0
)
NONE = NeckSize(0.0, 0.0, 0.0)


def test_widest_leaves_a_quarter_of_the_shoulder_seam() -> None:
    assert round(widest(FRONT), 6) == 97.5  # of 130


def test_widest_leaves_a_strap_of_15_mm_on_a_short_shoulder() -> None:
    short = Half(FRONT.neck, SHOULDER.split_at(40.0)[0], 200.0)

    assert round(widest(short), 6) == 25.0


def test_lowest_ends_at_the_armhole_line_and_is_never_less_than_nothing() -> None:
    assert lowest(FRONT) == 130.0
    assert lowest(Half(FRONT.neck, SHOULDER, 350.0)) == 0.0


def test_house_size_of_a_scoop_is_a_share_of_shoulder_and_neck() -> None:
    size = house_size(SCOOP, FRONT, BACK)

    assert (round(size.wider, 6), size.lower, size.back_lower) == (39.0, 70.0, 21.0)


def test_house_size_keeps_to_what_the_wearer_allows() -> None:
    high = Half(FRONT.neck, SHOULDER, 325.0)

    assert house_size(VEE, high, BACK).lower == 5.0


def test_opened_goes_from_the_size_towards_the_widest() -> None:
    size = NeckSize(10.0, 20.0, 0.0)

    assert opened(size, FRONT, BACK, 0.0) == size
    assert opened(size, FRONT, BACK, 1.0).wider == pytest.approx(0.95 * 97.5)


@pytest.mark.parametrize("shape", [shape for shape in SHAPES if shape != VEE])
def test_front_neck_is_square_to_the_centre(shape: str) -> None:
    neck = front_neck(shape, FRONT, house_size(shape, FRONT, BACK))

    assert neck.end.x == 0.0
    assert abs(neck.end_tangent.y) < 1e-9


def test_front_neck_of_a_v_is_one_straight_line() -> None:
    neck = front_neck(VEE, FRONT, NeckSize(0.0, 70.0, 0.0))

    assert neck.length == pytest.approx(distance(Point(70.0, 400.0), Point(0.0, 260.0)))


def test_front_neck_begins_on_the_shoulder_seam_where_it_is_wider() -> None:
    neck = front_neck(BOAT, FRONT, NeckSize(50.0, -10.0, 0.0))

    assert distance(neck.start, SHOULDER.point_at(50.0)) < 1e-9
    assert neck.end.y == 340.0


@pytest.mark.parametrize(("shape", "wider"), list(product(SHAPES, (0.0, 30.0, 90.0))))
def test_back_neck_carries_on_the_front_across_the_shoulder(shape: str, wider: float) -> None:
    size = NeckSize(wider, 60.0, 10.0)
    front = front_neck(shape, FRONT, size)
    angle = shoulder_angle(FRONT, front)

    back = back_neck(BACK, size, angle)

    on_back = abs(angle_between(SHOULDER.start_tangent, back.start_tangent))
    assert on_back == pytest.approx(pi - angle if runs_on(angle) else pi / 2, abs=1e-9)
    assert abs(back.end_tangent.y) < 1e-9


def test_back_neck_never_lies_higher_under_its_point_than_at_the_base() -> None:
    back = back_neck(BACK, NeckSize(90.0, 0.0, 0.0), pi / 2)

    assert back.start.y - back.end.y >= BACK.depth


def test_shoulder_angle_of_the_square_neck_leans_inward() -> None:
    neck = front_neck(SQUARE, FRONT, NONE)

    assert 66 < degrees(shoulder_angle(FRONT, neck)) < 80


def _sketch(*centre: Stroke) -> Sketch:
    foot = Point(200.0, 0.0)
    return Sketch(
        "front",
        [
            Stroke("hem", Path.line(Point(0.0, 0.0), foot)),
            Stroke("side", Path.line(foot, SHOULDER.end)),
            Stroke("shoulder", SHOULDER),
            Stroke("neck", FRONT.neck),
            *centre,
        ],
        (),
        (Point(10.0, 10.0), Point(10.0, 90.0)),
    )


def test_cut_neck_shortens_the_shoulder_and_lowers_the_centre() -> None:
    sketch = _sketch(Stroke("centre front", Path.line(Point(0.0, 330.0), Point(0.0, 0.0)), EdgeKind.FOLD))

    cut_neck(sketch, front_neck(SCOOP, FRONT, NeckSize(30.0, 50.0, 0.0)))

    assert sketch.path("shoulder").length == pytest.approx(100.0)
    assert sketch.path("centre front").start == Point(0.0, 280.0)
    assert sketch.path("side").end == SHOULDER.end
    sketch.piece()  # closes


def test_cut_neck_takes_the_button_stand_along() -> None:
    sketch = _sketch(
        Stroke("neck extension", Path.line(Point(0.0, 330.0), Point(-20.0, 330.0))),
        Stroke("front edge", Path.line(Point(-20.0, 330.0), Point(-20.0, 0.0))),
        Stroke("hem extension", Path.line(Point(-20.0, 0.0), Point(0.0, 0.0)), EdgeKind.HEM),
    )

    cut_neck(sketch, front_neck(SCOOP, FRONT, NeckSize(0.0, 50.0, 0.0)))

    assert sketch.path("neck extension").end == Point(-20.0, 280.0)
    assert sketch.path("front edge").length == 280.0
    sketch.piece()


def test_cut_neck_at_the_base_changes_the_neckline_alone() -> None:
    sketch = _sketch(Stroke("centre front", Path.line(Point(0.0, 330.0), Point(0.0, 0.0)), EdgeKind.FOLD))

    cut_neck(sketch, FRONT.neck)

    assert sketch.path("shoulder") == SHOULDER
    assert sketch.path("centre front").length == 330.0
