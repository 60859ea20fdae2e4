"""Necklines on a garment: what is cut, what finishes them, and what is refused."""

from __future__ import annotations

import pytest

from drafting.errors import BadChoice, CannotDraft
from drafting.geometry import distance
from drafting.pattern import Draft, EdgeKind, Method, Piece
from drafting.styles.choices import ChoiceValue, Style
from drafting.styles.parts.necklines import LABELS, head_girth
from tests.drafting.styles.parts.dressed import BODIES, DRESS, TUNIC, drafted, failed, sampled


def neckline(draft: Draft) -> float:
    return next(row.garment for row in draft.finished if row.name == "neckline")


def outcome(style: Style, body: dict[str, float], choices: dict[str, ChoiceValue]) -> str:
    """``right``, ``refused``, or what is wrong."""
    try:
        draft = drafted(choices, body, style)
    except (BadChoice, CannotDraft) as refusal:
        told = refusal.field and len(str(refusal)) > 30
        return "refused" if told else f"refused without a cause: {refusal}, {body}, {choices}"
    faults = [f"{row.name}: {row.value:.3f} > {row.limit:g}" for row in failed(draft)]
    return f"{'; '.join(faults)} {body} {choices}" if faults else "right"


@pytest.mark.parametrize("style", [DRESS, TUNIC], ids=lambda style: style.name)
def test_any_body_and_choices_are_right_or_refused_with_their_cause(style: Style) -> None:
    told = [outcome(style, body, choices) for body, choices in sampled(style, 8, 60)]

    assert set(told) <= {"right", "refused"}
    assert told.count("right") >= 15


@pytest.mark.parametrize("body", BODIES)
@pytest.mark.parametrize("shape", LABELS)
def test_every_neckline_is_drawn_for_every_wearer(shape: str, body: str) -> None:
    draft = drafted({"neckline": shape}, body)

    assert failed(draft) == []
    assert draft.piece("front neck facing").edge("neck").length == pytest.approx(
        draft.piece("front bodice").edge("neck").length
    )


def test_a_round_neckline_lies_at_the_neck_base() -> None:
    draft = drafted({"neckline": "round"})

    assert neckline(draft) == pytest.approx(draft.body["neck_base_girth"], rel=0.08)


def test_neck_width_shortens_both_shoulders_alike() -> None:
    plain, wide = drafted({"neckline": "round"}), drafted({"neckline": "round", "neck_width": 30.0})

    for piece in ("front bodice", "back bodice"):
        lost = plain.piece(piece).edge("shoulder").length - wide.piece(piece).edge("shoulder").length
        assert lost == pytest.approx(30.0)


def test_neck_depth_lowers_the_centre_front_alone() -> None:
    plain, deep = drafted({"neckline": "round"}), drafted({"neckline": "round", "neck_depth": 40.0})

    def centre(draft: Draft, piece: str, edge: str) -> float:
        return draft.piece(piece).edge(edge).length

    assert centre(plain, "front bodice", "centre front") - centre(
        deep, "front bodice", "centre front"
    ) == pytest.approx(40.0)
    assert centre(plain, "back bodice", "centre back") == pytest.approx(
        centre(deep, "back bodice", "centre back")
    )


@pytest.mark.parametrize(
    ("choices", "field", "advice"),
    [
        ({"neck_width": 190.0}, "neck_width", "choose at most"),
        ({"neck_depth": 390.0}, "neck_depth", "would cut into the darts or the armhole"),
        ({"neck_depth_back": 390.0}, "neck_depth_back", "choose at most"),
        ({"neckline": "keyhole", "closure": "front buttons"}, "closure", "a front that is cut in one"),
        ({"neckline": "v", "neck_finish": "bias strip"}, "neck_finish", "choose a facing"),
        ({"neckline": "keyhole", "neck_depth": 130.0}, "neck_depth", "no room for a keyhole"),
        (
            {"closure": "none", "neck_depth": 5.0, "neck_width": 5.0},
            "neck_width",
            "does not pass over a head",
        ),
    ],
)
def test_what_does_not_go_is_refused_with_what_would(
    choices: dict[str, ChoiceValue], field: str, advice: str
) -> None:
    with pytest.raises(BadChoice) as refusal:
        drafted(choices)

    assert refusal.value.field == field
    assert advice in str(refusal.value)


@pytest.mark.parametrize("body", BODIES)
def test_without_an_opening_the_neckline_passes_over_the_head(body: str) -> None:
    draft = drafted({"closure": "none"}, body)

    assert neckline(draft) >= head_girth(BODIES[body]["stature"])


def test_a_keyhole_counts_twice_towards_the_head() -> None:
    plain, slit = drafted({"closure": "none"}), drafted({"closure": "none", "neckline": "keyhole"})

    assert neckline(slit) < neckline(plain) - 50
    assert any("keyhole" in mark.name for mark in slit.piece("front bodice").marks)
    assert any(need.kind == "button" and "keyhole" in need.remark for need in slit.notions)


