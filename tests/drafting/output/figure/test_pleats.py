"""Pleats in the drawing of the garment: as many as are cut, where they are."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.output.figure.hanging import hanging
from drafting.output.figure.panels import panel_of
from drafting.output.figure.skirts import skirt_of, skirt_panels
from drafting.pattern import Draft

WOMAN = Body.of({"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0})


def folds(draft: Draft) -> tuple[float, ...]:
    skirt = skirt_of(draft, "front", -1.0, 0.0)
    assert skirt is not None
    return hanging(draft, skirt_panels(draft, "front"), skirt.raised, 0.0).folds


@pytest.mark.parametrize(("kind", "lines"), [("knife", 3), ("box", 6), ("inverted", 6)])
def test_every_pleat_of_a_quarter_is_drawn(kind: str, lines: int) -> None:
    draft = make_draft("pleated-skirt", WOMAN, {"pleat_kind": kind, "pleats": 3})

    assert len(folds(draft)) == lines


def test_pleats_of_a_part_are_drawn_in_that_part() -> None:
    draft = make_draft("pleated-skirt", WOMAN, {"pleated": "middle", "pleats": 3})

    # The middle of the last of three pleats on six tenths of the half.
    assert max(folds(draft)) == pytest.approx(0.6 * 5 / 6, abs=0.01)


def test_a_pleat_at_the_centre_front_is_drawn_folded() -> None:
    draft = make_draft("straight-skirt", WOMAN, {"front_pleat": True, "walking": "none"})
    panel = panel_of(draft, draft.piece("skirt front"))
    skirt = skirt_of(draft, "front", -1.0, 0.0)

    assert min(p.x for p in panel.ring) < -30.0  # as it is cut, its half of the pleat lies beyond the centre
    assert min(panel.closed(p).x for p in panel.ring) == 0.0
    assert skirt is not None
    assert not skirt.hangs
