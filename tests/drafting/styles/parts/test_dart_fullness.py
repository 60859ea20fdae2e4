"""Gathers or a tuck at the neckline in the place of a bust dart."""

from __future__ import annotations

import pytest

from costing.rules.operation_list import operations
from drafting import make_draft
from drafting.body import Body
from drafting.geometry import distance
from drafting.pattern import Draft, EdgeKind, MarkKind, Method

WOMAN = Body.of({"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0})
CHILD = Body.of({"stature": 1000.0, "bust_girth": 560.0, "waist_girth": 530.0, "hip_girth": 580.0})


def drafted(place: str, body: Body = WOMAN, style: str = "shift-dress") -> Draft:
    draft = make_draft(style, body, {"bust_dart": place})
    assert [f"{check.name}: {check.value}" for check in draft.checks if not check.ok] == []
    return draft


def front_neck(draft: Draft, piece: str = "front") -> float:
    return sum(
        edge.length
        for edge in draft.piece(piece).edges
        if edge.name.startswith("neck") and edge.kind is EdgeKind.SEAM
    )


@pytest.mark.parametrize("style", ["shift-dress", "party-dress", "sheath-dress"])
def test_gathers_take_up_at_the_neckline_what_the_dart_took(style: str) -> None:
    """The neckline is longer by the mouth of the dart that would open there; its facing stays as it was."""
    piece = "front bodice" if style == "party-dress" else "front"
    gathered, darted = drafted("neckline gathers", style=style), drafted("neckline", style=style)
    dart = next(dart for dart in darted.darts if dart.name == "neckline dart")
    more = front_neck(gathered, piece) - front_neck(darted, piece)

    assert more == pytest.approx(distance(dart.start, dart.end), rel=0.1)
    facings = {draft.piece("front neck facing").edge("neck").length for draft in (gathered, darted)}
    assert max(facings) == pytest.approx(min(facings))
    seam = next(seam for seam in gathered.seams if seam.name == "front neck")
    assert abs(seam.ease) == pytest.approx(more, abs=0.01)
    assert not [dart for dart in gathered.darts if "bust" in dart.name or "neckline" in dart.name]


def test_gathers_are_marked_between_two_places_and_priced() -> None:
    draft = drafted("neckline gathers")
    marks = [mark for mark in draft.piece("front").marks if mark.name == "gather to here"]

    assert [mark.kind for mark in marks] == [MarkKind.DRILL, MarkKind.DRILL]
    seam = next(seam for seam in draft.seams if seam.name == "gathers at the neckline")
    assert seam.method is Method.GATHERED
    assert any("gathers at the neckline" in operation.name for operation in operations(draft))


def test_a_tuck_is_sewn_part_of_the_way_down() -> None:
    draft = drafted("neckline tuck")
    dart = next(dart for dart in draft.darts if dart.name == "neckline tuck dart")
    marks = [mark.path.start for mark in draft.piece("front").marks if mark.name == "sew the tuck to here"]

    leg = distance(dart.start, dart.apex)
    assert [distance(mark, dart.apex) / leg for mark in marks] == pytest.approx([0.65, 0.65])
    assert any(note.startswith("Tuck at the neckline") for note in draft.notes)


def test_without_a_bust_dart_there_is_nothing_to_gather() -> None:
    draft = drafted("neckline gathers", CHILD)

    assert not any("gathers" in seam.name for seam in draft.seams)
