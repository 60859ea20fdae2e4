from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.pattern import Draft, MarkKind, Method
from drafting.styles.choices import ChoiceValue

WOMAN = Body.of({"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0})
CHILD = Body.of({"stature": 1000.0, "bust_girth": 560.0, "waist_girth": 530.0, "hip_girth": 580.0})
INCH = 25.4


def drafted(style: str, body: Body = WOMAN, /, **choices: ChoiceValue) -> Draft:
    draft = make_draft(style, body, choices)
    assert [f"{check.name}: {check.value}" for check in draft.checks if not check.ok] == []
    return draft


@pytest.mark.parametrize(
    ("style", "choices"),
    [
        ("straight-skirt", {}),
        ("gored-skirt", {}),
        ("circle-skirt", {"closure": "elastic"}),
        ("tiered-skirt", {"tiers": 1}),
        ("trousers", {}),
    ],
)
def test_side_pocket_opens_both_sides_below_the_waist(style: str, choices: dict[str, ChoiceValue]) -> None:
    draft = drafted(style, **choices, pockets="side-seam")
    sewn = {seam.name: seam for seam in draft.seams}

    assert draft.side_length(sewn["pocket bag to the front"].a) == pytest.approx(6 * INCH)
    assert draft.side_length(sewn["pocket bag to the back"].b) == pytest.approx(6 * INCH, abs=0.01)
    side = next(seam for name, seam in sewn.items() if name.startswith("side of the"))
    assert [ref.edge for ref in side.a] == ["side to the pocket", "side from the pocket"]
    first = draft.piece(side.a[0].piece).edge("side to the pocket")
    assert first.length == pytest.approx(2.5 * INCH)


def test_a_childs_pocket_is_smaller_in_proportion() -> None:
    draft = drafted("tiered-skirt", CHILD, pockets="side-seam", tiers=1)

    assert draft.piece("pocket bag").edge("pocket opening").length == pytest.approx(6 * INCH * 1000 / 1600)


def test_a_pocket_lies_higher_in_a_side_that_ends_soon() -> None:
    """A first tier 215 mm deep: 15 mm stay sewn below an opening of 6 in."""
    draft = drafted("tiered-skirt", pockets="side-seam", tiers=3, skirt_length=645.0, closure="elastic")

    front = draft.piece("skirt front")
    assert front.edge("side from the pocket").length == pytest.approx(15.0)
    assert front.edge("side to the pocket").length < 2.5 * INCH
    assert front.edge("pocket opening").length == pytest.approx(6 * INCH)


@pytest.mark.parametrize(
    ("style", "advice"), [("straight-skirt", "choose patch pockets"), ("tiered-skirt", "choose no pockets")]
)
def test_a_refused_pocket_names_only_what_the_style_offers(style: str, advice: str) -> None:
    with pytest.raises(BadChoice, match=advice):
        make_draft(style, WOMAN, {"pockets": "side-seam", "closure": "side zip"})


def test_side_pockets_leave_no_room_for_a_side_zip() -> None:
    with pytest.raises(BadChoice, match="no room for a pocket"):
        make_draft("straight-skirt", WOMAN, {"pockets": "side-seam", "closure": "side zip"})


def test_a_side_seam_too_short_for_a_pocket_is_refused() -> None:
    with pytest.raises(BadChoice, match="no room for a pocket") as refusal:
        make_draft(
            "circle-skirt", WOMAN, {"pockets": "side-seam", "skirt_length": 150.0, "closure": "elastic"}
        )

    assert refusal.value.field == "pockets"


def test_patch_pocket_is_marked_where_it_is_sewn() -> None:
    draft = drafted("straight-skirt", pockets="patch")
    placed = [mark for mark in draft.piece("skirt front").marks if mark.name.startswith("pocket placement")]
    pocket = draft.piece("pocket")

    assert {mark.kind for mark in placed} == {MarkKind.GUIDE}
    lengths = {mark.name.split(", ")[1]: mark.path.length for mark in placed}
    assert lengths["top"] == pytest.approx(pocket.edge("top").length)
    assert lengths["foot"] == pytest.approx(pocket.edge("foot").length)
    assert pocket.edge("top").length <= 5.5 * INCH


def test_no_pockets_add_nothing() -> None:
    assert not any("pocket" in piece.name for piece in drafted("trousers").pieces)


def test_a_patch_pocket_is_topstitched_on_round_its_three_lower_edges() -> None:
    draft = drafted("straight-skirt", pockets="patch")
    (seam,) = (seam for seam in draft.seams if "pocket" in seam.name)
    pocket = draft.piece("pocket")

    assert seam.method is Method.TOPSTITCHED
    assert [ref.edge for ref in seam.a] == ["left side", "foot", "right side"]
    sewn = sum(pocket.edge(name).length for name in ("left side", "foot", "right side"))
    assert draft.side_length(seam.a) == pytest.approx(sewn)
    assert not any(notch.edge != "top" for notch in pocket.notches)
