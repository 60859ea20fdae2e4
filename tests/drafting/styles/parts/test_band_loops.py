"""Belt loops and hanging loops at a waistband."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.pattern import Draft
from drafting.styles.choices import ChoiceValue

WOMAN = Body.of({"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0})
CHILD = Body.of({"stature": 1160.0, "bust_girth": 590.0, "waist_girth": 550.0, "hip_girth": 620.0})
STYLES = ("straight-skirt", "gored-skirt", "pleated-skirt", "circle-skirt", "trousers")


def drafted(style: str, body: Body = WOMAN, /, **choices: ChoiceValue) -> Draft:
    draft = make_draft(style, body, {"closure": "side zip", **choices})
    assert [f"{check.name}: {check.value}" for check in draft.checks if not check.ok] == []
    return draft


@pytest.mark.parametrize("style", STYLES)
def test_belt_loops_are_as_long_as_the_band_is_wide_and_their_turned_ends(style: str) -> None:
    draft = drafted(style, belt_loops=True)
    loop, seam = draft.piece("belt loop"), next(seam for seam in draft.seams if seam.name == "belt loop")

    assert loop.edge("long edge left").length == pytest.approx(1.25 * 25.4 + 3 * 6.0)
    assert [cut.count for cut in loop.cuts] == [5]
    assert seam.times == 5


def test_a_child_has_four_belt_loops() -> None:
    assert [cut.count for cut in drafted("trousers", CHILD, belt_loops=True).piece("belt loop").cuts] == [4]


def test_hanging_loops_are_bought_as_tape() -> None:
    draft = drafted("straight-skirt", hanging_loops=True)
    (tape,) = (need for need in draft.notions if need.kind == "tape")

    assert (tape.count, tape.size_mm) == (2, 2 * 3 * 25.4)
    assert any("loop of tape" in note for note in draft.notes)


def test_no_loops_add_nothing() -> None:
    draft = drafted("straight-skirt")

    assert "belt loop" not in {piece.name for piece in draft.pieces}
    assert "tape" not in {need.kind for need in draft.notions}


def test_elastic_carries_no_belt() -> None:
    with pytest.raises(BadChoice, match="drawn in without a belt"):
        make_draft("trousers", WOMAN, {"closure": "elastic", "belt_loops": True})
