"""Sleeves set into any armhole: every check passes, or the cause is named."""

from __future__ import annotations

from random import Random

import pytest

from drafting.body import CATALOGUE, Body
from drafting.errors import BadChoice, CannotDraft
from drafting.finishing import finish
from drafting.house import HOUSE_RULES, house_rules
from drafting.making import Phase
from drafting.pattern import Draft, Method, Seam
from drafting.styles.choices import ChoiceValue, Style, read_all
from drafting.styles.parts.closures import Closure, ZipIn
from drafting.styles.parts.linings import Lining
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import composed
from drafting.styles.parts.skirts import GatheredSkirt
from drafting.styles.parts.sleeves import (
    BELL,
    BISHOP,
    CAP,
    CUFF,
    ELASTIC,
    KINDS,
    LONG,
    NO_SLEEVE,
    PUFF,
    SHORT,
    Sleeves,
)
from drafting.styles.parts.uppers import ALine, FittedBodice
from drafting.truing import check
from drafting.units import Unit

WOMAN = {"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0}
BABY = {"stature": 600.0, "bust_girth": 420.0, "waist_girth": 410.0, "hip_girth": 430.0}
CHILD = {"stature": 1100.0, "bust_girth": 580.0, "waist_girth": 550.0, "hip_girth": 600.0}
STOUT = {"stature": 1650.0, "bust_girth": 1600.0, "waist_girth": 1500.0, "hip_girth": 1600.0}
BODIES = {"woman": WOMAN, "baby": BABY, "child": CHILD, "stout": STOUT}
FIELDS = {"sleeve_length", "sleeve_width", "sleeve_end", "upper_arm_girth", "cap_ease"}


def style(*, flat: bool = False) -> Style:
    parts = (Closure(), ALine(), Neckline(), Sleeves(flat=flat), ZipIn())
    return composed("any", "Any", "", parts)


SET_IN, FLAT = style(), style(flat=True)
LINED = composed(
    "lined",
    "Lined",
    "",
    (
        Closure(),
        FittedBodice(),
        Neckline(),
        Sleeves(),
        GatheredSkirt(),
        Lining(("full", "none")),
        ZipIn(),
    ),
)


def drafted(
    body: dict[str, float],
    made: Style = SET_IN,
    house: dict[str, float] | None = None,
    **choices: ChoiceValue,
) -> Draft:
    read = read_all(made, choices, Unit.MM)
    return finish(made.recipe(Body.of(body), read, house_rules(house or {})))


def faults(draft: Draft) -> list[str]:
    """The checks that failed."""
    return [f"{c.name}: {c.value:.3f} {c.remark}" for c in check(draft) if not c.ok]


def seam(draft: Draft, name: str) -> Seam:
    return next(seam for seam in draft.seams if seam.name == name)


@pytest.mark.parametrize("kind", [NO_SLEEVE, *KINDS])
@pytest.mark.parametrize("body", BODIES.values(), ids=BODIES)
def test_every_sleeve_is_right_on_every_size(body: dict[str, float], kind: str) -> None:
    for made in (SET_IN, FLAT):
        assert faults(drafted(body, made, sleeve=kind)) == []


@pytest.mark.parametrize(("kind", "end"), [(SHORT, CUFF), (SHORT, ELASTIC), (LONG, CUFF), (BISHOP, ELASTIC)])
@pytest.mark.parametrize("body", BODIES.values(), ids=BODIES)
def test_every_end_is_right_on_every_size(body: dict[str, float], kind: str, end: str) -> None:
    assert faults(drafted(body, sleeve=kind, sleeve_end=end)) == []


@pytest.mark.parametrize("finish_", ["facing", "binding"])
@pytest.mark.parametrize("body", BODIES.values(), ids=BODIES)
def test_an_armhole_without_sleeve_is_finished(body: dict[str, float], finish_: str) -> None:
    draft = drafted(body, sleeve=NO_SLEEVE, armhole_finish=finish_)

    assert faults(draft) == []
    assert seam(draft, "armhole").method is Method.FACED
    pieces = {piece.name for piece in draft.pieces}
    facings = {"front armhole facing", "back armhole facing"}
    assert pieces & (facings | {"armhole binding"}) == (
        facings if finish_ == "facing" else {"armhole binding"}
    )


def test_a_lined_armhole_has_neither_facing_nor_binding() -> None:
    draft = drafted(WOMAN, LINED, sleeve=NO_SLEEVE)

    assert not [piece.name for piece in draft.pieces if "armhole" in piece.name]
    assert seam(draft, "lining at the armhole").method is Method.LINED


@pytest.mark.parametrize("kind", [SHORT, PUFF, BISHOP, CAP])
def test_a_fully_lined_sleeve_has_its_lining_set_into_the_linings_armhole(kind: str) -> None:
    draft = drafted(WOMAN, LINED, sleeve=kind)

    assert faults(draft) == []
    assert {cut.cloth for cut in draft.piece("sleeve lining").cuts} == {"lining"}
    lining, shell = seam(draft, "armhole of the lining"), seam(draft, "armhole")
    assert lining.ease == pytest.approx(shell.ease)
    assert draft.seams.index(shell) < draft.seams.index(lining)


def test_set_in_sleeve_is_eased_after_the_sides_and_a_flat_one_plain_before_them() -> None:
    set_in, flat = drafted(WOMAN, sleeve=LONG), drafted(WOMAN, FLAT, sleeve=LONG)

    names = [[seam.name for seam in draft.seams] for draft in (set_in, flat)]
    assert seam(set_in, "armhole").method is Method.EASED
    assert names[0].index("underarm of the sleeve") < names[0].index("side") < names[0].index("armhole")
    assert seam(flat, "armhole").method is Method.PLAIN
    assert seam(flat, "armhole").ease == 0.0
    assert names[1].index("armhole") < names[1].index("side") < names[1].index("underarm of the sleeve")
    assert Phase.ARMHOLES < Phase.SIDES


def test_the_sleeve_has_one_notch_in_front_two_behind_and_one_at_the_shoulder() -> None:
    draft = drafted(WOMAN, sleeve=LONG)

    on_cap = [notch for notch in draft.piece("sleeve").notches if notch.edge == "cap"]
    assert [notch.count for notch in sorted(on_cap, key=lambda notch: notch.at)] == [1, 1, 2]
    at_shoulder = sorted(notch.at for notch in on_cap)[1]
    seam = next(seam for seam in draft.seams if seam.name == "armhole")
    front = draft.side_length(seam.b[:1])
    # Its mate is the shoulder seam: the cap's ease lies before and behind it in proportion.
    in_share = at_shoulder * draft.side_length(seam.b) / draft.side_length(seam.a)
    assert in_share == pytest.approx(front, abs=1.0)


def test_no_notch_lies_in_the_corner_of_shoulder_and_armhole() -> None:
    front = drafted(WOMAN, sleeve=LONG).piece("front")

    assert all(
        10.0 < notch.at < front.edge(notch.edge).length - 10.0
        for notch in front.notches
        if notch.edge == "armhole"
    )


def test_the_cuff_is_sewn_on_from_the_slit_round_to_the_slit() -> None:
    draft = drafted(WOMAN, sleeve=LONG, sleeve_end=CUFF)
    slit = next(mark.path.start for mark in draft.piece("sleeve").marks if mark.name == "slit")

    sides = list(draft.walk(seam(draft, "sleeve to its cuff").a))

    assert sides[0].start == slit == sides[-1].end


def test_armholes_take_a_seams_allowance_with_a_sleeve_and_an_enclosed_one_without() -> None:
    allowances = [
        drafted(WOMAN, sleeve=kind).piece("front").edge("armhole").allowance for kind in (SHORT, NO_SLEEVE)
    ]

    house = house_rules()
    assert allowances == [house["seam_allowance"], house["enclosed_allowance"]]


def test_a_chosen_length_and_width_are_what_is_drawn() -> None:
    draft = drafted(WOMAN, sleeve=SHORT, sleeve_length=240.0, sleeve_width=330.0)

    hem = draft.piece("sleeve").edge("hem").path
    finished = {row.name: row.garment for row in draft.finished}
    assert finished["sleeve length from the shoulder"] == 240.0
    assert abs(hem.end.x - hem.start.x) == pytest.approx(330.0)


def test_a_chosen_width_closes_the_cuff() -> None:
    cuff = drafted(WOMAN, sleeve=LONG, sleeve_end=CUFF, sleeve_width=210.0).piece("cuff")

    assert cuff.edge("seam").length == pytest.approx(210.0)
    assert {notion.kind for notion in drafted(WOMAN, sleeve=LONG, sleeve_end=CUFF).notions} >= {"button"}


def test_elastic_is_bought_for_both_sleeves() -> None:
    (elastic,) = [
        notion
        for notion in drafted(CHILD, sleeve=LONG, sleeve_end=ELASTIC).notions
        if notion.kind == "elastic"
    ]

    assert elastic.count == 2
    assert elastic.size_mm == pytest.approx(0.95 * Body.of(CHILD)["wrist_girth"] + 12.7)


@pytest.mark.parametrize(
    ("choices", "field", "advice"),
    [
        ({"sleeve": SHORT, "sleeve_length": 60.0}, "sleeve_length", "make it at least"),
        ({"sleeve": LONG, "sleeve_length": 900.0}, "sleeve_length", "make it at most"),
        ({"sleeve": LONG, "sleeve_width": 100.0}, "sleeve_width", "does not go over an arm"),
        ({"sleeve": SHORT, "sleeve_width": 1500.0}, "sleeve_width", "choose a hem nearer to that"),
        ({"sleeve": PUFF, "sleeve_width": 900.0}, "sleeve_width", "wider than the sleeve"),
        ({"sleeve": CAP, "sleeve_length": 150.0}, "sleeve_length", "choose a short sleeve"),
        ({"sleeve": BELL, "sleeve_end": CUFF}, "sleeve_end", "hangs open"),
        ({"sleeve": PUFF, "sleeve_end": "hem"}, "sleeve_end", "choose a cuff or band"),
        ({"sleeve": CAP, "sleeve_end": ELASTIC}, "sleeve_end", "it is hemmed"),
    ],
)
def test_a_refusal_says_what_would_do(choices: dict[str, ChoiceValue], field: str, advice: str) -> None:
    with pytest.raises((BadChoice, CannotDraft), match=advice) as refusal:
        drafted(WOMAN, **choices)

    assert refusal.value.field == field


def test_an_arm_too_thick_for_its_armhole_is_refused() -> None:
    with pytest.raises(CannotDraft, match="does not go into an armhole") as refusal:
        drafted(WOMAN | {"upper_arm_girth": 420.0}, sleeve=LONG)

    assert refusal.value.field == "upper_arm_girth"


def sample(rng: Random) -> tuple[dict[str, float], dict[str, ChoiceValue], dict[str, float], bool]:
    """Any body with any sleeve, and some house rules at a limit."""
    stature = rng.uniform(600, 2000)
    bust = min(max(stature * rng.uniform(0.4, 1.0), 350), 1600)
    body = {
        "stature": stature,
        "bust_girth": bust,
        "waist_girth": max(bust * rng.uniform(0.62, 1.1), 320),
        "hip_girth": max(bust * rng.uniform(0.88, 1.25), 350),
    }
    chosen: dict[str, ChoiceValue] = {}
    for choice in Sleeves().choices:
        if choice.kind == "option":
            chosen[choice.name] = rng.choice(choice.options)[0]
        elif rng.random() < 0.15:
            chosen[choice.name] = rng.uniform(choice.low or 0.0, choice.high or 0.0)
    rules = ("cap_ease", "sleeve_ease", "sleeve_hem", "cuff_depth", "binding_width", "armhole_ease")
    house = {
        name: rng.choice((HOUSE_RULES[name].low, HOUSE_RULES[name].high))
        for name in rng.sample(rules, rng.randint(0, 2))
    }
    return body, chosen, house, rng.random() < 0.5


def outcome(case: tuple[dict[str, float], dict[str, ChoiceValue], dict[str, float], bool]) -> str:
    """``right``, the field of a refusal, or what is wrong."""
    body, chosen, house, flat = case
    try:
        return "; ".join(faults(drafted(body, FLAT if flat else SET_IN, house, **chosen))) or "right"
    except (BadChoice, CannotDraft) as refusal:
        return refusal.field


def test_any_body_with_any_sleeve_is_right_or_refused_with_its_cause() -> None:
    rng = Random(20)
    told = [outcome(sample(rng)) for _ in range(60)]

    assert set(told) <= {"right"} | FIELDS | set(CATALOGUE) | set(HOUSE_RULES)
    assert told.count("right") > 30


def test_most_bodies_have_their_sleeve_without_further_ado() -> None:
    """A refusal is never the easy way out, and with sizes left to the house never one of a size."""
    rng = Random(21)
    told = [
        outcome((sample(rng)[0], {"sleeve": kind}, {}, flat)) for kind in KINDS for flat in (True, False) * 2
    ]

    assert not set(told) & {"sleeve_length", "sleeve_width", "sleeve_end"}
    assert told.count("right") >= 0.85 * len(told)
