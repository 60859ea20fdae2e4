"""Each of the ten checks is broken once, and only that check fails."""

from __future__ import annotations

from dataclasses import replace

import pytest

from drafting import make_draft
from drafting.body import Body, Measure
from drafting.geometry import Path, Point
from drafting.pattern import Corner, Draft, EdgeKind, EdgeRef, Notch, Piece, RollLine, Seam
from drafting.truing import TEN, check
from drafting.truing.collars import lapel_overhang
from drafting.truing.outlines import outline_checks
from drafting.truing.seams import unsewn_edges
from tests.drafting.small_draft import (
    back,
    front,
    ring,
    sleeve,
    small_draft,
    straight,
)


def failing(draft: Draft) -> list[int]:
    """The numbers of the checks that fail, 1 to 10."""
    return [number for number, checks in enumerate(TEN, start=1) if any(not row.ok for row in checks(draft))]


def failed_rows(draft: Draft) -> list[str]:
    return [row.name for row in check(draft) if not row.ok]


def with_seam(draft: Draft, name: str, **changes: object) -> Draft:
    seams = tuple(replace(seam, **changes) if seam.name == name else seam for seam in draft.seams)
    return replace(draft, seams=seams)


def with_piece(draft: Draft, name: str, **changes: object) -> Draft:
    pieces = tuple(piece.with_(**changes) if piece.name == name else piece for piece in draft.pieces)
    return replace(draft, pieces=pieces)


def pocket(names: list[str]) -> Piece:
    """A square whose edges are turned in: nothing is sewn to them."""
    return replace(
        Piece("pocket", (), sleeve().cuts, (Point(50, 20), Point(50, 80))),
        edges=ring([(0, 0), (100, 0), (100, 100), (0, 100)], names, **dict.fromkeys(names, EdgeKind.HEM)),
    )


def test_check_passes_the_small_draft() -> None:
    draft = small_draft()

    assert failed_rows(draft) == []
    assert len({row.name for row in check(draft)}) == len(check(draft))


def test_check_2_takes_the_seam_that_is_crossed_for_the_mate_of_a_notch() -> None:
    """The crown's notch meets the shoulder seam; 5 mm beside it, it meets nothing."""
    draft = make_draft(
        "shirt-blouse", Body.of({"stature": 1650, "bust_girth": 900, "waist_girth": 720, "hip_girth": 960})
    )
    own = draft.piece("sleeve")
    crown = sorted((notch for notch in own.notches if notch.edge == "cap"), key=lambda notch: notch.at)[1]
    moved = tuple(replace(n, at=n.at + 5.0) if n == crown else n for n in own.notches)

    assert failed_rows(draft) == []
    assert failed_rows(with_piece(draft, "sleeve", notches=moved)) == ["notches without a mate"]


def test_check_1_finds_an_edge_without_a_name_of_its_own() -> None:
    draft = small_draft(pocket=pocket(["bottom", "side", "top", "side"]))

    assert failing(draft) == [1]
    assert failed_rows(draft) == ["outline simple and every edge named: pocket"]


def test_check_1_finds_a_gap() -> None:
    edges = pocket(["bottom", "right", "top", "left"]).edges
    torn = (*edges[:3], straight("left", (0, 100), (0, 0.01), EdgeKind.HEM))

    draft = small_draft(pocket=pocket(["bottom", "right", "top", "left"]).with_(edges=torn))

    assert failing(draft) == [1]
    assert failed_rows(draft) == ["outline closed: pocket"]


@pytest.mark.parametrize(
    "points",
    [
        [(0, 0), (0, 100), (100, 100), (100, 0)],  # clockwise
        [(0, 0), (100, 100), (100, 0), (0, 120)],  # crosses itself
        [(0, 0), (100, 0), (50, 0), (20, 0)],  # no area
        [(0, 0), (100, 0), (float("nan"), 100), (0, 100)],
    ],
)
def test_outline_checks_fail_what_is_no_outline(points: list[tuple[float, float]]) -> None:
    wrong = pocket(["bottom", "right", "top", "left"]).with_(
        edges=ring(points, ["bottom", "right", "top", "left"])
    )
    draft = replace(small_draft(), pieces=(wrong,))

    failed = [row.name for row in outline_checks(draft) if not row.ok]

    assert "outline simple and every edge named: pocket" in failed


def test_check_2_finds_sides_of_different_length() -> None:
    draft = with_seam(small_draft(), "side", ease=1.01)

    assert failing(draft) == [2]
    assert failed_rows(draft) == ["seam: side"]


def test_check_2_finds_notches_that_do_not_meet() -> None:
    draft = small_draft()
    moved = tuple(
        Notch(notch.edge, notch.at + 1.5) if notch.edge == "front seam" else notch
        for notch in draft.piece("sleeve").notches
    )

    draft = with_piece(draft, "sleeve", notches=moved)

    assert failing(draft) == [2]
    assert failed_rows(draft) == ["notches of seam: sleeve", "notches without a mate"]


