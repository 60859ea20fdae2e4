"""A bodice cut off above the waist: darts, sides, and how high it may lie."""

from __future__ import annotations

from itertools import pairwise

import pytest

from drafting.blocks.bodice import Bodice, draft_bodice
from drafting.blocks.raised import highest_seam, raised, usual_seam
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.geometry import Point, cross, distance, dot
from drafting.house import house_rules

HOUSE = house_rules()
AVERAGE = Body.of({"stature": 1640, "bust_girth": 907, "waist_girth": 725, "hip_girth": 967})
STOUT = Body.of({"stature": 1600, "bust_girth": 1300, "waist_girth": 1400, "hip_girth": 1320})


def bodice(body: Body = AVERAGE) -> Bodice:
    return draft_bodice(body, HOUSE)


def test_raised_keeps_the_legs_and_cuts_them_shorter() -> None:
    block = bodice()

    cut = raised(block, 50.0, least_dart=6.0)

    for before, after in ((block.front, cut.front), (block.back, cut.back)):
        (whole,), (short,) = before.waist_darts, after.waist_darts
        assert short.apex == whole.apex
        assert abs(cross(short.inner - short.apex, whole.inner - whole.apex)) < 1e-6
        assert distance(short.inner, short.apex) == pytest.approx(distance(short.outer, short.apex))
        assert short.inner.y > whole.inner.y


def test_raised_starts_at_its_height_and_is_square_to_legs_and_side() -> None:
    cut = raised(bodice(), 50.0, least_dart=6.0)

    for panel in (cut.front, cut.back):
        first, last = panel.waist.panels
        (dart,) = panel.waist_darts
        assert first.start == Point(0.0, 50.0)
        assert abs(dot(first.end_tangent, dart.inner - dart.apex)) < 1e-6
        assert abs(dot(last.start_tangent, dart.outer - dart.apex)) < 1e-6
        assert abs(dot(last.end_tangent, panel.sides[-1].end_tangent)) < 1e-6
        for before, after in pairwise((first, last)):
            assert before.end.x < after.start.x


def test_raised_ends_front_and_back_at_one_place_of_the_side() -> None:
    cut = raised(bodice(), 50.0, least_dart=6.0)

    assert cut.front.waist_side == pytest.approx(cut.back.waist_side)
    lengths = [sum(side.length for side in panel.sides) for panel in (cut.front, cut.back)]
    assert lengths[0] == pytest.approx(lengths[1])


def test_raised_leaves_out_darts_that_would_be_too_narrow() -> None:
    cut = raised(bodice(), 50.0, least_dart=30.0)

    assert cut.front.waist_darts == cut.back.waist_darts == ()
    assert len(cut.front.waist.panels) == 1


@pytest.mark.parametrize("height", [2.0, 90.0])
def test_raised_refuses_a_height_without_room_for_the_darts(height: float) -> None:
    assert 70.0 < highest_seam(bodice()) < 90.0

    with pytest.raises(BadChoice, match="choose from 10 to") as refusal:
        raised(bodice(), height, least_dart=6.0)

    assert refusal.value.field == "raised_by"


def test_usual_seam_lies_lower_where_the_side_leads_it_up_to_the_bust() -> None:
    """A waist wider than the bust: the seam rises to the side, so that it must start lower."""
    block = bodice(STOUT)

    height = usual_seam(block, 55.0)

    assert height < 55.0
    assert raised(block, height, least_dart=6.0).back.waist_side.y < block.back.bust_side.y
    assert usual_seam(bodice(), 55.0) == 55.0
    with pytest.raises(BadChoice, match="rise to the bust"):
        raised(block, min(55.0, highest_seam(block)), least_dart=6.0, field="waist_seam")
