"""Facings and strips that finish a neckline."""

from __future__ import annotations

from math import degrees

import pytest

from drafting.blocks.sketch import Stroke
from drafting.details.neck_facings import (
    Allowances,
    Joined,
    back_faced,
    bias_strip,
    buttoned_inner,
    faced_shoulder,
    front_faced,
    neck_facing,
)
from drafting.details.necklines import ROUND, SQUARE, VEE, NeckSize, front_neck
from drafting.geometry import Path, Point, angle_between, distance
from drafting.pattern import Cut, EdgeKind
from tests.drafting.details.test_necklines import BACK, FRONT, SHOULDER

WIDTHS = Allowances(15.0, 6.0, 6.0)


def test_faced_shoulder_leaves_more_than_half_of_a_short_seam() -> None:
    assert faced_shoulder(SHOULDER, 50.0) == 50.0
    assert faced_shoulder(SHOULDER.split_at(60.0)[0], 50.0) == pytest.approx(27.0)


@pytest.mark.parametrize("shape", [ROUND, VEE, SQUARE])
def test_front_faced_is_square_to_the_shoulder_and_as_wide_as_asked(shape: str) -> None:
    neck = front_neck(shape, FRONT, NeckSize(0.0, 40.0, 0.0))

    faced = front_faced(neck, SHOULDER, 50.0, on_shoulder=45.0)

    turn = degrees(abs(angle_between(SHOULDER.start_tangent, faced.inner.start_tangent)))
    assert turn == pytest.approx(90.0, abs=1e-6)
    assert faced.inner.end == Point(0.0, neck.end.y - 50.0)
    assert faced.shoulder.length == pytest.approx(45.0)


def test_front_faced_keeps_its_width_along_a_round_neckline() -> None:
    neck = front_neck(ROUND, FRONT, NeckSize(0.0, 0.0, 0.0))

    faced = front_faced(neck, SHOULDER, 50.0, on_shoulder=50.0)

    between = [min(distance(p, q) for q in neck.flatten()) for p in faced.inner.flatten(1.0)]
    assert min(between) > 47
    assert max(between) < 53


def test_front_faced_goes_round_the_corner_of_a_deep_square_neckline() -> None:
    neck = front_neck(SQUARE, FRONT, NeckSize(0.0, 120.0, 0.0))

    faced = front_faced(neck, SHOULDER, 20.0, on_shoulder=12.0)

    assert min(distance(p, q) for p in faced.inner.flatten(0.1) for q in neck.flatten(0.1)) > 9
    assert abs(faced.inner.end_tangent.y) < 1e-9


def test_front_faced_reaches_below_a_keyhole() -> None:
    neck = front_neck(ROUND, FRONT, NeckSize(0.0, 0.0, 0.0))

    faced = front_faced(neck, SHOULDER, 50.0, on_shoulder=45.0, below=90.0)

    assert faced.inner.end == Point(0.0, neck.end.y - 140.0)


def test_front_faced_is_never_narrower_than_can_be_turned() -> None:
    neck = front_neck(ROUND, FRONT, NeckSize(0.0, 0.0, 0.0))

    assert front_faced(neck, SHOULDER, 2.0, on_shoulder=10.0).inner.end.y == neck.end.y - 14.0


def test_back_faced_is_square_to_shoulder_and_centre() -> None:
    faced = back_faced(BACK.neck, SHOULDER, 50.0, on_shoulder=45.0)

    assert abs(faced.inner.end_tangent.y) < 1e-9
    assert degrees(abs(angle_between(SHOULDER.start_tangent, faced.inner.start_tangent))) == pytest.approx(90)


@pytest.mark.parametrize(("shape", "lower"), [(ROUND, 0.0), (SQUARE, 60.0), (SQUARE, 120.0), (VEE, 100.0)])
@pytest.mark.parametrize("foot", [30.0, 65.0])
def test_buttoned_inner_keeps_beside_the_neckline(shape: str, lower: float, foot: float) -> None:
    neck = front_neck(shape, FRONT, NeckSize(0.0, lower, 0.0))
    faced = SHOULDER.split_at(30.0)[0]

    inner = buttoned_inner(neck, faced, Point(foot, 0.0), Point(1.0, 0.0))

    between = [distance(p, q) for p in inner.flatten(0.5) for q in neck.flatten(0.5)]
    assert min(between) > 18
    assert inner.end == Point(foot, 0.0)
    assert degrees(abs(angle_between(SHOULDER.start_tangent, inner.start_tangent))) == pytest.approx(90.0)
    assert abs(inner.end_tangent.x) < 1e-9


def test_neck_facing_has_the_neckline_that_it_is_sewn_to() -> None:
    neck = front_neck(ROUND, FRONT, NeckSize(0.0, 0.0, 0.0))
    faced = front_faced(neck, SHOULDER, 50.0, on_shoulder=45.0)

    fold = Stroke("centre front", Path.line(neck.end, faced.inner.end), EdgeKind.FOLD)

    facing = neck_facing(
        "front neck facing", neck, faced, [fold], cuts=(Cut("shell", 1, on_fold=True),), widths=WIDTHS
    )

    assert facing.path("neck") == neck
    assert facing.piece().on_fold


@pytest.mark.parametrize(("joined", "kind"), [(True, EdgeKind.SEAM), (False, EdgeKind.HEM)])
def test_bias_strip_is_as_long_as_the_neckline_and_lies_at_45_degrees(joined: bool, kind: EdgeKind) -> None:
    strip = bias_strip("neck strip", 412.5, 9.5, joined=Joined(joined, joined), widths=WIDTHS)

    a, b = strip.grain
    assert strip.path("neck strip").length == 412.5
    assert degrees(angle_between(Point(1.0, 0.0), b - a)) == pytest.approx(45.0)
    assert strip.stroke("strip end").kind is kind
    assert distance(a, b) >= 12
