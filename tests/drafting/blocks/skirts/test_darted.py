from __future__ import annotations

from math import isclose, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drafting.blocks.skirts.darted import (
    DartedPanel,
    Shaping,
    closed_into_flare,
    dart_places,
    darted_panel,
    flaring,
    shaping,
)
from drafting.blocks.skirts.edge import HipEdge
from drafting.errors import CannotDraft
from drafting.geometry import Point, distance, dot, unit
from drafting.house import house_rules

HOUSE = house_rules()
EDGE = HipEdge(Point(260.0, -150.0), 450.0)


def panel(waist: float, count: int, side: float = 20.0, length: float = 120.0) -> DartedPanel:
    return darted_panel(waist, EDGE, side, dart_places(count, EDGE.hip.x - side, length))


def test_shaping_gives_little_to_the_side_alone() -> None:
    assert shaping(HOUSE["dart_least"] - 0.1, 100.0, HOUSE) == Shaping(HOUSE["dart_least"] - 0.1, 0)


def test_shaping_gives_a_baby_no_dart_too_short_to_sew() -> None:
    assert shaping(30.0, 44.0, HOUSE) == Shaping(30.0, 0)
    assert shaping(30.0, 46.0, HOUSE).darts > 0


def test_shaping_shares_the_rest_among_darts() -> None:
    # 60 of intake: two fifths are 24, under the inch that a side may take; 36 make one dart.
    assert shaping(60.0, 130.0, HOUSE) == Shaping(24.0, 1)
    # 80: the side takes an inch, 54.6 is more than one dart may hold.
    assert shaping(80.0, 130.0, HOUSE) == Shaping(25.4, 2)


def test_shaping_leaves_to_the_side_what_two_darts_cannot_hold() -> None:
    shaped = shaping(140.0, 130.0, HOUSE)

    assert shaped.darts == 2
    assert isclose(shaped.side, 140 - 2 * HOUSE["dart_greatest"])


def test_flaring_closes_one_dart() -> None:
    assert flaring(50.0, HOUSE) == Shaping(25.0, 1)
    assert flaring(-10.0, HOUSE) == Shaping(-10.0, 0)


def test_dart_places_stand_the_shorter_dart_outside() -> None:
    assert dart_places(0, 240.0, 120.0) == []
    assert [(p.axis, p.apex) for p in dart_places(2, 240.0, 120.0)] == [(96.0, 120.0), (0.72 * 240, 108.0)]


@settings(deadline=None)
@given(st.floats(175, 225), st.integers(1, 2))
def test_darted_panel_sews_to_its_waist(waist: float, count: int) -> None:
    drawn = panel(waist, count)

    assert isclose(sum(part.length for part in drawn.waist), waist, abs_tol=1e-6)
    for dart, before, after in zip(drawn.darts, drawn.waist, drawn.waist[1:], strict=False):
        assert isclose(distance(dart.inner, dart.apex), distance(dart.outer, dart.apex))
        assert abs(dot(before.end_tangent, unit(dart.apex - dart.inner))) < 1e-6
        assert abs(dot(after.start_tangent, unit(dart.apex - dart.outer))) < 1e-6
    assert abs(dot(drawn.waist[-1].end_tangent, drawn.side.start_tangent)) < 1e-6


def test_darted_panel_meets_the_side_of_another() -> None:
    back = panel(190.0, 2, length=130.0)

    front = darted_panel(190.0, EDGE, 20.0, dart_places(2, 240.0, 90.0), back.side.start.y)

    assert isclose(front.side.length, back.side.length)
    assert isclose(sum(part.length for part in front.waist), 190.0, abs_tol=1e-6)


def test_darted_panel_refuses_a_waist_that_no_dart_takes_in() -> None:
    with pytest.raises(CannotDraft, match="no darts of a straight skirt"):
        panel(40.0, 1)


@pytest.mark.parametrize("count", [1, 2])
def test_closed_into_flare_keeps_the_waist_and_the_side(count: int) -> None:
    drawn = panel(200.0, count)

    flared = closed_into_flare(drawn)

    assert isclose(flared.waist.length, 200.0, abs_tol=1e-6)
    assert isclose(flared.side.length, drawn.side.length)
    assert flared.hem.start == drawn.hem.start
    assert distance(flared.hem.end, flared.side.end) < 1e-9
    assert abs(dot(flared.hem.end_tangent, flared.side.end_tangent)) < 1e-6


def test_closed_into_flare_opens_the_hem_by_the_darts_angle() -> None:
    drawn = panel(210.0, 1)
    dart = drawn.darts[0]
    width, leg = distance(dart.inner, dart.outer), distance(dart.inner, dart.apex)
    angle = 2 * (width / 2 / leg)  # of a narrow dart

    flared = closed_into_flare(drawn)

    below = dart.apex.y - drawn.hem.start.y
    assert flared.hem.length - drawn.hem.length == pytest.approx(below * angle, rel=0.02)
    assert flared.spread == pytest.approx(2 * (dart.apex.y + 150.0) * sin(angle / 2), rel=0.02)
    widths = sum(distance(a, b) for a, b in flared.hip)
    assert widths == pytest.approx(260.0 + flared.spread)
