from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import Polygon

from drafting.layplan import Cloth, LayPlan, items_for, plan_lay, verify
from drafting.layplan.outline import moved
from tests.drafting.layplan.sample import draft

CLOTH = Cloth("shell", 1140, folded=True)
ITEMS = items_for(draft(), "shell", CLOTH)


@pytest.fixture(scope="module")
def plan() -> LayPlan:
    return plan_lay(ITEMS, CLOTH, seconds=0.5)


def spoilt(plan: LayPlan, index: int, **changes: object) -> LayPlan:
    placed = list(plan.placed)
    placed[index] = replace(placed[index], **changes)
    return replace(plan, placed=tuple(placed))


def index_of(plan: LayPlan, piece: str) -> int:
    return next(n for n, placed in enumerate(plan.placed) if placed.piece == piece)


def test_verify_finds_nothing_wrong_with_a_true_plan(plan: LayPlan) -> None:
    assert verify(plan, ITEMS) == ()


def test_verify_finds_a_missing_and_a_doubled_piece(plan: LayPlan) -> None:
    last = plan.placed[-1]
    missing = replace(plan, placed=plan.placed[:-1])

    assert f"{last.piece} {last.copy} lies there 0 times, not 1" in verify(missing, ITEMS)


def test_verify_finds_a_piece_off_the_fold_and_one_beyond_the_edge(plan: LayPlan) -> None:
    at = index_of(plan, "skirt front")
    off = spoilt(plan, at, outline=moved(plan.placed[at].outline, 0.0, 0.5))
    out = spoilt(plan, at, outline=moved(plan.placed[at].outline, 0.0, -0.5))

    assert "skirt front 1 lies 0.500 mm off the fold" in verify(off, ITEMS)
    assert "skirt front 1 lies beyond the edge of the cloth" in verify(out, ITEMS)


def test_verify_finds_an_overlap(plan: LayPlan) -> None:
    first, second = plan.placed[:2]
    here, there = (Polygon(placed.outline).representative_point() for placed in (first, second))
    over = spoilt(plan, 1, outline=moved(second.outline, here.x - there.x, here.y - there.y))

    assert any("overlap" in fault for fault in verify(over, ITEMS))


def test_verify_finds_a_gap_not_kept(plan: LayPlan) -> None:
    wider = replace(plan, cloth=replace(plan.cloth, gap=20.0))

    assert any("mm apart" in fault for fault in verify(wider, ITEMS))


def test_verify_finds_a_turn_that_the_cloth_does_not_allow(plan: LayPlan) -> None:
    turned = spoilt(plan, 0, rotation=90.0)

    assert any("turned by 90 degrees" in fault for fault in verify(turned, ITEMS))


def test_verify_finds_an_outline_that_is_not_the_pattern_s(plan: LayPlan) -> None:
    outline = plan.placed[0].outline
    bent = spoilt(plan, 0, outline=((outline[0][0], outline[0][1] + 1e-3), *outline[1:]))

    assert any("does not have the outline" in fault for fault in verify(bent, ITEMS))


def test_verify_finds_a_wrong_length(plan: LayPlan) -> None:
    assert any("the lay is" in fault for fault in verify(replace(plan, length=1.0), ITEMS))
