from __future__ import annotations

from math import isclose

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from drafting.blocks.pleats import KINDS, PleatPlan, cloth_width, folds_of, plan_pleats, room
from drafting.errors import BadChoice


def test_stops_of_two_knife_pleats() -> None:
    """Each shows 50 and hides 40: half of what shows, the underlay, the other half."""
    plan = PleatPlan("knife", 2, 100.0, 100.0, 20.0, 20.0)

    assert plan.stops(100.0, 20.0) == ((25, 65), (115, 155))
    assert plan.waist_cloth == cloth_width("knife", 2, 50, 20) == 180


def test_stops_of_a_box_pleat_are_two() -> None:
    """It shows 60; 15, an underlay of 20, 30, an underlay of 20, 15."""
    assert PleatPlan("box", 1, 60.0, 60.0, 10.0, 10.0).stops(60.0, 10.0) == ((15, 35), (65, 85))


@given(st.sampled_from(KINDS), st.integers(1, 12), st.floats(90, 350), st.floats(-12, 90), st.floats(8, 120))
def test_plan_pleats_adds_up(kind: str, count: int, waist: float, wider: float, depth: float) -> None:
    hip = waist + wider
    try:
        plan = plan_pleats(kind, count, (waist, hip), (depth, 7.62), 19.05)
    except BadChoice:
        assume(False)

    for finished, at, cloth in (
        (waist, plan.waist_depth, plan.waist_cloth),
        (hip, plan.hip_depth, plan.hip_cloth),
    ):
        hidden = sum(end - start for start, end in plan.stops(finished, at))
        assert isclose(finished + hidden, cloth, rel_tol=1e-12)
        assert at >= 7.62 - 1e-9
    assert isclose(plan.waist_cloth, plan.hip_cloth, rel_tol=1e-9)  # straight sides
    assert plan.overlap <= 19.05 + 1e-6
    assert plan.hip_depth <= max(depth, 7.62 + abs(wider) / count / folds_of(kind)) + 1e-6


def test_plan_pleats_says_which_numbers_fit() -> None:
    with pytest.raises(BadChoice) as refusal:
        plan_pleats("knife", 12, (94.0, 136.0), (38.1, 7.62), 19.05)

    assert refusal.value.field == "pleats"
    assert "choose from 1 to 5" in str(refusal.value)
    assert plan_pleats("knife", 5, (94.0, 136.0), (38.1, 7.62), 19.05).count == 5


def test_plan_pleats_refuses_a_waist_too_small_for_any() -> None:
    with pytest.raises(BadChoice, match="choose another kind of pleat"):
        plan_pleats("box", 2, (12.0, 200.0), (38.1, 7.62), 0.0)


def test_room_between_pleats() -> None:
    assert [room(kind, 40.0) for kind in ("knife", "box", "inverted")] == [40, 10, 20]


@pytest.mark.parametrize("kind", ["knife", "box", "inverted"])
def test_pleats_of_a_part_lie_within_it_and_take_in_all_of_the_waist(kind: str) -> None:
    """Three fifths of a quarter of 160 mm at the waist: the last pleat ends within 96 mm of shown cloth."""
    plan = plan_pleats(kind, 2, (160.0, 200.0), (20.0, 5.0), 15.0, share=0.6)

    stops = plan.stops(plan.waist, plan.waist_depth)
    hidden = sum(end - start for start, end in stops)
    assert stops[-1][1] - hidden <= 96.0 + 1e-9
    assert plan.pitch == pytest.approx(48.0)
    assert plan.hip_cloth - plan.waist_cloth == pytest.approx(0.0, abs=1e-9)


def test_a_part_too_narrow_for_its_pleats_is_refused_with_what_would_do() -> None:
    with pytest.raises(BadChoice, match="choose from 1 to") as refusal:
        plan_pleats("knife", 10, (160.0, 200.0), (20.0, 5.0), 15.0, share=0.6)

    assert refusal.value.field == "pleats"
