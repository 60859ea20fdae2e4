from __future__ import annotations

from math import isclose

import pytest

from drafting.blocks.pleats import KINDS
from drafting.blocks.skirts.pleated import PleatWish, plan_quarter, pleat_marks, pleated_panel, shown_at_hip
from drafting.pattern import MarkKind


def wish(kind: str) -> PleatWish:
    return PleatWish(kind, 3, 38.0, 7.6, 19.0)


@pytest.mark.parametrize("kind", KINDS)
def test_pleated_quarter_shows_its_hip_between_its_pleats(kind: str) -> None:
    plan = plan_quarter(wish(kind), 190.0, 260.0)
    panel = pleated_panel(plan, 150.0, 600.0)

    assert isclose(sum(b - a for a, b in shown_at_hip(plan)), 260.0)
    assert isclose(panel.waist.length, plan.waist_cloth, abs_tol=1e-6)
    assert isclose(panel.hem.length, plan.hip_cloth)


@pytest.mark.parametrize(("kind", "folds"), [("knife", 3), ("box", 6), ("inverted", 6)])
def test_pleat_marks_have_a_place_and_a_way_for_each_fold(kind: str, folds: int) -> None:
    marks = list(pleat_marks(plan_quarter(wish(kind), 190.0, 260.0), 150.0, 600.0))

    assert [mark.kind for mark in marks].count(MarkKind.PLEAT_FOLD) == folds
    assert sum(mark.arrow for mark in marks) == folds


def test_a_waist_wider_than_the_hip_has_pleats_shallower_at_the_waist() -> None:
    plan = plan_quarter(wish("knife"), 280.0, 260.0)

    assert plan.waist_depth < plan.hip_depth
