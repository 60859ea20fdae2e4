from __future__ import annotations

from math import isclose

from hypothesis import given
from hypothesis import strategies as st

from drafting.blocks.skirts.panel import SkirtSizes, skirt_panel
from drafting.geometry import Point, distance, dot


def test_skirt_panel_as_wide_above_as_below_is_a_rectangle() -> None:
    panel = skirt_panel(SkirtSizes(400.0, 400.0, 200.0, 600.0), 300.0)

    assert panel.waist.end == Point(400, 0)
    assert panel.side.length == 600
    assert (panel.hem.start, panel.hem.end) == (Point(0, -600), Point(400, -600))


@given(st.floats(-12, 40), st.floats(0, 60))
def test_skirt_panel_has_the_widths_it_was_asked_for(wider: float, start: float) -> None:
    panel = skirt_panel(SkirtSizes(400.0, 400.0 + wider, 200.0, 600.0, start), start + 320.0)

    assert isclose(panel.waist.length, 400, abs_tol=1e-6)
    assert isclose(panel.hem.length, 400 + wider, abs_tol=1e-9)
    assert distance(panel.hip_side, Point(start + 400 + wider, -200)) < 1e-9
    assert abs(dot(panel.waist.end_tangent, panel.side.start_tangent)) < 1e-6  # square at the side
    assert panel.side.end_tangent == Point(0, -1)


def test_skirt_panel_wider_at_the_waist_than_at_the_hip_runs_in() -> None:
    panel = skirt_panel(SkirtSizes(400.0, 388.0, 200.0, 600.0), 320.0)

    assert panel.waist.end.x > panel.hip_side.x
    assert panel.waist.end.y < 0
