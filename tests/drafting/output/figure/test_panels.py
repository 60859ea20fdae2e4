"""Panels laid together: darts closed to the widths that are sewn."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.geometry import Point
from drafting.output.figure.panels import Panel, Wedge, beside, panel_of
from drafting.output.figure.skirts import skirt_of
from drafting.output.figure.uppers import neck_line, shoulder_tip, upper
from tests.drafting.output.samples import BODY, P, front

WAIST_DART = Wedge(P(95, 0), P(95, 120), P(-30, 0), inner=False)


@pytest.mark.parametrize(
    ("x", "y", "moved"),
    [(110, 0, -30), (80, 0, 0), (200, 60, -15), (200, 120, 0), (200, 200, 0), (200, -10, -30)],
)
def test_wedge_takes_in_what_lies_beyond_it(x, y, moved):
    assert WAIST_DART.moved(P(x, y)) == pytest.approx(P(moved, 0))


def test_both_halves_of_an_inner_dart_take_in_its_width_once_at_its_mouth():
    above = Wedge(P(95, 0), P(95, 120), P(-30, 0), inner=True)
    below = Wedge(P(95, 0), P(95, -90), P(-30, 0), inner=True)
    moved = [(above.moved(P(200, y)) + below.moved(P(200, y))).x for y in (120, 60, 0, -45, -90)]

    assert moved == pytest.approx([0.0, -15.0, -30.0, -15.0, 0.0])


def test_side_of_a_hand_made_front_has_its_sewn_waist():
    side = beside([Panel(front())])

    # Without its dart, which no draft names here, the waist runs to x = 210 at a height of 5 mm.
    assert side.half_width(5.0) == pytest.approx(210.0, abs=0.5)
    assert shoulder_tip(side) == Point(190.0, 400.0)
    assert neck_line(side)[0] == Point(70.0, 430.0)
    assert neck_line(side)[-1] == Point(0.0, 345.0)


@pytest.mark.parametrize("side", ["front", "back"])
def test_bodice_is_as_wide_at_the_waist_as_it_is_sewn(side):
    draft = make_draft("notched-collar-dress", Body.of(BODY))
    drawn = upper(draft, side)
    waist = sum(
        edge.length
        for edge in draft.piece(f"{side} bodice").edges
        if edge.name.startswith("waist") and edge.kind.value == "seam" and "extension" not in edge.name
    )

    assert drawn is not None
    assert max(p[0] for line in drawn.lines("waist") for p in line) == pytest.approx(waist, abs=1.5)


def test_mirrored_piece_is_seen_as_its_like():
    right = front()
    left = right.with_(
        edges=tuple(
            type(e)(e.name, e.kind, e.path.mapped(lambda p: P(-p[0], p[1])).reversed(), e.allowance)
            for e in right.edges[::-1]
        )
    )

    assert Panel(left).turned
    assert [Panel(left).width_at(y) for y in (50.0, 210.0, 390.0)] == [
        pytest.approx(Panel(right).width_at(y), abs=0.3) for y in (50.0, 210.0, 390.0)
    ]


def test_pleated_skirt_is_drawn_narrower_than_its_cloth():
    draft = make_draft("notched-collar-dress", Body.of(BODY), {"pleats": 6})
    skirt = skirt_of(draft, "front", -1.0, 0.0, P(180, 0))

    assert skirt is not None
    assert skirt.half < 0.6 * draft.piece("skirt front").edge("hem").length
    assert -skirt.bottom == pytest.approx(draft.piece("skirt front").edge("centre front").length, abs=1.0)


def test_panel_closes_the_darts_that_the_draft_names():
    draft = make_draft("notched-collar-dress", Body.of(BODY))
    back = draft.piece("back bodice")

    assert [wedge.inner for wedge in panel_of(draft, back).wedges] == [False]


@pytest.mark.parametrize("line", ["shoulder", "armhole"])
def test_princess_panels_meet_along_their_seam(line):
    draft = make_draft("princess-dress", Body.of(BODY), {"princess": line})
    side = upper(draft, "front")

    assert side is not None
    centre, outer = (
        sorted(side.line(index, panel.piece.edge("princess seam")), key=lambda p: p[1])
        for index, panel in enumerate(side.panels)
    )
    assert [panel.piece.name for panel in side.panels] == ["centre front", "side front"]
    assert centre[0] == pytest.approx(outer[0], abs=1.5)
    assert centre[-1] == pytest.approx(outer[-1], abs=1.5)


def test_gored_skirt_is_as_wide_at_the_hem_as_its_gores():
    draft = make_draft("gored-skirt", Body.of(BODY))
    skirt = skirt_of(draft, "front", -1.0, 0.0)
    gores = [piece for piece in draft.pieces if piece.name in {"skirt front", "skirt side front"}]

    assert skirt is not None
    assert len(gores) == 2
    # Each gore's hem is a shallow arc: its chord is a little shorter.
    assert skirt.half == pytest.approx(sum(piece.edge("hem").length for piece in gores), rel=0.02)


def test_circle_skirt_hangs_narrower_than_its_hem_and_lies_within_its_length():
    draft = make_draft("circle-skirt", Body.of(BODY))
    skirt = skirt_of(draft, "front", -1.0, 0.0)

    assert skirt is not None
    assert skirt.hangs
    assert 0.4 < skirt.half / draft.piece("skirt front").edge("hem").length < 0.95


def test_shoulder_is_straight_once_its_dart_is_closed():
    draft = make_draft("shift-dress", Body.of(BODY), {"bust_dart": "shoulder"})
    side = upper(draft, "front")

    assert side is not None
    inner, outer = sorted(side.lines("shoulder"), key=lambda line: min(p[0] for p in line))
    assert max(inner, key=lambda p: p[0]) == pytest.approx(min(outer, key=lambda p: p[0]), abs=0.5)