def test_check_2_finds_a_notch_without_a_mate() -> None:
    draft = small_draft()

    draft = with_piece(draft, "front", notches=(*draft.piece("front").notches, Notch("shoulder", 40)))

    assert failing(draft) == [2]
    assert failed_rows(draft) == ["notches without a mate"]


def test_check_3_finds_a_kink() -> None:
    sagging = Path.cubic(Point(0, 0), Point(100, -12), Point(200, -12), Point(300, 0))

    draft = small_draft(sleeve=sleeve(sagging))

    # Each end leaves its seam at 90 degrees + atan(12 / 100) = 6.84: together 13.69 too much.
    assert failing(draft) == [3]
    row = next(row for row in check(draft) if not row.ok)
    assert row.name == "line runs on: sleeve hem across its seam"
    assert row.value == pytest.approx(13.685, abs=0.001)


def test_check_4_finds_a_girth_that_is_off() -> None:
    draft = small_draft()

    draft = replace(draft, levels=(replace(draft.levels[0], ease=42.01),))

    assert failing(draft) == [4]
    assert failed_rows(draft) == ["girth: bust"]


def test_check_4_finds_a_chord_outside_its_piece() -> None:
    draft = small_draft()
    level = draft.levels[0]
    moved = tuple(
        replace(chord, start=chord.start + Point(1, 0), end=chord.end + Point(1, 0)) for chord in level.chords
    )

    draft = replace(draft, levels=(replace(level, chords=moved),))

    assert failing(draft) == [4]
    assert failed_rows(draft) == ["girth is measured inside the pieces: bust"]


def test_check_5_finds_a_collar_that_misses_its_neckline() -> None:
    draft = with_seam(small_draft(), "collar", ease=1.6)

    assert failing(draft) == [5]
    assert failed_rows(draft) == ["collar on its neckline: collar"]


def test_check_5_finds_a_lapel_that_leaves_its_front() -> None:
    draft = small_draft(front=front(lapel_x=-120))

    assert failing(draft) == [5]
    assert failed_rows(draft) == ["rolled lapel stays on its piece: front"]


def test_check_5_finds_a_collar_left_open_at_the_centre_back() -> None:
    draft = small_draft()

    draft = replace(draft, seams=tuple(seam for seam in draft.seams if seam.name != "collar centre back"))

    assert failing(draft) == [2, 5]
    assert failed_rows(draft) == ["edges sewn to nothing", "collar closes at the centre back: front"]


def test_check_2_finds_an_edge_that_is_sewn_to_nothing() -> None:
    draft = small_draft()

    draft = replace(draft, seams=tuple(seam for seam in draft.seams if seam.name != "skirt side"))

    assert failed_rows(draft) == ["notches without a mate", "edges sewn to nothing"]
    assert unsewn_edges(draft) == ("skirt: side",)


def test_lapel_overhang_measures_by_hand() -> None:
    # Mirrored over the line x = 0, the tip at (-120, 150) comes to (120, 150): 20 outside the side at 100.
    edges = ring(
        [(0, 0), (100, 0), (100, 300), (0, 300), (-120, 150)], ["hem", "side", "top", "lapel", "edge"]
    )
    piece = pocket(["a", "b", "c", "d"]).with_(edges=edges)

    overhang = lapel_overhang(piece, RollLine("pocket", Point(0, 0), Point(0, 300), ("lapel", "edge")))

    assert overhang == pytest.approx(20.0)


def test_check_6_finds_a_cap_with_another_ease() -> None:
    draft = with_seam(small_draft(), "armhole", ease=21.5)

    assert failing(draft) == [6]
    assert failed_rows(draft) == ["sleeve cap ease: armhole"]


def test_check_6_finds_ease_below_the_notches() -> None:
    # Without notches on the front half nothing holds the ease above them: the cap is 10 longer there.
    draft = small_draft()
    draft = with_piece(draft, "sleeve", notches=draft.piece("sleeve").notches[1:])
    draft = with_piece(
        draft, "front", notches=tuple(n for n in draft.piece("front").notches if n.edge != "armhole")
    )

    assert failing(draft) == [6]
    assert failed_rows(draft) == ["sleeve cap ease lies between the notches: armhole"]


def test_check_7_finds_pleats_that_take_up_too_little() -> None:
    draft = small_draft()

    draft = replace(draft, pleats=(replace(draft.pleats[0], underlays=(100.0, 98.9)),))

    assert failing(draft) == [7]
    assert failed_rows(draft) == ["pleats take up the cloth: skirt, waist"]


def test_check_7_finds_underlays_that_overlap_too_much() -> None:
    draft = small_draft()

    draft = replace(draft, pleats=(replace(draft.pleats[0], greatest_overlap=10.1),))

    assert failing(draft) == [7]
    assert failed_rows(draft) == ["pleats overlap: skirt, waist"]


