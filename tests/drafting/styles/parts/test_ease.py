"""How a garment is to sit changes the house's ease, for this garment only."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadChoice, CannotDraft
from drafting.house import house_rules
from drafting.making import Making
from drafting.pattern import Draft
from drafting.styles import STYLES
from drafting.styles.choices import ChoiceValue, read_all
from drafting.styles.parts.ease import CLOTH_KIND, ROOM, SIT, Ease
from drafting.styles.parts.part import composed
from drafting.styles.parts.sleeves import NO_SLEEVE, SHORT, Sleeves
from drafting.styles.parts.uppers import FittedBodice
from drafting.units import Unit

HOUSE = house_rules()
BODY = Body.of({"stature": 1650, "bust_girth": 920, "waist_girth": 740, "hip_girth": 980})
INCH = 25.4


def eased(**choices: ChoiceValue) -> dict[str, float]:
    """The ease at bust, waist and hip in inches; the house has 2, 1 and 2 1/2."""
    making = Making(BODY, HOUSE, choices)
    Ease().make(making)
    return {name: making.house[f"{name}_ease"] / INCH for name in ("bust", "waist", "hip")}


@pytest.mark.parametrize(
    ("choices", "expected"),
    [
        ({}, (2, 1, 2.5)),
        ({"sit": "loose"}, (4, 3, 4.5)),
        ({"cloth_kind": "stretch"}, (0.5, 0.25, 0.625)),
        ({"room": 10 * INCH}, (5, 11, 12.5)),
    ],
)
def test_ease_of_a_garment(choices: dict[str, ChoiceValue], expected: tuple[float, ...]) -> None:
    assert tuple(eased(**choices).values()) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("sleeve", "rules", "expected"),
    [
        ("none", {}, 0.5),
        ("short", {}, 1),
        ("short", {"armhole_ease": 1.5 * INCH}, 1.5),
        ("short", {"armhole_ease_sleeved": 2 * INCH}, 2),
        ("none", {"armhole_ease_sleeved": 2 * INCH}, 0.5),
    ],
)
def test_the_armhole_lies_lower_under_a_sleeve(sleeve: str, rules: dict[str, float], expected: float) -> None:
    making = Making(BODY, house_rules(rules), {"sleeve": sleeve})

    Ease().make(making)

    assert making.house["armhole_ease"] / INCH == pytest.approx(expected)


def test_a_baby_s_armhole_lies_lower_in_proportion() -> None:
    """An armhole of 4 in instead of 7: 1 in becomes 4/7."""
    baby = Body.of(
        {
            "stature": 700,
            "bust_girth": 450,
            "waist_girth": 440,
            "hip_girth": 450,
            "armscye_depth": 4 * INCH,
        }
    )
    making = Making(baby, house_rules(), {"sleeve": "long"})

    Ease().make(making)

    assert making.house["armhole_ease"] == pytest.approx(INCH * 4 / 7)


def drafted(**choices: ChoiceValue) -> Draft:
    style = composed("any", "Any", "", (Ease(choices=(SIT, CLOTH_KIND, ROOM)), FittedBodice()))
    return style.recipe(BODY, read_all(style, choices, Unit.MM), HOUSE)


def test_the_drawn_girth_has_the_ease_and_the_draft_keeps_the_house_rules_as_they_came() -> None:
    draft = drafted(sit="loose")

    bust = next(level for level in draft.levels if level.name == "bust")
    assert bust.ease == pytest.approx(4 * INCH)
    assert draft.house == dict(HOUSE)


def test_stretch_cloth_cannot_be_cut_loose() -> None:
    with pytest.raises(BadChoice, match="hangs in folds"):
        drafted(sit="loose", cloth_kind="stretch")


SLEEVED = composed("sleeved", "Sleeved", "", (Ease(), FittedBodice(), Sleeves((SHORT, NO_SLEEVE))))
FOUR = {"stature": 1620.0, "bust_girth": 1000.0, "waist_girth": 820.0, "hip_girth": 1060.0}


def sleeved(arm: float, sleeve: str = SHORT) -> Draft:
    stout = Body.of({**FOUR, "upper_arm_girth": arm})
    return SLEEVED.recipe(stout, read_all(SLEEVED, {"sleeve": sleeve}, Unit.MM), HOUSE)


def armhole_of(draft: Draft) -> float:
    return sum(draft.piece(name).edge("armhole").length for name in ("front bodice", "back bodice"))


def test_armhole_lies_lower_for_a_stout_arm_so_that_its_sleeve_goes_in() -> None:
    usual, stout = sleeved(320.0), sleeved(410.0)

    assert armhole_of(stout) > armhole_of(usual) + 10
    cap = stout.piece("sleeve").edge("cap").path
    assert abs(cap.start.x - cap.end.x) >= 410.0 + INCH - 1e-6
    assert [note for note in stout.notes if "upper arm finds room" in note] != []
    assert [note for note in usual.notes if "upper arm finds room" in note] == []
    # Without a sleeve there is nothing to find room in.
    assert armhole_of(sleeved(410.0, NO_SLEEVE)) == armhole_of(sleeved(320.0, NO_SLEEVE))


def test_arm_that_no_lowering_lets_in_is_refused() -> None:
    with pytest.raises(CannotDraft, match="does not go into an armhole") as refusal:
        sleeved(560.0)

    assert refusal.value.field == "upper_arm_girth"


def test_room_counts_only_beside_the_choice_that_it_is_asked_with() -> None:
    def hip(style: str, **choices: ChoiceValue) -> float:
        draft = make_draft(style, Body.of(FOUR), {"room": 100.0, **choices})
        assert draft.passed
        return next(made.garment for made in draft.finished if made.name == "hip")

    plain = FOUR["hip_girth"] + HOUSE["hip_ease"]
    assert hip("trousers", closure="elastic") == pytest.approx(plain + 100.0)
    assert hip("trousers", closure="fly") == pytest.approx(plain)


def test_room_for_a_pregnancy_is_offered_where_nothing_holds_the_waist() -> None:
    offering = {style.name for style in STYLES.values() if any(c.name == "room" for c in style.choices)}

    assert offering == {
        "choir-robe",
        "high-waist-dress",
        "party-dress",
        "play-dress",
        "shift-dress",
        "shirt-blouse",
        "tiered-skirt",
        "trousers",
    }
    for style in offering:
        body = Body.of({**FOUR, "waist_girth": 1150.0})  # a waist larger than the bust, and room beside it
        assert make_draft(style, body, {"room": 150.0}).passed, style
