"""Uppers by themselves: any body with any choices is right or refused with its cause.

Neckline and armholes are left bare (turned edges), so that nothing but the upper is tried.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from random import Random

import pytest

from drafting import make_draft
from drafting.blocks.sketch import Stroke
from drafting.body import Body
from drafting.errors import BadChoice, CannotDraft
from drafting.finishing import finish
from drafting.geometry import distance
from drafting.house import HOUSE_RULES, house_rules
from drafting.making import Making
from drafting.pattern import Draft, EdgeKind, Level, MarkKind, Method
from drafting.styles.choices import Choice, ChoiceValue, Clash, Style, read_all
from drafting.styles.parts.closures import BACK_ZIP, FRONT_BUTTONS, NONE, Closure, ZipIn
from drafting.styles.parts.part import Part, composed
from drafting.styles.parts.uppers import ALine, FittedBodice, PlainBodice, Sheath, Shift, Tunic
from drafting.truing import check
from drafting.units import Unit

INCH = 25.4
SEAMS = ("natural", "raised", "dropped")
ADULT = {"stature": 1640.0, "bust_girth": 900.0, "waist_girth": 720.0, "hip_girth": 960.0}
BABY = {"stature": 680.0, "bust_girth": 440.0, "waist_girth": 450.0, "hip_girth": 455.0}
LARGE = {"stature": 1650.0, "bust_girth": 1300.0, "waist_girth": 1400.0, "hip_girth": 1320.0}


@dataclass(frozen=True)
class Bare:
    """Leaves neckline, armholes and waist as turned edges."""

    choices: tuple[Choice, ...] = ()
    needs: tuple[str, ...] = ()
    clashes: tuple[Clash, ...] = ()

    def make(self, making: Making) -> None:
        open_edges = {"neck", "armhole", "neck extension", "front edge", "waist extension"}
        for side in ("front", "back"):
            sketch = making.shell(side)
            sketch.notches = []
            waist = {step.edge for step in making.lines.get(f"{side} waist", ())}
            for stroke in list(sketch.strokes):
                if stroke.name in open_edges | waist:
                    turned = Stroke(stroke.name, stroke.path, EdgeKind.HEM, stroke.allowance)
                    sketch.put(stroke.name, turned)


def style(upper: Part, *closures: str) -> Style:
    return composed("upper", "Upper", "", (Closure(closures or (BACK_ZIP,)), upper, Bare(), ZipIn()))


UPPERS = {
    "shift": style(Shift(), BACK_ZIP, FRONT_BUTTONS, NONE),
    "sheath": style(Sheath()),
    "a-line": style(ALine(), BACK_ZIP, FRONT_BUTTONS, NONE),
    "tunic": style(Tunic(), BACK_ZIP, FRONT_BUTTONS, NONE),
    "fitted": style(FittedBodice(SEAMS)),
    "plain": style(PlainBodice(SEAMS)),
}


def drafted(
    name: str,
    measurements: dict[str, float],
    choices: dict[str, ChoiceValue] | None = None,
    house: dict[str, float] | None = None,
) -> Draft:
    upper = UPPERS[name]
    read = read_all(upper, choices or {}, Unit.MM)
    draft = finish(upper.recipe(Body.of(measurements), read, house_rules(house or {})))
    return replace(draft, checks=check(draft))


def faults(draft: Draft) -> list[str]:
    return [f"{row.name}: {row.value:.3f} > {row.limit:g}" for row in draft.checks if not row.ok]


def level(draft: Draft, name: str) -> Level:
    return next(level for level in draft.levels if level.name == name)


def any_body(rng: Random) -> dict[str, float]:
    stature = rng.uniform(600, 2000)
    bust = min(max(stature * rng.uniform(0.4, 1.0), 350.0), 1600.0)
    waist, hip = bust * rng.uniform(0.62, 1.1), bust * rng.uniform(0.88, 1.25)
    return {
        "stature": stature,
        "bust_girth": bust,
        "waist_girth": max(waist, 320.0),
        "hip_girth": max(hip, 350.0),
    }


def any_choices(upper: Style, rng: Random) -> dict[str, ChoiceValue]:
    chosen: dict[str, ChoiceValue] = {}
    for choice in upper.choices:
        if choice.kind == "option":
            chosen[choice.name] = rng.choice(choice.options)[0]
        elif rng.random() < 0.15:
            chosen[choice.name] = rng.uniform(choice.low or 0.0, choice.high or 0.0)
    return chosen


def outcome(name: str, rng: Random) -> str:
    """``right``, ``refused``, or what is wrong with the draft or with the refusal."""
    upper = UPPERS[name]
    body, chosen = any_body(rng), any_choices(upper, rng)
    rules = rng.sample(sorted(HOUSE_RULES), 3 if rng.random() < 0.4 else 0)
    house = {rule: rng.choice((HOUSE_RULES[rule].low, HOUSE_RULES[rule].high)) for rule in rules}
    try:
        wrong = faults(drafted(name, body, chosen, house))
    except (BadChoice, CannotDraft) as refusal:
        fields = {choice.name for choice in upper.choices} | set(upper.needs) | set(HOUSE_RULES)
        return "refused" if refusal.field in fields else f"refused at no field: {refusal}"
    return f"{wrong[0]} with {body}, {chosen}, {house}" if wrong else "right"


@pytest.mark.parametrize("name", sorted(UPPERS))
def test_an_upper_is_right_or_refused_with_its_cause(name: str) -> None:
    rng = Random(name)

    told = Counter(outcome(name, rng) for _ in range(25))

    assert set(told) <= {"right", "refused"}
    assert told["right"] >= 15


@pytest.mark.parametrize("name", sorted(UPPERS))
@pytest.mark.parametrize("wearer", [BABY, ADULT, LARGE])
def test_an_upper_left_to_the_house_is_drawn_for_everybody(name: str, wearer: dict[str, float]) -> None:
    assert faults(drafted(name, wearer)) == []


@pytest.mark.parametrize(
    ("name", "eases"),
    [
        ("shift", {"bust": 3, "hip": 4}),
        ("sheath", {"bust": 2, "waist": 1, "hip": 2.5}),
        ("tunic", {"bust": 3, "hip": 4}),
        ("fitted", {"bust": 2, "waist": 1}),
    ],
)
def test_an_upper_has_the_ease_of_its_kind(name: str, eases: dict[str, float]) -> None:
    draft = drafted(name, ADULT)

    assert {level.name: level.ease / INCH for level in draft.levels} == pytest.approx(eases)


def test_a_tunic_with_darts_is_loose_at_the_waist() -> None:
    draft = drafted("tunic", ADULT, {"fit": "darts"})

    assert level(draft, "waist").ease == pytest.approx(3 * INCH)
    assert {dart.name for dart in draft.darts if dart.piece == "back"} == {
        "waist dart 1 above the waist",
        "waist dart 1 below the waist",
    }


def test_a_sheath_marks_its_darts_and_the_holes_inside_them() -> None:
    marks = drafted("sheath", ADULT).piece("back").marks

    assert sum(mark.kind is MarkKind.DART for mark in marks) == 1
    assert sum(mark.kind is MarkKind.DRILL for mark in marks) == 4


def test_a_back_vent_ends_the_centre_seam_and_slits_end_the_sides() -> None:
    vent = drafted("sheath", ADULT)
    slits = drafted("sheath", ADULT, {"walking": "side slits"})

    back = vent.piece("back")
    assert back.edge("vent edge").kind is EdgeKind.HEM
    assert back.edge("vent top").kind is EdgeKind.SEAM
    assert back.edge("vent hem").length == pytest.approx(house_rules()["vent_width"])
    assert back.edge("centre back seam").path.end.x == back.edge("vent top").path.start.x == 0.0
    assert slits.piece("front").edge("slit").length == pytest.approx(8 * INCH, abs=0.01)
    assert slits.piece("back").edge("slit").kind is EdgeKind.HEM
    assert faults(slits) == []


def test_a_dress_too_short_for_a_vent_says_so() -> None:
    with pytest.raises(BadChoice) as refusal:
        drafted("sheath", ADULT, {"length": 575.0})

    assert refusal.value.field == "walking"
    assert faults(drafted("sheath", ADULT, {"length": 575.0, "walking": "none"})) == []


@pytest.mark.parametrize("name", ["shift", "a-line", "sheath", "tunic"])
@pytest.mark.parametrize("length", [250.0, 1700.0])
def test_a_length_that_shows_the_hip_or_trails_is_refused(name: str, length: float) -> None:
    with pytest.raises(BadChoice, match="must lie between") as refusal:
        drafted(name, ADULT, {"length": length})

    assert refusal.value.field == "length"


def test_a_short_tunic_has_no_hip_girth() -> None:
    draft = drafted("tunic", ADULT, {"length": 450.0})

    assert [level.name for level in draft.levels] == ["bust"]
    assert faults(draft) == []


def test_a_child_has_no_darts_and_a_woman_has_a_bust_dart() -> None:
    assert drafted("a-line", BABY).darts == ()
    assert [dart.name for dart in drafted("a-line", ADULT).darts] == ["bust dart"]


def making(upper: Part, **choices: ChoiceValue) -> Making:
    made = Making(Body.of(ADULT), house_rules(), choices)
    upper.make(made)
    return made


def test_the_height_of_the_waist_seam_is_said_for_the_skirt() -> None:
    natural, raised, dropped = (
        making(FittedBodice(SEAMS), waist_seam=seam, raised_by=50.0, dropped_by=90.0) for seam in SEAMS
    )

    assert natural.waist_height == 0.0
    assert raised.waist_height == 50.0
    assert dropped.waist_height == -90.0
    for made in (natural, raised, dropped):
        assert made.run_path("back neck").end.x == 0.0
        first = made.lines["back waist"][0]
        assert made.shell("back").path(first.edge).start == (0.0, made.waist_height)


def test_a_plain_bodice_is_straight_or_taken_in_at_the_side_only() -> None:
    straight, shaped = (making(PlainBodice(), plain_side=side) for side in ("straight", "shaped"))

    for made in (straight, shaped):
        assert [step.edge for step in made.lines["front waist"]] == ["waist side"]
    widths = [made.widths("waist", "back bodice")[0] for made in (straight, shaped)]
    across = [distance(width.start, width.end) for width in widths]
    assert across[0] == pytest.approx((900 + 2 * INCH) / 4)
    assert across[0] - across[1] == pytest.approx(1 * INCH)


@pytest.mark.parametrize("style", ["shift-dress", "sheath-dress", "play-dress", "choir-robe", "shirt-blouse"])
def test_a_hollow_back_without_a_waist_seam_is_folded_out_at_the_waist(style: str) -> None:
    plain = make_draft(style, Body.of(ADULT))
    hollow = make_draft(style, Body.of(ADULT, fit={"sway_back": 12.0}))

    def lengths(draft: Draft, word: str) -> float:
        return sum(edge.length for edge in draft.piece("back").edges if word in edge.name)

    assert faults(hollow) == []
    assert lengths(plain, "centre back") - lengths(hollow, "centre back") == pytest.approx(12.0, abs=0.6)
    for same in ("side", "armhole", "shoulder", "neck"):
        assert lengths(hollow, same) == pytest.approx(lengths(plain, same), abs=1e-6)
    assert hollow.piece("back").edge("hem").length == pytest.approx(plain.piece("back").edge("hem").length)
    assert hollow.piece("front") == plain.piece("front")
    assert any("Hollow back" in note for note in hollow.notes)
    assert not any("Hollow back" in note for note in plain.notes)
    # A back cut on the fold cannot bend: it gets a seam, which is sewn.
    assert not hollow.piece("back").on_fold


@pytest.mark.parametrize("closure", ["centre-back zip", "none"])
def test_a_lining_bends_with_a_hollow_back(closure: str) -> None:
    choices: dict[str, ChoiceValue] = {"lining": "full", "closure": closure}
    plain = make_draft("shift-dress", Body.of(ADULT), choices)
    hollow = make_draft("shift-dress", Body.of(ADULT, fit={"sway_back": 12.0}), choices)

    def centre(draft: Draft) -> float:
        edges = draft.piece("back lining").edges
        return sum(edge.length for edge in edges if edge.name.startswith("centre back"))

    assert faults(hollow) == []
    assert centre(plain) - centre(hollow) == pytest.approx(12.0, abs=1.5)
    sides = [draft.piece("back lining").edge("side").length for draft in (plain, hollow)]
    assert sides[1] == pytest.approx(sides[0], abs=0.01)


@pytest.mark.parametrize(
    ("choices", "why"),
    [({"closure": "hook"}, "slit on its fold")],
)
def test_a_hollow_back_that_cannot_be_folded_out_is_noted_with_the_reason(
    choices: dict[str, ChoiceValue], why: str
) -> None:
    draft = make_draft("shift-dress", Body.of(ADULT, fit={"sway_back": 12.0}), choices)

    assert faults(draft) == []
    assert [why in note for note in draft.notes if "Hollow back" in note] == [True]
    plain = make_draft("shift-dress", Body.of(ADULT), choices)
    assert draft.piece("back") == plain.piece("back")


def test_a_hollow_back_does_not_shape_a_bodice_that_ends_above_it() -> None:
    """Without darts at most about 15 mm could be taken out at the waist; a raised seam takes out nothing."""
    upper, hollow = UPPERS["plain"], Body.of(BABY, fit={"sway_back": 20.0})

    draft = upper.recipe(hollow, read_all(upper, {"waist_seam": "raised"}, Unit.MM), house_rules())

    assert draft.piece("back bodice") == drafted("plain", BABY, {"waist_seam": "raised"}).piece(
        "back bodice"
    ).with_(cut_line=(), notches=(), remarks=())
    with pytest.raises(CannotDraft) as refusal:
        upper.recipe(hollow, read_all(upper, {}, Unit.MM), house_rules())
    assert refusal.value.field == "sway_back"


def test_shoulders_are_eased_and_sides_plain() -> None:
    methods = {seam.name: seam.method for seam in drafted("shift", ADULT).seams}

    assert methods["shoulder"] is Method.EASED
    assert methods["side"] is Method.PLAIN


@pytest.mark.parametrize("name", ["shift-dress", "sheath-dress", "play-dress", "high-waist-dress"])
@pytest.mark.parametrize("wearer", [BABY, ADULT, LARGE])
def test_the_dresses_are_right(name: str, wearer: dict[str, float]) -> None:
    assert faults(make_draft(name, Body.of(wearer))) == []


@pytest.mark.parametrize("seam", SEAMS)
def test_a_lined_party_dress_is_right_at_every_seam(seam: str) -> None:
    draft = make_draft("party-dress", Body.of(ADULT), {"waist_seam": seam, "lining": "full"})

    assert faults(draft) == []


def test_a_raised_seam_leaves_the_side_under_two_bust_darts_as_long_as_they_are_wide() -> None:
    """Found by a sweep: two wide darts of a girl whose front is drawn 60 mm longer."""
    girl = {"stature": 989.0, "bust_girth": 767.0, "waist_girth": 677.0, "hip_girth": 873.0}

    draft = make_draft("party-dress", Body.of(girl, fit={"front_length": 60.0}), {"waist_seam": "raised"})

    lowest = next(dart for dart in draft.darts if dart.name == "bust dart 2")
    under = draft.piece("front bodice").edge("side lower").length
    assert under >= distance(lowest.start, lowest.end) - 1e-6
    assert faults(draft) == []


def test_a_zip_ends_at_a_dropped_seam() -> None:
    draft = make_draft("party-dress", Body.of(ADULT), {"waist_seam": "dropped", "dropped_by": 90.0})

    zip_needed = next(need for need in draft.notions if need.kind == "zip")
    assert zip_needed.size_mm == pytest.approx(draft.piece("back bodice").edge("centre back").length)
    assert "centre back" not in {edge.name for edge in draft.piece("skirt back").edges}


def test_a_skirt_hangs_from_a_raised_seam() -> None:
    draft = make_draft("high-waist-dress", Body.of(ADULT), {"raised_by": 50.0, "skirt_length": 600.0})

    skirt = draft.piece("skirt back")
    assert max(point.y for point in skirt.outline()) == pytest.approx(50.0, abs=0.1)
    assert min(point.y for point in skirt.outline()) == pytest.approx(-600.0, abs=0.1)


def test_hem_below_a_button_stand_is_as_deep_as_beside_it() -> None:
    draft = make_draft("shirt-blouse", Body.of(ADULT))

    for name in ("front", "front facing"):
        hems = {edge.allowance for edge in draft.piece(name).edges if edge.name in {"hem", "hem extension"}}
        assert hems == {draft.house["top_hem"]}
