"""Collars on a garment: they fit their neckline and open where it opens; what does not go is refused."""

from __future__ import annotations

import pytest

from drafting.errors import BadChoice
from drafting.pattern import Draft, EdgeKind, MarkKind, Method
from drafting.styles.parts.collars import FLAT, LABELS, NO_COLLAR, SHIRT, STAND, TIE, TURNOVER
from tests.drafting.styles.parts.dressed import BODIES, drafted, failed

BUTTONS = {"closure": "front buttons"}
ALL = [kind for kind in LABELS if kind != NO_COLLAR]


def half_neck(draft: Draft) -> float:
    return sum(draft.piece(f"{side} bodice").edge("neck").length for side in ("front", "back"))


def row(draft: Draft, name: str) -> float:
    return next(finished.garment for finished in draft.finished if finished.name == name)


@pytest.mark.parametrize("body", BODIES)
@pytest.mark.parametrize("kind", [kind for kind in ALL if kind != TIE])
def test_every_collar_is_drawn_for_every_wearer_above_buttons(kind: str, body: str) -> None:
    draft = drafted({"collar": kind, **BUTTONS}, body)

    fits = [check for check in draft.checks if check.name.startswith("collar on its neckline")]
    assert failed(draft) == []
    assert fits


@pytest.mark.parametrize("kind", [FLAT, STAND, TURNOVER])
@pytest.mark.parametrize("body", BODIES)
def test_a_collar_is_parted_at_the_zip(kind: str, body: str) -> None:
    draft = drafted({"collar": kind}, body)

    back = draft.piece("collar").edge("collar back")
    assert failed(draft) == []
    assert back.kind is EdgeKind.SEAM
    assert any(seam.name == "collar back" and seam.method is Method.ENCLOSED for seam in draft.seams)


def test_a_flat_collar_is_whole_at_the_back_of_a_buttoned_front() -> None:
    draft = drafted({"collar": FLAT, **BUTTONS})

    assert draft.piece("collar").edge("collar back").kind is EdgeKind.FOLD
    assert draft.piece("collar").edge("collar neck").length == pytest.approx(half_neck(draft), abs=1e-6)


def test_a_standing_collar_is_whole_in_front_of_a_zip() -> None:
    draft = drafted({"collar": STAND})

    assert draft.piece("collar").edge("collar end").kind is EdgeKind.FOLD
    assert {piece.name for piece in draft.pieces}.isdisjoint({"front neck facing", "back neck facing"})


@pytest.mark.parametrize("shape", ["round", "scoop", "v"])
@pytest.mark.parametrize("front", ["rounded", "pointed"])
def test_a_flat_collar_goes_with_every_neckline_that_curves(shape: str, front: str) -> None:
    draft = drafted({"collar": FLAT, "neckline": shape, "collar_shape": front})

    assert failed(draft) == []


def test_collar_width_is_what_was_chosen() -> None:
    assert row(drafted({"collar": FLAT, "collar_width": 55.0}), "collar width at the centre back") == 55.0


def test_a_flat_collar_rolls_by_the_overlap_of_the_house() -> None:
    flat, rolled = (drafted({"collar": FLAT}, house={"collar_overlap": mm}) for mm in (0.0, 40.0))

    edges = [draft.piece("collar").edge("collar edge").length for draft in (flat, rolled)]
    assert edges[1] < edges[0] - 10


def test_a_shirt_collar_sits_on_its_stand_and_the_stand_on_the_button_stand() -> None:
    draft = drafted({"collar": SHIRT, **BUTTONS})

    extension = draft.piece("front bodice").edge("neck extension").length
    stand = draft.piece("collar stand")
    assert stand.edge("stand neck").length == pytest.approx(half_neck(draft) + extension, abs=1e-2)
    assert draft.piece("collar").edge("collar neck").length == pytest.approx(
        stand.edge("stand edge").length, abs=1e-2
    )
    assert [mark.kind for mark in stand.marks] == [MarkKind.BUTTONHOLE, MarkKind.BUTTON]
    assert sum(need.count for need in draft.notions if need.remark == "on the collar stand") == 1


