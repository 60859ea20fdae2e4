"""Princess lines, moved bust darts and yokes on a dress: right for any wearer, or refused with the cause."""

from __future__ import annotations

from itertools import pairwise
from math import degrees

import pytest
import shapely

from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadChoice, CannotDraft
from drafting.geometry import Path, angle_between, distance
from drafting.pattern import Cut, Draft, EdgeKind, Method, Seam
from drafting.styles.choices import ChoiceValue, Style
from drafting.styles.parts.closures import BACK_ZIP, FRONT_BUTTONS, Closure, ZipIn
from drafting.styles.parts.necklines import Neckline
from drafting.styles.parts.part import Part, composed
from drafting.styles.parts.skirts import GatheredSkirt
from drafting.styles.parts.sleeves import NO_SLEEVE, Sleeves
from drafting.styles.parts.style_lines import DartPlace, PrincessLines, Yoke
from drafting.styles.parts.uppers import ALine, FittedBodice, Sheath, Shift
from tests.drafting.styles.parts.dressed import BODIES, drafted, failed, sampled

PANELS = ("centre front", "side front", "centre back", "side back")
LINES = {"princess", "bust_dart", "yoke"}
PLACES = ("shoulder", "armhole", "neckline", "waist")
TWO_DARTS = {"bust_dart_single": 19.05}  # the narrowest that the house allows: more is shared by two darts
LARGEST = {"stature": 1650.0, "bust_girth": 1600.0, "waist_girth": 1450.0, "hip_girth": 1600.0}


def lined(upper: Part, *lines: Part) -> tuple[Part, ...]:
    skirt = (GatheredSkirt(),) if isinstance(upper, FittedBodice) else ()
    closure = Closure((BACK_ZIP, FRONT_BUTTONS))
    return (closure, upper, Neckline(), Sleeves((NO_SLEEVE,)), *skirt, *lines, ZipIn())


PRINCESS = composed("tried-princess", "To try", "Panels.", lined(FittedBodice(), PrincessLines()))
SHEATH = composed("tried-sheath", "To try", "Panels to the hem.", lined(Sheath(), PrincessLines()))
A_LINE = composed("tried-a-line", "To try", "Panels to the hem.", lined(ALine(), PrincessLines()))
MOVED = DartPlace(("side", *PLACES))
DARTED = composed("tried-darts", "To try", "Darts and yokes.", lined(FittedBodice(), MOVED, Yoke()))
SHIFT = composed("tried-shift", "To try", "Darts and yokes.", lined(Shift(), MOVED, Yoke()))
FULLNESS = DartPlace(("neckline gathers", "neckline tuck"))
FULL = composed("tried-fullness", "To try", "Fullness at the neck.", lined(FittedBodice(), FULLNESS))


def seam(draft: Draft, name: str) -> Seam:
    return next(one for one in draft.seams if one.name == name)


def worst_bend_deg(path: Path) -> float:
    """The greatest corner inside a path, degrees."""
    joints = (
        angle_between(before.tangent_at(before.length), after.tangent_at(0.0))
        for before, after in pairwise(path.segments)
    )
    return max((abs(degrees(turn)) for turn in joints), default=0.0)


# Princess lines


@pytest.mark.parametrize("style", [PRINCESS, SHEATH, A_LINE], ids=lambda style: style.name)
@pytest.mark.parametrize("top", ["shoulder", "armhole"])
@pytest.mark.parametrize("body", [*BODIES, "largest"])
def test_princess_panels_pass_every_check(style: Style, top: str, body: str) -> None:
    draft = drafted({"princess": top}, LARGEST if body == "largest" else body, style)

    assert failed(draft) == []
    assert {piece.name for piece in draft.pieces} >= set(PANELS)
    assert not [dart for dart in draft.darts if dart.name.startswith("bust dart")]


@pytest.mark.parametrize("top", ["shoulder", "armhole"])
def test_princess_edges_are_smooth_and_as_long_as_one_another(top: str) -> None:
    draft = drafted({"princess": top}, "adult", PRINCESS)

    for side in ("front", "back"):
        line = seam(draft, f"{side} princess line")
        outer, inner = draft.side_length(line.a), draft.side_length(line.b)
        assert outer - inner == pytest.approx(line.ease, abs=0.05)
        for name in (f"centre {side}", f"side {side}"):
            assert worst_bend_deg(draft.piece(name).edge("princess seam").path) < 0.5
    assert seam(draft, "back princess line").ease == 0


