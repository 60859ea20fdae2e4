from __future__ import annotations

from dataclasses import replace

import pytest

from costing.rules.operation_list import operations
from drafting import make_draft
from drafting.body import Body
from drafting.errors import BadChoice
from drafting.pattern import Draft, EdgeKind, MarkKind, Method
from drafting.styles.choices import ChoiceValue
from tests.drafting.styles.outcomes import tallied
from tests.drafting.styles.wearers import Choices, random_cases

INCH = 25.4
WOMAN = Body.of({"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0})
CHILD = Body.of({"stature": 1000.0, "bust_girth": 560.0, "waist_girth": 530.0, "hip_girth": 580.0})
COLLARS = ("none", "flat", "stand", "turnover", "shirt", "tie")


def drafted(style: str, body: Body = WOMAN, /, **choices: ChoiceValue) -> Draft:
    draft = make_draft(style, body, choices)
    assert [f"{check.name}: {check.value}" for check in draft.checks if not check.ok] == []
    return draft


@pytest.mark.parametrize("collar", COLLARS)
@pytest.mark.parametrize("closure", ["folded placket", "half placket"])
def test_a_placket_goes_with_every_collar(closure: str, collar: str) -> None:
    draft = drafted("shirt-blouse", closure=closure, collar=collar)

    neck = next(seam for seam in draft.seams if seam.name in {"collar to the neckline", "front neck"})
    assert "neck" in {ref.edge for ref in neck.b}


def test_a_folded_placket_is_cut_in_one_with_the_front() -> None:
    """1 1/4 in wide: the fold lies 5/8 in beyond the centre, the free edge 1 1/4 in beyond the fold."""
    front = drafted("shirt-blouse", closure="folded placket").piece("front")

    assert "front facing" not in front.name
    edge = front.edge("placket edge")
    assert {round(p.x / INCH, 3) for p in (edge.path.start, edge.path.end)} == {1.875}
    fold = next(mark for mark in front.marks if mark.name == "fold of the placket")
    assert fold.path.start.x == pytest.approx(0.625 * INCH)
    assert front.edge("placket foot").kind is EdgeKind.HEM
    covered = front.edge("hem faced").length + front.edge("hem extension").length
    assert front.edge("placket foot").length == pytest.approx(covered)


def test_a_folded_placket_needs_no_front_facing() -> None:
    names = {piece.name for piece in drafted("shirt-blouse", closure="folded placket", collar="none").pieces}

    assert "front facing" not in names
    assert {"front neck facing", "back neck facing", "placket interfacing"} <= names


@pytest.mark.parametrize("closure", ["folded placket", "half placket"])
def test_buttonholes_run_along_the_placket_and_are_as_long_as_their_buttons_ask(closure: str) -> None:
    draft = drafted("shirt-blouse", closure=closure)
    piece = draft.piece("placket overlap" if closure == "half placket" else "front")
    holes = [mark.path for mark in piece.marks if mark.kind is MarkKind.BUTTONHOLE]
    bought = next(need for need in draft.notions if need.remark == "down the front")

    assert len(holes) == bought.count
    for hole in holes:
        assert (hole.start.x, hole.end.x) == (0.0, 0.0)
        assert hole.length == pytest.approx((0.625 + 0.125) * INCH)


def test_a_half_placket_opens_to_the_depth_that_was_chosen() -> None:
    draft = drafted("shirt-blouse", closure="half placket", placket_depth=200.0)
    front, overlap = draft.piece("front"), draft.piece("placket overlap")
    fold = front.edge("centre front")
    neck = overlap.edge("neck faced")

    assert fold.kind is EdgeKind.FOLD
    at_centre = min(p.y for p in neck.path.flatten())
    assert at_centre - max(fold.path.start.y, fold.path.end.y) == pytest.approx(200.0)
    assert front.edge("placket foot").length == pytest.approx(0.625 * INCH)


def test_a_half_placket_is_stitched_at_its_foot() -> None:
    draft = drafted("shirt-blouse", closure="half placket")
    sewn = {seam.name: seam for seam in draft.seams}

    assert draft.side_length(sewn["foot of the placket"].b) == pytest.approx(1.25 * INCH)
    assert sewn["box of the placket"].method is Method.TOPSTITCHED
    steps = [operation.name for operation in operations(draft)]
    assert "Press in and topstitch the box of the placket" in steps
    assert steps.index("Sew the foot of the placket") < steps.index(
        "Press in and topstitch the box of the placket"
    )


def test_bust_girth_across_a_half_placket_is_measured_on_the_strip_too() -> None:
    draft = drafted("play-dress", closure="half placket")
    level = next(level for level in draft.levels if level.name == "bust")
    on_strip = [chord for chord in level.chords if chord.piece == "placket overlap"]

    assert [chord.times for chord in on_strip] == [2]
    assert abs(on_strip[0].end.x - on_strip[0].start.x) == pytest.approx(0.625 * INCH)


def test_a_half_placket_lets_the_head_through() -> None:
    """With an opening the child's neckline stays at the base of her neck; without one it is widened."""
    base = drafted("play-dress", CHILD, closure="front buttons")
    opened = drafted("play-dress", CHILD, closure="half placket")
    closed = drafted("play-dress", CHILD, closure="none")

    def neck(draft: Draft) -> float:
        return next(row.garment for row in draft.finished if row.name == "neckline")

    assert neck(opened) == pytest.approx(neck(base), abs=1.0)
    assert neck(closed) > neck(opened) + 50.0


def test_a_childs_placket_is_smaller_in_proportion() -> None:
    woman = drafted("play-dress", closure="half placket").piece("placket underlap")
    child = drafted("play-dress", CHILD, closure="half placket").piece("placket underlap")

    assert child.edge("inner side").length < 0.9 * woman.edge("inner side").length


def test_a_half_placket_without_closed_front_below_it_is_refused() -> None:
    with pytest.raises(BadChoice, match="leaves no closed front below it") as refusal:
        make_draft("shirt-blouse", WOMAN, {"closure": "half placket", "placket_depth": 600.0})

    assert refusal.value.field == "placket_depth"


@pytest.mark.parametrize(
    ("style", "choices", "advice"),
    [
        ("shirt-blouse", {"closure": "half placket", "yoke": "both"}, "cut through the placket"),
        ("shirt-blouse", {"closure": "half placket", "fit": "darts"}, "pulled over the shoulders"),
        ("shift-dress", {"closure": "folded placket", "lining": "full"}, "stitched through the front"),
        ("play-dress", {"closure": "half placket", "neckline": "square"}, "round or a scooped neckline"),
    ],
)
def test_what_a_placket_does_not_go_with_is_refused(
    style: str, choices: dict[str, ChoiceValue], advice: str
) -> None:
    with pytest.raises(BadChoice, match=advice):
        make_draft(style, WOMAN, choices)


def test_a_folded_placket_goes_on_below_the_waist_seam() -> None:
    draft = drafted("school-dress", closure="folded placket")
    front = draft.piece("skirt front")
    sewn = {seam.name: seam for seam in draft.seams}
    stand, extension = (front.edge(name).length for name in ("waist stand", "waist extension"))

    assert stand == pytest.approx(extension)  # as wide as that of the bodice: half on either side
    assert front.edge("placket top").length == pytest.approx(2 * extension)
    assert front.edge("placket foot").length == pytest.approx(front.edge("hem faced").length)
    assert front.edge("placket foot").kind is EdgeKind.HEM
    assert sewn["inner edge of the skirt placket"].method is Method.TOPSTITCHED
    names = {piece.name for piece in draft.pieces}
    assert "skirt placket interfacing" in names
    assert "skirt front facing" not in names


@pytest.mark.parametrize("kind", ["knife", "box", "inverted"])
def test_buttonholes_of_the_skirt_run_along_its_placket(kind: str) -> None:
    draft = drafted("school-dress", closure="folded placket", pleat_kind=kind, pleats=2)
    holes = [m for m in draft.piece("skirt front").marks if m.kind is MarkKind.BUTTONHOLE]

    assert len(holes) > 2
    assert all(abs(hole.path.start.x - hole.path.end.x) < 1e-6 for hole in holes)


def test_a_pleat_in_the_way_leaves_the_skirts_stand_faced() -> None:
    draft = drafted("school-dress", closure="folded placket", pleat_kind="box", pleats=6)

    assert "skirt front facing" in {piece.name for piece in draft.pieces}
    assert "placket edge" in {edge.name for edge in draft.piece("front bodice").edges}
    assert "placket edge" not in {edge.name for edge in draft.piece("skirt front").edges}


def test_any_wearer_has_a_placket_to_the_hem_or_a_cause() -> None:
    cases = random_cases(45, 33, "school-dress")
    wished: Choices = {"closure": "folded placket", "lining": "none"}
    tally = tallied(replace(case, choices={**case.choices, **wished}) for case in cases)

    assert tally.faults == []
    assert tally.right >= 25
