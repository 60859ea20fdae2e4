"""A lining is the shell again without what its facings cover; it hangs shorter than the shell."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body, size_of
from drafting.errors import BadChoice
from drafting.pattern import Draft, Method
from drafting.styles.choices import ChoiceValue

WOMAN, CHILD = size_of("woman-92-168").body(), size_of("child-104").body()
INCH = 25.4


def lined(style: str, *, child: bool = False, **choices: ChoiceValue) -> Draft:
    draft = make_draft(style, CHILD if child else WOMAN, {"lining": "full", **choices})
    assert [row.name for row in draft.checks if not row.ok] == []
    return draft


def foot(draft: Draft, piece: str) -> float:
    """The lowest point of a piece, mm above the waist."""
    return min(point.y for point in draft.piece(piece).outline())


@pytest.mark.parametrize("child", [False, True])
@pytest.mark.parametrize(
    "style", ["school-dress", "party-dress", "princess-dress", "coat-dress", "shift-dress", "sheath-dress"]
)
def test_lining_of_any_style_passes_every_check(style: str, child: bool) -> None:
    draft = lined(style, child=child)

    cut = {piece.name for piece in draft.pieces if any(cut.cloth == "lining" for cut in piece.cuts)}
    assert {name.split()[0] for name in cut if "lining" in name} >= {"front", "back"}


def test_lining_leaves_out_what_the_facing_covers() -> None:
    draft = lined("school-dress")

    lining, facing = draft.piece("back bodice lining"), draft.piece("back neck facing")
    assert lining.edge("facing join").length == pytest.approx(facing.edge("facing inner").length)
    shoulder = draft.piece("back bodice").edge("shoulder").length
    faced = facing.edge("facing shoulder").length
    assert lining.edge("shoulder").length == pytest.approx(shoulder - faced)


def test_lining_goes_up_to_a_neckline_that_nothing_faces() -> None:
    draft = lined("party-dress", neck_finish="bias strip")

    assert "neck" in [edge.name for edge in draft.piece("front bodice lining").edges]


def test_lining_of_a_garment_in_one_piece_ends_above_its_hem() -> None:
    draft = lined("shift-dress")

    assert foot(draft, "front lining") - foot(draft, "front") == pytest.approx(0.75 * INCH, abs=1.0)


@pytest.mark.parametrize("walking", ["back vent", "side slits"])
def test_lining_ends_above_a_vent_or_slits(walking: str) -> None:
    draft = lined("sheath-dress", walking=walking)

    openings = {"back vent": ("back", "vent edge"), "side slits": ("front", "slit")}
    piece, edge = openings[walking]
    path = draft.piece(piece).edge(edge).path
    assert foot(draft, "front lining") > max(path.start.y, path.end.y)


def test_lining_finishes_an_armhole_without_a_sleeve() -> None:
    bare = lined("party-dress", sleeve="none")

    assert "front armhole facing" not in [piece.name for piece in bare.pieces]
    seam = next(seam for seam in bare.seams if seam.name == "lining at the armhole")
    assert (seam.method, seam.times) == (Method.LINED, 2)


def test_lining_in_full_has_sleeves_and_of_the_bodice_only_has_none() -> None:
    full = lined("party-dress", sleeve="long")
    bodice = make_draft("party-dress", WOMAN, {"lining": "bodice", "sleeve": "long"})

    assert [("sleeve lining" in [piece.name for piece in draft.pieces]) for draft in (full, bodice)] == [
        True,
        False,
    ]


def test_lining_is_refused_beside_a_facing_that_reaches_the_armhole() -> None:
    wearer = Body.of({"stature": 1506, "bust_girth": 669, "waist_girth": 630, "hip_girth": 614})
    choices = {"lining": "bodice", "neckline": "square", "sit": "loose"}

    with pytest.raises(BadChoice, match="reaches the armhole") as refused:
        make_draft("shift-dress", wearer, choices, {"front_armhole_hollow": INCH})

    assert refused.value.field == "lining"


def test_lining_is_refused_in_a_front_that_is_buttoned_to_the_hem() -> None:
    with pytest.raises(BadChoice, match="faced and not lined") as refused:
        lined("shift-dress", closure="front buttons")

    assert refused.value.field == "lining"


def test_lining_is_made_up_before_it_is_joined_and_joined_to_a_zip_that_is_in() -> None:
    draft = lined("party-dress", lining="bodice")
    sewn = [seam.name for seam in draft.seams]

    assert sewn.index("side of the lining") < sewn.index("lining to front neck facing")
    assert sewn.index("centre back") < sewn.index("back bodice lining to the zip")
