from __future__ import annotations

from math import degrees, isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.details.collar import CollarSizes, NotchedCollar, folded, notched_collar
from drafting.errors import BadChoice, CannotDraft
from drafting.geometry import Point, angle_between, cross, distance, dot, unit

SIZES = CollarSizes(25.4, 19.05, 69.85, 12.7, 31.75, 76.2, 63.5)
BREAK, NECK, ALONG = Point(-25.4, 190.0), Point(70.0, 400.0), Point(0.94, -0.342)


def collar(back_neck: float = 75.0, **sizes: float) -> NotchedCollar:
    values = {field: getattr(SIZES, field) for field in CollarSizes.__slots__} | sizes
    return notched_collar(BREAK, NECK, ALONG, back_neck, CollarSizes(**values))


def test_notched_collar_is_as_wide_as_asked() -> None:
    made = collar()

    assert isclose(made.back.length, 69.85, rel_tol=1e-12)
    assert isclose(made.notch.length, 31.75, rel_tol=1e-12)
    up = unit(made.roll_neck - made.break_point)
    assert isclose(abs(cross(made.lapel_point - made.break_point, up)), 76.2, rel_tol=1e-9)


def test_notch_is_a_v_between_the_collars_end_and_the_lapels_top() -> None:
    made = collar()

    opening = angle_between(made.lapel_top.start_tangent, made.notch.end_tangent)
    inner = angle_between(made.lapel_top.end_tangent, made.notch.start_tangent * -1.0)
    assert made.notch.end == made.lapel_top.start
    assert isclose(abs(degrees(inner)), 64, abs_tol=1e-6)
    assert isclose(abs(degrees(opening)), 116, abs_tol=1e-6)


@given(st.floats(40, 120), st.floats(45, 110), st.floats(0, 30))
def test_collar_closes_square_at_the_centre_back(back_neck: float, width: float, slant: float) -> None:
    made = collar(back_neck, width=width, slant=slant)

    assert isclose(made.neck.length, back_neck, rel_tol=1e-9)
    assert abs(dot(made.neck.end_tangent, made.back.start_tangent)) < 1e-9
    assert abs(dot(made.edge.start_tangent, made.back.end_tangent)) < 1e-9
    assert (made.neck.end, made.edge.end) == (made.back.start, made.notch.start)


def test_folded_lapel_lies_on_the_other_side_of_the_roll_line() -> None:
    made = collar()
    up = unit(made.roll_neck - made.break_point)

    assert cross(up, made.lapel_point - made.break_point) > 0
    assert all(cross(up, point - made.break_point) <= 1e-9 for point in folded(made))
    assert isclose(
        max(distance(point, made.break_point) for point in folded(made)),
        max(distance(p, made.break_point) for e in (made.notch, made.lapel_top) for p in e.flatten(0.5)),
    )


def test_notched_collar_refuses_a_notch_that_eats_the_lapel() -> None:
    with pytest.raises(BadChoice) as refusal:
        collar(notch=60.0)

    assert refusal.value.field == "notch_width"
    assert "takes a notch of at most 49 mm" in str(refusal.value)
    assert collar(notch=49.0).notch.length == pytest.approx(49.0)


def test_notched_collar_refuses_a_break_at_the_neck() -> None:
    with pytest.raises(CannotDraft) as refusal:
        notched_collar(Point(-25.4, 330.0), NECK, ALONG, 75.0, SIZES)

    assert refusal.value.field == "break_point"