def test_princess_seam_eases_no_more_than_the_house_allows() -> None:
    """The default is 3/8 in; with none the line passes through the dart's point, and nothing is eased."""
    usual, none = (drafted({}, "adult", PRINCESS, house) for house in ({}, {"princess_ease": 0.0}))

    assert 1.0 < seam(usual, "front princess line").ease <= 9.6
    assert seam(usual, "front princess line").method is Method.EASED
    assert seam(none, "front princess line").ease == 0
    assert seam(none, "front princess line").method is Method.PLAIN
    assert failed(none) == []


def test_princess_line_passes_near_the_bust_point() -> None:
    draft = drafted({}, "adult", PRINCESS)
    body = Body.of(BODIES["adult"])

    edge = draft.piece("centre front").edge("princess seam").path
    bust = next(level for level in draft.levels if level.name == "bust").chords[0]
    passing = min(edge.flatten(0.05), key=lambda point: abs(point.y - bust.start.y))
    assert abs(abs(passing.x) - body["bust_point_width"] / 2) < 15


def test_princess_keeps_girths_and_lengths_of_the_darted_dress() -> None:
    princess, darted = drafted({}, "adult", PRINCESS), drafted({}, "adult", DARTED)

    for before, after in zip(darted.levels, princess.levels, strict=True):
        widths = [sum(distance(c.start, c.end) * c.times for c in level.chords) for level in (before, after)]
        assert widths[0] == pytest.approx(widths[1], abs=0.5)
    for name in ("shoulder", "side", "armhole", "waist, front"):
        assert princess.side_length(seam(princess, name).b) == pytest.approx(
            darted.side_length(seam(darted, name).b), abs=1e-6
        )


def test_princess_line_from_the_shoulder_takes_in_what_the_back_shoulder_is_longer() -> None:
    """3/16 in by the house: it comes out of the seam, and the shoulder is sewn without ease."""
    from_shoulder, from_armhole = (
        drafted({"princess": top}, "adult", PRINCESS) for top in ("shoulder", "armhole")
    )

    eased = seam(from_armhole, "shoulder")
    assert (eased.method, eased.ease) == (Method.EASED, pytest.approx(0.1875 * 25.4))
    plain = seam(from_shoulder, "shoulder")
    assert (plain.method, plain.ease) == (Method.PLAIN, 0.0)
    assert from_shoulder.side_length(plain.a) == pytest.approx(from_shoulder.side_length(plain.b))
    line = seam(from_shoulder, "back princess line")
    assert from_shoulder.side_length(line.a) == pytest.approx(from_shoulder.side_length(line.b), abs=0.05)


def test_princess_panels_are_cut_with_their_own_grain() -> None:
    draft = drafted({}, "adult", PRINCESS)

    assert draft.piece("centre front").cuts == (Cut("shell", 1, on_fold=True),)
    for name in ("side front", "centre back", "side back"):
        assert draft.piece(name).cuts == (Cut("shell", 2, mirrored=True),)
    for name in PANELS:
        piece = draft.piece(name)
        assert piece.grain[0].x == pytest.approx(piece.grain[1].x)
        assert shapely.Polygon(piece.outline()).contains(shapely.LineString(piece.grain))


def test_princess_lines_run_on_at_both_ends_and_at_the_closed_dart() -> None:
    draft = drafted({"princess": "armhole"}, "adult", PRINCESS)

    kinks = {row.name: row.value for row in draft.checks if row.name.startswith("line runs on")}
    for side in ("front", "back"):
        for end in ("above", "below"):
            assert kinks[f"line runs on: {side} princess line, the edge {end}"] < 0.5
    assert kinks["line runs on: front bodice where the bust dart was"] < 0.5


def test_a_line_that_would_run_into_the_neckline_is_refused() -> None:
    body = {"stature": 654.0, "bust_girth": 384.0, "waist_girth": 326.0, "hip_girth": 350.0}

    with pytest.raises(BadChoice) as refusal:
        drafted({"princess": "armhole", "neckline": "square"}, body, SHEATH)

    assert refusal.value.field == "princess"
    assert "choose another neckline" in str(refusal.value)


