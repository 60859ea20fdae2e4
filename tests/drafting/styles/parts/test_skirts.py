"""What skirts draw and say: seams, closures, lining, hems, and what they refuse."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.details.buttons import buttonholes
from drafting.errors import BadChoice
from drafting.pattern import Draft, EdgeKind, MarkKind, Method, Piece, Seam
from drafting.styles.choices import ChoiceValue
from tests.drafting.styles.outcomes import tallied
from tests.drafting.styles.wearers import random_cases

WOMAN = Body.of({"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0})
TODDLER = Body.of({"stature": 950.0, "bust_girth": 540.0, "waist_girth": 520.0, "hip_girth": 560.0})
INCH = 25.4


def drafted(style: str, body: Body = WOMAN, /, **choices: ChoiceValue) -> Draft:
    draft = make_draft(style, body, choices)
    assert [f"{check.name}: {check.value}" for check in draft.checks if not check.ok] == []
    return draft


def names(draft: Draft) -> set[str]:
    return {piece.name for piece in draft.pieces}


def seam(draft: Draft, name: str) -> Seam:
    return next(seam for seam in draft.seams if seam.name == name)


def kinds(piece: Piece) -> Mapping[str, EdgeKind]:
    return {edge.name: edge.kind for edge in piece.edges}


# The waistband


def test_waistband_is_the_waist_its_ease_and_an_underlap() -> None:
    band = drafted("straight-skirt").piece("waistband")

    # 725 + 3/4 in all round, 1 1/4 in beyond the zip.
    assert band.edge("inside").length == pytest.approx(725 + 0.75 * INCH + 1.25 * INCH)
    assert band.edge("first end outside").length == pytest.approx(1.25 * INCH)
    assert {cut.cloth for cut in band.cuts} == {"shell", "interfacing"}


def test_waistband_of_elastic_passes_the_hip_and_is_a_ring() -> None:
    draft = drafted("tiered-skirt", TODDLER)

    assert draft.piece("waistband").edge("inside").length == pytest.approx(560 + 2.5 * INCH)
    assert seam(draft, "ends of the casing, outside").method is Method.PLAIN
    (elastic,) = (need for need in draft.notions if need.kind == "elastic")
    assert elastic.size_mm == pytest.approx(0.92 * 520)
    assert [need.kind for need in draft.notions] == ["elastic"]  # nothing that a child could pull off


def test_waistband_opens_at_the_left_side_with_a_side_zip() -> None:
    band = drafted("straight-skirt", closure="side zip").piece("waistband")
    lower = [edge.name for edge in band.edges if edge.name.startswith("waist ")]

    assert lower == [
        "waist first lap",
        "waist left back",
        "waist right back",
        "waist right front",
        "waist left front",
    ]


# Closures


def test_a_side_zip_opens_one_side_only() -> None:
    draft = drafted("gored-skirt", closure="side zip")
    zipped, right = seam(draft, "left side of the skirt"), seam(draft, "right side of the skirt, above")

    assert zipped.method is Method.ZIP
    assert (zipped.times, right.times, seam(draft, "side of the skirt").times) == (1, 1, 2)
    assert draft.side_length(zipped.a) == pytest.approx(WOMAN["waist_to_hip"], abs=0.5)
    assert zipped.a == right.a


def test_a_back_zip_ends_at_the_hip_and_the_seam_goes_on() -> None:
    draft = drafted("straight-skirt", skirt="A-line")

    back = draft.piece("skirt back")

    assert back.edge("centre back").length == pytest.approx(WOMAN["waist_to_hip"], abs=0.01)
    assert kinds(back)["centre back"] is EdgeKind.OPENING
    assert kinds(back)["centre back seam"] is EdgeKind.SEAM


def test_front_buttons_face_the_stand_down_to_the_hem() -> None:
    draft = drafted("pleated-skirt", closure="front buttons")
    front, facing = draft.piece("skirt front"), draft.piece("skirt front facing")

    assert front.edge("front edge").length == facing.edge("front edge").length
    assert seam(draft, "button stand").method is Method.FACED
    marks = [mark.kind for mark in front.marks]
    holes = marks.count(MarkKind.BUTTONHOLE)
    assert holes == marks.count(MarkKind.BUTTON) > 3
    bought = {need.remark: need.count for need in draft.notions if need.kind == "button"}
    assert bought == {"skirt front": holes, "waistband": 1}
    band = draft.piece("waistband")
    assert [mark.name for mark in band.marks][-2:] == ["buttonhole (right end)", "button (left end)"]
    assert sum(map(buttonholes, draft.pieces)) == holes + 1
    # The stand is joined to the band's two laps.
    assert draft.piece("waistband").edge("waist first lap").length == pytest.approx(
        front.edge("waist extension").length
    )


# Straight and A-line


def test_straight_skirt_front_darts_are_shorter_than_its_back_darts() -> None:
    draft = drafted("straight-skirt")
    lowest = {
        side: min(dart.apex.y for dart in draft.darts if dart.piece == f"skirt {side}")
        for side in ("front", "back")
    }

    assert lowest["front"] == pytest.approx(-0.62 * WOMAN["waist_to_hip"])
    assert lowest["back"] == pytest.approx(-0.85 * WOMAN["waist_to_hip"])


def test_straight_skirt_below_the_knee_asks_for_room_to_walk() -> None:
    with pytest.raises(BadChoice, match="no room to walk") as refusal:
        make_draft("straight-skirt", WOMAN, {"walking": "none", "skirt_length": 800.0})

    assert refusal.value.field == "walking"
    pleated = drafted("straight-skirt", walking="none", skirt_length=800.0, front_pleat=True)
    assert "vent top" not in kinds(pleated.piece("skirt back"))


def test_a_vent_lies_beyond_the_centre_back() -> None:
    back = drafted("straight-skirt").piece("skirt back")

    assert kinds(back)["vent edge"] is EdgeKind.HEM
    assert back.edge("vent hem").length == pytest.approx(1.75 * INCH)
    assert "vent top" not in kinds(drafted("straight-skirt", walking="side slits").piece("skirt back"))


def test_a_front_pleat_hides_four_times_its_depth() -> None:
    plain, pleated = drafted("straight-skirt"), drafted("straight-skirt", front_pleat=True)

    (found,) = pleated.pleats
    assert found.kind == "inverted"
    assert list(found.underlays) == pytest.approx([2 * 1.5 * INCH])  # on the half: out and back
    wider = pleated.piece("skirt front").edge("hem").length - plain.piece("skirt front").edge("hem").length
    assert wider == pytest.approx(2 * 1.5 * INCH)


def test_a_front_that_opens_has_no_pleat_at_its_centre() -> None:
    with pytest.raises(BadChoice, match="choose no pleat") as refusal:
        make_draft("straight-skirt", WOMAN, {"front_pleat": True, "closure": "front buttons"})

    assert refusal.value.field == "front_pleat"


def test_front_and_back_meet_below_a_bodice_whose_halves_differ() -> None:
    """A raised bodice's front is wider than its back: the skirt's sides must still be alike."""
    body = Body.of({"stature": 1917.0, "bust_girth": 1234.0, "waist_girth": 951.0, "hip_girth": 1228.0})
    draft = drafted("party-dress", body, waist_seam="raised", skirt="gored", gores="4")
    side = seam(draft, "side of the skirt")
    waists = [draft.side_length(seam(draft, f"waist, {name}").a) for name in ("front", "back")]

    assert abs(waists[0] - waists[1]) > 3
    assert draft.side_length(side.a) == pytest.approx(draft.side_length(side.b), abs=0.01)


def test_a_line_has_no_darts_and_a_wider_hem() -> None:
    straight, flared = drafted("straight-skirt"), drafted("straight-skirt", skirt="A-line")
    hems = [
        next(row.garment for row in draft.finished if row.name == "hem of the skirt, all round")
        for draft in (straight, flared)
    ]

    assert flared.darts == ()
    assert hems[1] > 1.3 * hems[0]


# Gores, circles, tiers


@pytest.mark.parametrize(("count", "gores"), [("4", 4), ("6", 6), ("8", 8)])
def test_gored_skirt_is_cut_in_as_many_gores(count: str, gores: int) -> None:
    draft = drafted("gored-skirt", gores=count, closure="side zip")
    cut = sum(c.count for p in draft.pieces if p.name != "waistband" for c in p.cuts if c.cloth == "shell")

    assert cut == gores


def test_circle_wider_than_the_cloth_gets_a_seam_at_its_centre() -> None:
    half, whole = (drafted("circle-skirt", circle=share).piece("skirt front") for share in ("half", "full"))

    assert half.on_fold
    assert not whole.on_fold
    assert kinds(whole)["centre front"] is EdgeKind.SEAM


def test_circle_too_narrow_at_the_hip_is_refused() -> None:
    body = Body.of({"stature": 1700.0, "bust_girth": 900.0, "waist_girth": 620.0, "hip_girth": 1150.0})

    with pytest.raises(BadChoice, match="choose more of a circle") as refusal:
        make_draft("circle-skirt", body, {"circle": "quarter"})

    assert refusal.value.field == "circle"


def test_tiers_are_sewn_each_to_the_one_above() -> None:
    draft = drafted("tiered-skirt", tiers=3, fullness="2", fullness_2="1.5", fullness_3="1.5")
    second, third = seam(draft, "tier 2 to the tier above"), seam(draft, "tier 3 to the tier above")
    around = 967 + 2.5 * INCH

    assert draft.side_length(second.b) == pytest.approx(2 * around)
    assert draft.side_length(second.a) == pytest.approx(3 * around)
    assert draft.side_length(third.a) == pytest.approx(4.5 * around)
    assert kinds(draft.piece("skirt front"))["hem"] is EdgeKind.SEAM
    assert kinds(draft.piece("skirt tier 3"))["hem"] is EdgeKind.HEM


def test_a_zip_ends_above_the_seam_of_a_first_tier_that_is_short() -> None:
    draft = drafted("tiered-skirt", tiers=3, closure="centre-back zip", skirt_length=400.0)
    back = draft.piece("skirt back")

    assert back.edge("centre back").length == pytest.approx(400 / 3 - 20)
    assert back.edge("centre back seam").length == pytest.approx(20)


def test_more_cloth_than_can_be_worn_is_refused() -> None:
    full: dict[str, ChoiceValue] = {"tiers": 3, "fullness": "3", "fullness_2": "3", "fullness_3": "3"}

    with pytest.raises(BadChoice, match="less fullness or fewer tiers"):
        make_draft("tiered-skirt", WOMAN, full)


# Pleats


def test_pleated_skirt_takes_up_its_cloth_front_and_back() -> None:
    draft = drafted("pleated-skirt", pleats=4, pleat_kind="box")

    assert {(run.piece, len(run.underlays)) for run in draft.pleats} == {
        ("skirt front", 8),
        ("skirt back", 8),
    }
    assert seam(draft, "waist, front").method is Method.PLEATED


# Lining


@pytest.mark.parametrize("closure", ["centre-back zip", "side zip", "front buttons"])
def test_lining_is_shorter_and_wider_at_the_hip(closure: str) -> None:
    draft = drafted("straight-skirt", closure=closure, skirt_lining=True)
    front = draft.piece("skirt front lining")

    assert {cut.cloth for cut in front.cuts} == {"lining"}
    lowest = {
        piece.name: min(point.y for point in piece.outline())
        for piece in draft.pieces
        if piece.name.startswith("skirt")
    }
    assert lowest["skirt back lining"] == pytest.approx(lowest["skirt back"] + 0.75 * INCH)
    if closure == "centre-back zip":
        # A quarter of hip and ease, 12 mm more, and 6 in 100 of what hangs below the hip.
        below = WOMAN["waist_to_knee"] - 0.75 * INCH - WOMAN["waist_to_hip"]
        assert front.edge("hem").length == pytest.approx(
            (967 + 2.5 * INCH) / 4 + 12 + 0.06 * below, rel=0.001
        )
    if closure != "front buttons":
        assert front.edge("waist").length > draft.side_length(seam(draft, "waist, front").b)


def test_skirts_without_a_wish_for_it_are_not_lined() -> None:
    assert not any("lining" in name for name in names(drafted("gored-skirt")))


# On a bodice


def test_skirt_hangs_from_a_bodice_at_any_height() -> None:
    raised = drafted("high-waist-dress", TODDLER, waist_seam="raised")
    natural = drafted("high-waist-dress", TODDLER, waist_seam="natural")
    top = [max(p.y for p in draft.piece("skirt front").outline()) for draft in (raised, natural)]
    foot = [min(p.y for p in draft.piece("skirt front").outline()) for draft in (raised, natural)]

    assert top[0] > 20 > abs(top[1])
    assert foot[0] == pytest.approx(foot[1])  # the length is measured from the natural waist


def test_skirt_is_gathered_to_its_bodice_twice_as_wide() -> None:
    draft = drafted("party-dress", fullness="2")
    waist = seam(draft, "waist, front")

    assert waist.method is Method.GATHERED
    assert draft.side_length(waist.a) == pytest.approx(2 * draft.side_length(waist.b))


@pytest.mark.parametrize("kind", ["knife", "box", "inverted"])
def test_a_skirt_pleated_in_the_middle_has_plain_sides(kind: str) -> None:
    """Six tenths of each half are pleated by the house; the hip is as wide as all round."""
    part, whole = (
        drafted("pleated-skirt", pleat_kind=kind, pleats=2, pleated=where)
        for where in ("middle", "all round")
    )
    front = part.piece("skirt front")
    hip, other = (next(lv for lv in draft.levels if lv.name == "hip") for draft in (part, whole))
    folds = {MarkKind.PLEAT_FOLD, MarkKind.PLEAT_PLACEMENT}
    outermost = max(abs(m.path.end.x) for m in front.marks if m.kind in folds and not m.arrow)
    chords = [chord for chord in hip.chords if chord.piece == "skirt front"]
    shown = sum(abs(chord.end.x - chord.start.x) for chord in chords)

    assert max(abs(chord.end.x) for chord in chords) - outermost >= 0.4 * shown - 1.0
    assert (hip.body, hip.ease) == (other.body, other.ease)


@pytest.mark.parametrize("body", [WOMAN, TODDLER], ids=["woman", "toddler"])
@pytest.mark.parametrize("kind", ["knife", "box", "inverted"])
@pytest.mark.parametrize("style", ["pleated-skirt", "school-dress", "notched-collar-dress"])
def test_a_pleated_front_meets_a_plain_back_at_the_side(style: str, kind: str, body: Body) -> None:
    draft = drafted(style, body, pleat_kind=kind, pleats=2, pleated="front")
    front, back = (draft.piece(f"skirt {side}") for side in ("front", "back"))
    lengths = [
        sum(edge.length for edge in piece.edges if edge.name.startswith("side")) for piece in (front, back)
    ]

    assert [run.piece for run in draft.pleats] == ["skirt front"]
    assert not any(mark.kind is MarkKind.PLEAT_FOLD for mark in back.marks)
    assert lengths[0] == pytest.approx(lengths[1], abs=0.01)


def test_a_plain_back_has_darts_and_its_half_of_the_hip() -> None:
    """The hip is as wide as of the skirt that is pleated all round; its cloth is not."""
    part, whole = (drafted("pleated-skirt", pleated=where) for where in ("front", "all round"))
    hips = [next(level for level in draft.levels if level.name == "hip") for draft in (part, whole)]

    assert [dart.piece for dart in part.darts] == ["skirt back"] * 2
    assert whole.darts == ()
    assert (hips[0].body, hips[0].ease) == (hips[1].body, hips[1].ease)
    shown = [sum(abs(c.end.x - c.start.x) for c in hip.chords if c.piece == "skirt back") for hip in hips]
    assert shown[0] == pytest.approx(shown[1])
    assert part.piece("skirt back").edge("hem").length == pytest.approx(shown[0])
    assert whole.piece("skirt back").edge("hem").length > 1.5 * shown[1]


def test_any_wearer_has_a_pleated_front_over_a_plain_back_or_a_cause() -> None:
    cases = [
        replace(c, choices={**c.choices, "pleated": "front"}) for c in random_cases(45, 21, "pleated-skirt")
    ]
    tally = tallied(cases)

    assert tally.faults == []
    assert tally.right >= 25
