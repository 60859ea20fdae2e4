from __future__ import annotations

from math import isclose, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drafting.blocks.skirts.circle import circle_panel, waist_radius
from drafting.errors import CannotDraft
from drafting.geometry import Point, dot


@settings(deadline=None)
@given(st.floats(80, 450), st.sampled_from([0.25, 0.5, 0.75, 1.0]), st.floats(60, 1100))
def test_circle_panel_is_square_at_its_corners(waist: float, share: float, length: float) -> None:
    panel = circle_panel(waist, waist_radius(4 * waist, share), length)

    assert panel.waist.start == Point(0, 0)
    assert isclose(panel.angle, pi / 2 * share)
    assert isclose(panel.waist.length, waist, rel_tol=1e-5)
    assert isclose(panel.side.length, length, rel_tol=1e-9)
    for line in (panel.waist, panel.hem):
        assert abs(dot(line.end_tangent, panel.side.start_tangent)) < 1e-6


def test_circle_panel_of_a_whole_circle_opens_as_wide_as_its_side_reaches() -> None:
    panel = circle_panel(157.0796327, 100.0, 500.0)

    assert panel.opened_width == pytest.approx(1200.0, abs=0.01)


@pytest.mark.parametrize(("waist", "share"), [(0.0, 0.5), (700.0, 0.0), (700.0, 1.1)])
def test_waist_radius_refuses_what_leaves_nothing(waist: float, share: float) -> None:
    with pytest.raises(CannotDraft):
        waist_radius(waist, share)