@pytest.mark.parametrize("body", ["adult", "stout", "baby"])
def test_a_line_from_the_armhole_begins_above_its_notch(body: str) -> None:
    """Further down a stout wearer's armhole runs level, and the panel would end in a beak."""
    draft = drafted({"princess": "armhole"}, body, PRINCESS)

    for side in ("front", "back"):
        panel = draft.piece(f"side {side}")
        armhole = panel.edge("armhole lower")
        (notch,) = (notch for notch in panel.notches if notch.edge == armhole.name)
        from_seam = min(notch.at, armhole.length - notch.at)
        assert from_seam == pytest.approx(15.0, abs=0.1)


def test_princess_notches_enclose_the_ease() -> None:
    draft = drafted({}, "adult", PRINCESS)
    line = seam(draft, "front princess line")

    on = {
        ref.piece: sorted(n.at for n in draft.piece(ref.piece).notches if n.edge == ref.edge)
        for ref in (line.a[0], line.b[0])
    }
    outer, inner = on["side front"], on["centre front"]
    assert (len(outer), len(inner)) == (2, 2)
    assert (outer[1] - outer[0]) - (inner[1] - inner[0]) == pytest.approx(line.ease, abs=0.01)
    assert [n.count for n in draft.piece("centre back").notches if n.edge == "princess seam"] == [2]


def test_two_bust_darts_close_into_one_line() -> None:
    darted = drafted({}, "adult", DARTED, TWO_DARTS)
    assert len([dart for dart in darted.darts if dart.name.startswith("bust dart")]) == 2

    draft = drafted({}, "adult", PRINCESS, TWO_DARTS)

    assert failed(draft) == []
    side = seam(draft, "side")
    assert [ref.edge for ref in side.a] == ["side upper", "side middle", "side lower"]
    assert draft.side_length(side.a) == pytest.approx(draft.side_length(side.b))


def test_a_sheath_loses_the_darts_that_the_seam_takes_in() -> None:
    draft = drafted({}, "adult", SHEATH)

    names = {mark.name for piece in draft.pieces for mark in piece.marks}
    assert "waist dart 1" not in names
    assert not [dart for dart in draft.darts if dart.name.startswith("waist dart 1")]
    hip = [mark for piece in draft.pieces for mark in piece.marks if mark.name == "hip line"]
    assert len(hip) == len(PANELS)


def test_princess_dress_is_a_style_of_the_house() -> None:
    draft = make_draft("princess-dress", Body.of(BODIES["adult"]), {"skirt": "gored"})

    assert draft.passed
    assert {"centre front", "side front"} <= {piece.name for piece in draft.pieces}


# The bust dart


@pytest.mark.parametrize("style", [DARTED, SHIFT], ids=lambda style: style.name)
@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("body", ["adult", "stout"])
def test_a_moved_dart_passes_every_check(style: Style, place: str, body: str) -> None:
    draft = drafted({"bust_dart": place}, body, style)

    assert failed(draft) == []
    assert not [dart for dart in draft.darts if dart.name.startswith("bust dart")]


@pytest.mark.parametrize("place", ["shoulder", "armhole", "neckline"])
def test_a_moved_dart_opens_as_much_as_the_bust_dart_closes(place: str) -> None:
    """The angle at the point is the same wherever the dart lies; so is the point."""
    before, after = drafted({}, "adult", DARTED), drafted({"bust_dart": place}, "adult", DARTED)

    old, new = (
        next(dart for dart in draft.darts if dart.name == name)
        for draft, name in ((before, "bust dart"), (after, f"{place} dart"))
    )
    angles = [abs(angle_between(d.start - d.apex, d.end - d.apex)) for d in (old, new)]
    assert angles[0] == pytest.approx(angles[1])
    assert distance(old.apex, new.apex) < 1e-6