@pytest.mark.parametrize(
    ("stature", "girth"), [(600.0, 400.0), (1100.0, 505.0), (1350.0, 535.0), (2000.0, 565.0), (500.0, 400.0)]
)
def test_head_girth_by_stature(stature: float, girth: float) -> None:
    assert head_girth(stature) == pytest.approx(girth)


def test_a_bias_strip_takes_the_place_of_the_facings() -> None:
    draft = drafted({"neckline": "round", "neck_finish": "bias strip"})

    names = {piece.name for piece in draft.pieces}
    strip = draft.piece("neck strip")
    assert failed(draft) == []
    assert not {name for name in names if "facing" in name and "neck" in name}
    assert strip.edge("neck strip").length == pytest.approx(neckline(draft))
    assert strip.edge("strip end").kind is EdgeKind.HEM  # turned in at the zip


def test_a_buttoned_front_has_one_facing_to_the_waist() -> None:
    draft = drafted({"closure": "front buttons", "neckline": "v"})

    facing, front = draft.piece("front facing"), draft.piece("front bodice")
    assert failed(draft) == []
    assert facing.edge("front edge").length == front.edge("front edge").length
    assert {seam.method for seam in draft.seams if seam.name == "front edge"} == {Method.FACED}
    assert any(seam.name == "front facing at the waist" for seam in draft.seams)


def test_a_buttoned_tunic_has_one_facing_to_the_hem() -> None:
    draft = drafted({"closure": "front buttons"}, style=TUNIC)

    foot = draft.piece("front facing").edge("hem extension")
    assert failed(draft) == []
    assert foot.kind is EdgeKind.HEM
    assert foot.allowance == draft.piece("front").edge("hem extension").allowance


def test_buttons_sit_at_the_bust_of_a_grown_wearer() -> None:
    draft = drafted({"closure": "front buttons"})

    bust = draft.levels[0].chords[0].start.y
    places = [
        mark.path.point_at(1.5).y
        for mark in draft.piece("front bodice").marks
        if mark.name == "button (left front)"
    ]
    assert min(abs(y - bust) for y in places) < 1e-6
    need = next(need for need in draft.notions if need.remark == "down the front")
    assert need.count == len(places)


def test_a_v_on_the_fold_is_cut_where_its_allowance_meets_the_fold() -> None:
    draft = drafted({"neckline": "v", "neck_depth": 130.0})

    front = draft.piece("front bodice")
    fold = front.edge("centre front").path
    on_fold = [point for point in front.cut_line if abs(point.x - fold.start.x) < 1e-6]
    corner = front.edge("neck").path.end if fold.start == front.edge("neck").path.end else fold.end
    assert failed(draft) == []
    assert all((point.x - fold.start.x) * _outside(front) <= 1e-6 for point in front.cut_line)
    assert max(distance(point, corner) for point in on_fold if point.y > corner.y) > 6.35


def _outside(front: Piece) -> float:
    """1 where the fold is the rightmost line of the piece, -1 where it is the leftmost."""
    xs = [point.x for point in front.outline()]
    return 1.0 if front.edge("centre front").path.start.x >= max(xs) - 1e-6 else -1.0


@pytest.mark.parametrize("closure", ["centre-back zip", "none"])
def test_a_long_bias_strip_is_cut_in_parts_that_are_joined_to_the_whole_neckline(closure: str) -> None:
    """254 mm at most: the strip of a closed neckline is a ring, that of one with a zip has two ends."""
    choices: dict[str, ChoiceValue] = {"neckline": "scoop", "neck_finish": "bias strip", "closure": closure}
    draft = drafted(choices, house={"bias_longest": 254.0})
    strips = [piece for piece in draft.pieces if piece.name.startswith("neck strip")]
    seam = next(seam for seam in draft.seams if seam.name == "neckline")
    joins = [seam for seam in draft.seams if seam.name.startswith("end of the neck strip")]

    assert failed(draft) == []
    lengths = [strip.edge("neck strip").length for strip in strips]
    assert len(lengths) > 1
    assert max(lengths) <= 254.0
    assert sum(lengths) == pytest.approx(draft.side_length(seam.b))
    assert len(joins) == (len(strips) if closure == "none" else len(strips) - 1)
    assert any(f"{sum(lengths) / 10:.1f} cm" in note for note in draft.notes)


def test_a_keyhole_has_a_turned_loop_that_its_button_passes() -> None:
    draft = drafted({"neckline": "keyhole"})
    loop = draft.piece("button loop")
    (button,) = (need for need in draft.notions if need.remark == "at the top of the keyhole")

    assert button.size_mm is not None
    hole = button.size_mm + 0.125 * 25.4
    # Both ends lie side by side, each 4 mm wide: laid flat the loop opens as wide as a buttonhole.
    assert loop.edge("long edge left").length == pytest.approx(2 * hole - 2 * 4.0)
    assert loop.remarks[0] == "cut on the bias"
    (dx, dy) = loop.grain[1] - loop.grain[0]
    assert abs(dx) == pytest.approx(abs(dy))