def test_check_8_finds_a_facing_that_does_not_match() -> None:
    draft = with_seam(small_draft(), "neck facing", ease=1.01)

    assert failing(draft) == [8]
    assert failed_rows(draft) == ["joined edges match: neck facing"]


def test_check_8_finds_unequal_dart_legs() -> None:
    draft = small_draft()

    draft = replace(draft, darts=(replace(draft.darts[0], leg_edges=None, end=Point(60, -1)),))

    assert failing(draft) == [8]
    assert failed_rows(draft) == ["dart legs are equal: back, waist dart"]


def test_check_8_finds_a_dart_that_kinks_its_seam() -> None:
    # The waist beside the dart runs level instead of square to the leg: 7.125 degrees off.
    level = tuple(
        straight("waist", (0, 0), (40, 0)) if edge.name == "waist" else edge for edge in back().edges
    )
    closed = tuple(
        straight("centre back", (0, 410), (0, 0), EdgeKind.FOLD) if edge.name == "centre back" else edge
        for edge in level
    )
    draft = small_draft(back=back().with_(edges=closed))
    draft = with_seam(draft, "waist", ease=draft.seams[-1].ease + 40.311 - 40)

    assert failed_rows(draft) == ["folded dart crosses its seam: back, waist dart"]


def test_check_9_finds_a_cut_line_at_another_distance() -> None:
    draft = small_draft()
    pulled = tuple(Point(x, y + 0.25) if y < -39 else Point(x, y) for x, y in draft.piece("sleeve").cut_line)

    draft = with_piece(draft, "sleeve", cut_line=pulled)

    assert failing(draft) == [9]
    assert failed_rows(draft) == ["cut line follows the allowances: sleeve"]


def test_check_9_finds_a_corner_that_breaks_its_rule() -> None:
    # A hem corner that is mitred where the hem should be turned: the sides of the sleeve lean outward.
    slanted = sleeve().with_(
        edges=ring(
            [(0, 0), (300, 0), (280, 300), (20, 300)],
            ["hem", "r", "top", "l"],
            hem=EdgeKind.HEM,
            top=EdgeKind.OPENING,
        )
    )
    mitred = small_draft(pocket=slanted.with_(name="pocket", notches=()))
    side = Seam("pocket side", (EdgeRef("pocket", "r"),), (EdgeRef("pocket", "l", True),))
    mitred = replace(mitred, seams=(*mitred.seams, side))
    assert failed_rows(mitred) == []
    turned = tuple(replace(edge, end_corner=Corner.TURNED) for edge in mitred.piece("pocket").edges)

    draft = with_piece(mitred, "pocket", edges=turned)

    assert failing(draft) == [9]
    assert failed_rows(draft) == ["cut line corners: pocket"]


def test_check_9_finds_a_dart_mouth_cut_straight() -> None:
    draft = small_draft()
    roof = draft.piece("back").cut_line
    flat = tuple(Point(x, -14) if 45 < x < 55 and y < 0 else Point(x, y) for x, y in roof)

    draft = with_piece(draft, "back", cut_line=flat)

    assert failing(draft) == [9]
    assert failed_rows(draft) == ["cut line of folded darts: back"]


@pytest.mark.parametrize("cut_line", [(), (Point(0, 0), Point(10, 0), Point(0, 10))])
def test_check_9_finds_a_cut_line_that_does_not_hold_the_stitch_line(cut_line: tuple[Point, ...]) -> None:
    draft = with_piece(small_draft(), "skirt", cut_line=cut_line)

    assert failing(draft) == [9]
    assert "cut line is simple and holds the stitch line: skirt" in failed_rows(draft)


def test_check_10_finds_a_body_out_of_every_range() -> None:
    draft = small_draft()
    measures = {**draft.body.measures, "wrist_girth": Measure(20.0, True)}

    draft = replace(draft, body=replace(draft.body, measures=measures))

    assert failing(draft) == [10]
    row = next(row for row in check(draft) if not row.ok)
    assert (row.name, row.remark) == ("body: measurements out of every human range", "wrist_girth")


def test_check_10_finds_a_piece_that_is_cut_of_nothing() -> None:
    draft = with_piece(small_draft(), "skirt", cuts=())

    assert failing(draft) == [10]
    assert failed_rows(draft) == ["pieces that cannot be cut as drawn"]


def test_check_gives_a_finite_value_for_what_cannot_be_measured() -> None:
    draft = replace(small_draft(), pieces=())
    draft = replace(draft, seams=(), continuations=(), levels=(), pleats=(), darts=(), roll_lines=())

    size = next(row for row in check(draft) if row.name == "size of the largest piece")

    assert (size.value, size.ok) == (1e9, False)