def test_a_bust_dart_at_the_waist_is_one_with_the_waist_dart() -> None:
    before, after = drafted({}, "adult", DARTED), drafted({"bust_dart": "waist"}, "adult", DARTED)

    fronts = [{d.name: d for d in draft.darts if d.piece == "front bodice"} for draft in (before, after)]
    assert set(fronts[0]) == {"bust dart", "waist dart 1"}
    assert set(fronts[1]) == {"waist dart 1"}
    angles = {
        (i, name): abs(angle_between(d.start - d.apex, d.end - d.apex))
        for i, front in enumerate(fronts)
        for name, d in front.items()
    }
    assert angles[1, "waist dart 1"] == pytest.approx(angles[0, "waist dart 1"] + angles[0, "bust dart"])


def test_a_dart_that_would_slant_across_the_armhole_is_refused() -> None:
    body = {"stature": 1758.0, "bust_girth": 716.0, "waist_girth": 455.0, "hip_girth": 653.0}

    with pytest.raises(BadChoice) as refusal:
        drafted({"bust_dart": "armhole"}, body, DARTED, {"bust_dart_short": 50.8})

    assert refusal.value.field == "bust_dart"
    assert "choose another place" in str(refusal.value)


def test_where_there_is_no_bust_dart_nothing_is_moved() -> None:
    draft = drafted({"bust_dart": "shoulder"}, "baby", DARTED)

    assert failed(draft) == []
    assert draft.piece("front bodice").edge("shoulder").kind is EdgeKind.SEAM


# Yokes


@pytest.mark.parametrize("closure", [BACK_ZIP, FRONT_BUTTONS])
@pytest.mark.parametrize("body", ["adult", "child"])
def test_yokes_pass_every_check(closure: str, body: str) -> None:
    draft = drafted({"yoke": "both", "closure": closure}, body, DARTED)

    assert failed(draft) == []
    assert {"front yoke", "back yoke"} <= {piece.name for piece in draft.pieces}


def test_a_zip_runs_through_the_yoke() -> None:
    plain, yoked = drafted({}, "adult", DARTED), drafted({"yoke": "back"}, "adult", DARTED)

    zipped = seam(yoked, "centre back")
    assert {ref.piece for ref in zipped.a} == {"back yoke", "back bodice", "skirt back"}
    assert yoked.side_length(zipped.a) == pytest.approx(plain.side_length(seam(plain, "centre back").a))


def test_a_yoke_under_a_deep_neckline_is_refused() -> None:
    with pytest.raises(BadChoice) as refusal:
        drafted({"yoke": "front", "neckline": "scoop", "neck_depth": 130.0}, "adult", DARTED)

    assert refusal.value.field == "yoke"
    assert "cut it less deep" in str(refusal.value)


# Any wearer


def outcome(body: dict[str, float], choices: dict[str, ChoiceValue], style: Style) -> str:
    """``right``, what a refusal has at fault, or which checks fail."""
    try:
        draft = drafted(choices, body, style)
    except (BadChoice, CannotDraft) as refusal:
        return f"refused: {refusal.field}"
    return "; ".join(row.name for row in failed(draft)) or "right"


@pytest.mark.parametrize("style", [PRINCESS, SHEATH, DARTED, SHIFT, FULL], ids=lambda style: style.name)
def test_any_wearer_is_drafted_right_or_refused(style: Style) -> None:
    """With necklines left to the house nearly all are drawn; no yoke where a neckline reaches it."""
    told = [
        outcome(body, {name: value for name, value in choices.items() if name in LINES}, style)
        for body, choices in sampled(style, 5, 25)
    ]

    refused = {"refused: waist_girth", "refused: front_waist_length", "refused: yoke", "refused: bust_dart"}
    assert set(told) <= {"right", *refused}
    assert told.count("right") >= 20


@pytest.mark.parametrize(
    ("parts", "choices", "field"),
    [
        ((PrincessLines(), DartPlace()), {"bust_dart": "shoulder"}, "bust_dart"),
        ((PrincessLines(), Yoke()), {"yoke": "back"}, "yoke"),
        ((DartPlace(), Yoke()), {"bust_dart": "neckline", "yoke": "front"}, "bust_dart"),
    ],
)
def test_lines_that_would_cross_are_refused(
    parts: tuple[Part, ...], choices: dict[str, str], field: str
) -> None:
    style = composed("tried", "To try", "Lines that cross.", lined(FittedBodice(), *parts))

    with pytest.raises(BadChoice) as refusal:
        drafted(choices, "adult", style)

    assert refusal.value.field == field
