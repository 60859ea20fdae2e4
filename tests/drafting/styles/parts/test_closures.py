"""Zips concealed or lapped, and a slit with a hook at the back of the neck."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.pattern import Draft, EdgeKind, Method
from drafting.styles.choices import ChoiceValue

INCH = 25.4
WOMAN = Body.of({"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0})
CHILD = Body.of({"stature": 1000.0, "bust_girth": 560.0, "waist_girth": 530.0, "hip_girth": 580.0})


def drafted(style: str, body: Body = WOMAN, /, **choices: ChoiceValue) -> Draft:
    draft = make_draft(style, body, choices)
    assert [f"{check.name}: {check.value}" for check in draft.checks if not check.ok] == []
    return draft


def row(draft: Draft, name: str) -> float:
    return next(finished.garment for finished in draft.finished if finished.name == name)


@pytest.mark.parametrize(("set_", "bought"), [("concealed", "concealed"), ("lapped", "for a lapped setting")])
@pytest.mark.parametrize("closure", ["centre-back zip", "side zip"])
def test_a_zip_is_bought_and_set_as_chosen(closure: str, set_: str, bought: str) -> None:
    draft = drafted("straight-skirt", closure=closure, zip_set=set_)
    (need,) = (need for need in draft.notions if need.kind == "zip")

    assert need.remark.endswith(bought)
    (note,) = (note for note in draft.notes if note.startswith("Zip at the"))
    assert ("topstitch it 10 mm away" in note) is (set_ == "lapped")


def test_a_slit_at_the_back_lets_the_head_through_a_neckline_at_the_base() -> None:
    closed, slit = (drafted("shift-dress", CHILD, closure=closure) for closure in ("none", "hook"))

    assert row(slit, "neckline") < row(closed, "neckline") - 50.0
    assert slit.piece("back").edge("centre back").kind is EdgeKind.FOLD
    (need,) = slit.notions
    assert (need.kind, need.remark) == ("hook", "hook and eye at the top of the slit")


def test_the_facing_reaches_below_the_slit_that_it_finishes() -> None:
    draft = drafted("shift-dress", closure="hook")
    facing = draft.piece("back neck facing")
    (mark,) = (mark for mark in facing.marks if mark.name.startswith("slit"))

    assert mark.path.length == pytest.approx(4.5 * INCH)
    assert min(p.y for p in facing.outline()) < mark.path.end.y - 10.0
    on_back = [m.path for m in draft.piece("back").marks if m.name.startswith("slit")]
    assert on_back == [mark.path]


@pytest.mark.parametrize(
    ("choices", "advice"),
    [
        ({"closure": "hook", "neckline": "keyhole"}, "A keyhole opens the neck already"),
        ({"closure": "hook", "neck_finish": "bias strip"}, "choose a facing for the neckline"),
    ],
)
def test_what_a_slit_does_not_go_with_is_refused(choices: dict[str, ChoiceValue], advice: str) -> None:
    with pytest.raises(BadChoice, match=advice):
        make_draft("shift-dress", WOMAN, choices)


@pytest.mark.parametrize("style", ["sheath-dress", "party-dress", "princess-dress"])
@pytest.mark.parametrize("body", [WOMAN, CHILD])
def test_a_zip_in_the_left_side_of_a_dress_runs_from_above_the_waist_to_the_hip(
    style: str, body: Body
) -> None:
    choices: dict[str, ChoiceValue] = {"walking": "side slits"} if style == "sheath-dress" else {}
    draft = drafted(style, body, closure="side zip", **choices)
    seams = {seam.name: seam for seam in draft.seams}
    (need,) = (need for need in draft.notions if need.kind == "zip")
    (zip_,) = (seam for seam in draft.seams if seam.method is Method.ZIP)

    assert zip_.name == "left side"
    assert draft.side_length(zip_.a) == pytest.approx(draft.side_length(zip_.b), abs=0.5)
    assert need.size_mm == pytest.approx(draft.side_length(zip_.b))
    assert not [e for piece in draft.pieces for e in piece.edges if e.kind is EdgeKind.OPENING]
    assert (seams["right side"].times, seams["left side, above the zip"].times) == (1, 1)
    whole = draft.side_length(seams["right side"].b)
    upper = sum(
        draft.piece(ref.piece).edge(ref.edge).length for ref in zip_.b if not ref.piece.startswith("skirt")
    )
    left = sum(draft.side_length(seam.b) for name, seam in seams.items() if name.startswith("left side, "))
    assert left + upper == pytest.approx(whole)


def test_the_zip_of_a_dress_begins_as_far_above_the_waist_as_the_house_says() -> None:
    draft = drafted("party-dress", closure="side zip")
    zip_ = next(seam for seam in draft.seams if seam.method is Method.ZIP)
    above = draft.piece(zip_.b[0].piece).edge(zip_.b[0].edge).path

    assert abs(above.start.y - above.end.y) <= 4.5 * INCH + 1.0
    assert max(above.start.y, above.end.y) <= 4.5 * INCH + 0.1


def test_a_sheath_with_its_zip_at_the_side_has_no_vent() -> None:
    with pytest.raises(BadChoice, match="choose slits"):
        make_draft("sheath-dress", WOMAN, {"closure": "side zip", "walking": "back vent"})
