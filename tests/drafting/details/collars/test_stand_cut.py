"""A collar cut apart into stand and fall, its seam taken up round the back of the neck."""

from __future__ import annotations

import pytest

from drafting.details.collars.lapel import roll_on, set_on
from drafting.details.collars.stand_cut import StandAndFall, cut_apart
from drafting.geometry import Path, Point, distance, dot
from tests.drafting.details.collars.test_lapel import COLLAR, SIZES, kink

LEAF = set_on(COLLAR)
ROLL = roll_on(COLLAR, SIZES.stand)
SEAM = roll_on(COLLAR, SIZES.stand, below=6.0)


def parts(taken: float) -> StandAndFall:
    return cut_apart(LEAF, SEAM, ROLL, back=80.0, taken=taken)


def test_seam_lies_below_the_roll_and_ends_on_the_neck_edge() -> None:
    assert distance(LEAF.back.start, SEAM.start) == pytest.approx(SIZES.stand - 6.0)
    on_roll = ROLL.point_at(60.0)
    assert distance(on_roll, _nearest(SEAM, on_roll)) == pytest.approx(6.0, abs=0.3)
    assert distance(LEAF.neck.point_at(LEAF.neck.along(SEAM.end)), SEAM.end) < 1e-6


def _nearest(path: Path, point: Point) -> Point:
    return min((path.point_at(path.length * k / 2000) for k in range(2001)), key=lambda p: distance(p, point))


@pytest.mark.parametrize("taken", [2.0, 3.5])
def test_both_seams_are_alike_and_shorter_by_what_is_taken_up(taken: float) -> None:
    made = parts(taken)

    assert made.seam.length == pytest.approx(made.stand.edge.length, abs=1e-6)
    assert SEAM.length - made.seam.length == pytest.approx(taken, abs=0.15)


def test_neck_edge_stays_as_long_as_the_neckline() -> None:
    made = parts(3.5)

    assert made.stand.neck.length + made.fall.neck.length == pytest.approx(LEAF.neck.length, abs=0.1)


def test_a_low_stand_gives_up_no_more_than_its_height_bears() -> None:
    assert SEAM.length - parts(50.0).seam.length == pytest.approx(0.3 * (SIZES.stand - 6.0), abs=0.15)


def test_parts_close_at_the_centre_back_and_where_the_seam_meets_the_neck() -> None:
    made = parts(3.5)

    assert made.stand.back.length + made.fall.back.length == pytest.approx(LEAF.back.length)
    for one, other in (
        (made.stand.back.end, made.stand.edge.start),
        (made.stand.neck.end, made.stand.edge.end),
        (made.fall.back.start, made.seam.start),
        (made.seam.end, made.fall.neck.start),
        (made.fall.neck.end, made.fall.end.start),
        (made.fall.edge.end, made.fall.end.end),
    ):
        assert distance(one, other) < 1e-5


def test_lines_are_even_and_leave_the_centre_back_squarely() -> None:
    made = parts(3.5)

    for path in (made.stand.neck, made.stand.edge, made.seam, made.fall.edge):
        assert kink(path) < 1e-6
    for path in (made.stand.edge, made.seam, made.fall.edge):
        assert abs(dot(path.start_tangent, made.stand.back.start_tangent)) < 1e-6


def test_nothing_taken_up_leaves_the_collar_as_it_was() -> None:
    made = parts(0.0)

    assert made.stand.edge.length == pytest.approx(SEAM.length, abs=0.05)
    assert made.fall.end.end == pytest.approx(LEAF.end.end, abs=0.05)
