from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadCloth
from drafting.layplan import Cloth, LayItem, LayPlan, items_for, items_together, matches_of, plan_lay, verify
from drafting.layplan.items import Pin
from drafting.layplan.outline import moved
from drafting.layplan.ties import MATCH_LIMIT, apart, ties_of
from drafting.pattern import Draft
from tests.checks.lay_faults import faults
from tests.drafting.layplan.sample import BODY

CHECKS = Cloth("shell", 1500, repeat_length=80, repeat_width=60)
STRIPES = Cloth("shell", 1500, repeat_length=35)


@pytest.fixture(scope="module")
def blouse() -> Draft:
    return make_draft("shirt-blouse", Body.of(BODY))


@pytest.fixture(scope="module")
def laid(blouse: Draft) -> tuple[list[LayItem], LayPlan]:
    items = items_for(blouse, "shell", CHECKS)
    return items, plan_lay(items, CHECKS, seconds=0.3)


def test_matches_of_reads_the_seams_of_a_blouse(blouse: Draft) -> None:
    assert [(m.name, m.across, m.at_centre) for m in matches_of(blouse, "shell")] == [
        ("centre front: front", True, True),
        ("side: front to back", False, False),
        ("armhole: sleeve to front", False, False),
        ("right and left: sleeve", False, True),
    ]


def test_matches_of_takes_the_notch_where_a_seam_has_one(blouse: Draft) -> None:
    side = next(match for match in matches_of(blouse, "shell") if match.name.startswith("side"))
    back = blouse.piece("back")
    (notch,) = [notch for notch in back.notches if notch.edge == "side"]

    assert side.ends[1].piece == "back"
    assert side.ends[1].point == back.edge("side").path.point_at(notch.at)


def test_matches_of_sets_a_patch_pocket_on_its_place_both_ways() -> None:
    skirt = make_draft("straight-skirt", Body.of(BODY), {"pockets": "patch"})
    items = items_for(skirt, "shell", CHECKS)

    plan = plan_lay(items, CHECKS, seconds=0.1)

    assert {
        "pocket to its place: skirt front, right",
        "pocket to its place: skirt front, left",
        "pocket to its place: skirt front, right, across",
        "pocket to its place: skirt front, left, across",
    } <= set(plan.matched)
    assert faults(plan, skirt, "shell") == []


def test_items_for_pins_nothing_on_plain_cloth(blouse: Draft) -> None:
    assert {item.pins for item in items_for(blouse, "shell", Cloth("shell", 1500))} == {()}


def test_items_for_pins_both_sides_of_a_whole_back(blouse: Draft) -> None:
    (back,) = [item for item in items_for(blouse, "shell", CHECKS) if item.name == "back"]
    right, left = back.pins
    depth = max(y for _, y in back.polygon)

    assert (right.name, left.name) == ("side: front to back, right", "side: front to back, left")
    assert right.x == left.x
    assert right.y + left.y == pytest.approx(depth)


def test_items_for_pins_only_the_matches_named(blouse: Draft) -> None:
    items = items_for(blouse, "shell", CHECKS, match=["armhole: sleeve to front"])

    assert {pin.name for item in items for pin in item.pins} == {
        "armhole: sleeve to front, right",
        "armhole: sleeve to front, left",
    }


def test_items_for_refuses_a_match_that_the_draft_does_not_have(blouse: Draft) -> None:
    with pytest.raises(BadCloth, match="hood is no match of this draft; there are: armhole"):
        items_for(blouse, "shell", CHECKS, match=["hood"])


def test_items_together_matches_each_garment_for_itself(blouse: Draft) -> None:
    items = items_together([blouse, blouse], "shell", STRIPES)

    assert {pin.name.split()[0] for item in items if item.name == "2 back" for pin in item.pins} == {"2"}


def test_plan_lay_matches_every_notch(laid: tuple[list[LayItem], LayPlan]) -> None:
    items, plan = laid

    assert verify(plan, items) == ()
    assert plan.unmatched == ()
    assert plan.matched == (
        "centre front: front",
        "side: front to back, right",
        "armhole: sleeve to front, right",
        "side: front to back, left",
        "armhole: sleeve to front, left",
        "right and left: sleeve",
        "centre front: front, across",
    )


