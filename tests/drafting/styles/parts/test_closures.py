"""Zips concealed or lapped, and a slit with a hook at the back of the neck."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.pattern import Draft, EdgeKind
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