def test_a_tie_hangs_from_the_centre_front() -> None:
    draft = drafted({"collar": TIE, **BUTTONS}, house={"tie_length": 400.0})

    band = draft.piece("collar")
    assert failed(draft) == []
    assert band.edge("collar neck").length == pytest.approx(half_neck(draft))
    assert band.edge("tie lower").length == pytest.approx(400.0)


@pytest.mark.parametrize(
    ("body", "words"), [("baby", "up to 7 years"), ("child", "up to 7 years"), ("girl", "under 14 years")]
)
def test_no_ties_at_a_childs_neck(body: str, words: str) -> None:
    girl = {"stature": 1400.0, "bust_girth": 700.0, "waist_girth": 620.0, "hip_girth": 740.0}

    with pytest.raises(BadChoice, match="EN 14682") as refusal:
        drafted({"collar": TIE, **BUTTONS}, BODIES.get(body, girl))

    assert refusal.value.field == "collar"
    assert words in str(refusal.value)


@pytest.mark.parametrize(
    ("choices", "field"),
    [
        ({"collar": FLAT, "neckline": "square"}, "neckline"),
        ({"collar": FLAT, "neckline": "boat"}, "neckline"),
        ({"collar": SHIRT, "neckline": "boat", **BUTTONS}, "neckline"),
        ({"collar": STAND, "neckline": "v"}, "neckline"),
        ({"collar": SHIRT}, "closure"),
        ({"collar": TIE, "closure": "none"}, "closure"),
        ({"collar": STAND, "closure": "none"}, "closure"),
        ({"collar": STAND, "neck_depth": 60.0}, "neck_depth"),
        ({"collar": FLAT, "collar_width": 195.0}, "collar_width"),
        ({"collar": TURNOVER, "collar_width": 30.0}, "collar_width"),
    ],
)
def test_collars_that_do_not_go_are_refused(choices: dict[str, str | float], field: str) -> None:
    with pytest.raises(BadChoice) as refusal:
        drafted(choices)

    assert refusal.value.field == field


def test_the_collar_is_made_up_before_it_is_set_on() -> None:
    order = [seam.name for seam in drafted({"collar": FLAT}).seams]

    assert order.index("collar edge") < order.index("collar to the neckline") < order.index("front neck")
    assert order.index("shoulder") < order.index("collar to the neckline")


@pytest.mark.parametrize("kind", [FLAT, STAND, TURNOVER, SHIRT])
@pytest.mark.parametrize("closure", ["front buttons", "centre-back zip"])
def test_an_under_collar_is_smaller_by_the_turn_of_the_cloth_and_its_collar_eased_on(
    kind: str, closure: str
) -> None:
    if (kind, closure) == (SHIRT, "centre-back zip"):
        with pytest.raises(BadChoice):
            drafted({"collar": kind, "closure": closure})
        return
    draft = drafted({"collar": kind, "closure": closure}, house={"under_collar_less": 3.0})
    collar, under = draft.piece("collar"), draft.piece("under-collar")

    assert collar.edge("collar back").length - under.edge("collar back").length == pytest.approx(3.0)
    assert collar.edge("collar neck").length == pytest.approx(under.edge("collar neck").length)
    seam = next(seam for seam in draft.seams if seam.name == "collar edge")
    difference = collar.edge("collar edge").length - under.edge("collar edge").length
    assert seam.ease == pytest.approx(difference)
    # A standing collar's edge runs higher, where the band is narrower: there the layers hardly differ.
    assert difference > (-1.0 if kind == STAND else 0.5)
    checked = next(row for row in draft.checks if row.name == "joined edges match: collar edge")
    assert checked.ok


def test_layers_are_alike_where_the_house_takes_nothing_for_the_turn_of_the_cloth() -> None:
    draft = drafted({"collar": TURNOVER, **BUTTONS}, house={"under_collar_less": 0.0})

    lengths = {draft.piece(name).edge("collar edge").length for name in ("collar", "under-collar")}
    assert len(lengths) == 1