def test_verify_finds_a_piece_that_does_not_match(laid: tuple[list[LayItem], LayPlan]) -> None:
    items, plan = laid
    placed = [
        replace(row, outline=moved(row.outline, 2.0, 0.0)) if row.piece == "back" else row
        for row in plan.placed
    ]

    assert "side: front to back, right: does not match, 2.00 mm of the repeat apart" in verify(
        replace(plan, placed=tuple(placed)), items
    )


def test_verify_finds_a_match_that_is_passed_over(laid: tuple[list[LayItem], LayPlan]) -> None:
    items, plan = laid

    assert f"nothing is said of the match {plan.matched[0]}" in verify(
        replace(plan, matched=plan.matched[1:]), items
    )


def box(name: str, length: float, width: float, *pins: Pin) -> LayItem:
    return LayItem(name, 1, ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width)), pins=pins)


def test_plan_lay_puts_pieces_pinned_at_their_corners_on_one_lattice() -> None:
    """Worked by hand: two boxes of 100 mm on a repeat of 80 lie 160 mm apart; a third beside the first."""
    cloth = Cloth("shell", 120, selvedge=0, gap=0, repeat_length=80)
    items = [box(name, 100, 60 if name == "c" else 100, Pin("all", 0, 0)) for name in "abc"]

    plan = plan_lay(items, cloth, seconds=0.3)

    assert verify(plan, items) == ()
    assert plan.length == pytest.approx(420.0)


def test_a_match_that_contradicts_another_is_told() -> None:
    items = [
        box("a", 100, 100, Pin("first", 10, 0), Pin("second", 50, 0)),
        box("b", 100, 100, Pin("first", 10, 0), Pin("second", 60, 0)),
    ]

    plan = plan_lay(items, STRIPES, seconds=0.3)

    assert (plan.matched, plan.unmatched) == (("first",), ("second",))
    assert verify(plan, items) == ()


def test_pieces_with_no_room_to_move_across_are_matched_where_both_fit() -> None:
    """On 200 mm, 190 and 185 mm wide: 10 and 15 mm to move in, the pins 8 mm apart, a repeat of 60 mm."""
    cloth = Cloth("shell", 200, selvedge=0, gap=0, repeat_width=60)
    items = [box("a", 50, 190, Pin("m", 0, 20, True)), box("b", 50, 185, Pin("m", 0, 12, True))]

    plan = plan_lay(items, cloth, seconds=0.3)

    assert plan.matched == ("m, across",)
    assert verify(plan, items) == ()


def test_pieces_that_cannot_match_across_are_laid_and_it_is_told() -> None:
    cloth = Cloth("shell", 200, selvedge=0, gap=0, repeat_width=60)
    items = [box("a", 50, 190, Pin("m", 0, 20, True)), box("b", 50, 185, Pin("m", 0, 50, True))]

    plan = plan_lay(items, cloth, seconds=0.3)

    assert (plan.matched, plan.unmatched) == ((), ("m, across",))
    assert verify(plan, items) == ()


pin = st.builds(Pin, st.sampled_from("uvw"), st.floats(0, 90), st.floats(0, 90), st.booleans())


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.lists(st.lists(pin, max_size=2), min_size=2, max_size=6), st.floats(15, 90), st.floats(15, 90))
def test_ties_of_holds_what_it_says_it_matches(
    rows: list[list[Pin]], repeat_length: float, repeat_width: float
) -> None:
    """Any positions on the lattices of the ties match within the limit; whatever is pinned is spoken of."""
    cloth = Cloth("shell", 600, repeat_length=repeat_length, repeat_width=repeat_width)
    items = [box(f"p{n}", 100, 90, *pins) for n, pins in enumerate(rows)]

    ties = ties_of(items, cloth)

    for axis, (tied, step) in enumerate(((ties.x, repeat_length), (ties.y, repeat_width))):
        for name in ties.matched:
            across = name.endswith(", across")
            if across != (axis == 1):
                continue
            at = [
                (tied[n].offset if (tie := tied[n]) else 0.0) + (own.x, own.y)[axis]
                for n, item in enumerate(items)
                for own in item.pins
                if own.name == name.removesuffix(", across") and (own.across or not across)
            ]
            assert max(apart(at[0], other, step) for other in at) <= MATCH_LIMIT
            assert tie is not None
    assert not set(ties.matched) & set(ties.unmatched)
