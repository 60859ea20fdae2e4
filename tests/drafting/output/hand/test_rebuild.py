"""Ruling every piece again from nothing but the words printed on the sheet."""

from __future__ import annotations

from itertools import pairwise

import pytest
import shapely

from drafting import make_draft
from drafting.body import Body
from drafting.geometry import Point, curve_through, perpendicular, unit
from drafting.output.arrange import ring_bounds
from drafting.output.hand.plan import HandPiece
from drafting.output.hand.reading import hand_pieces
from drafting.output.hand.steps import Stage, Step, seam_table, steps_of
from drafting.output.hand.tape import Tape, tape_in
from drafting.pattern import Draft, Piece
from drafting.styles import STYLES
from drafting.units import Unit, parse_length
from tests.drafting.output.samples import sample_draft

EIGHTH = 25.4 / 8
BODIES = {
    "child": {"bust_girth": 600.0, "waist_girth": 560.0, "hip_girth": 620.0, "stature": 1150.0},
    "average": {"bust_girth": 890.0, "waist_girth": 700.0, "hip_girth": 960.0, "stature": 1650.0},
    "large": {"bust_girth": 1300.0, "waist_girth": 1200.0, "hip_girth": 1400.0, "stature": 1720.0},
}


def read(text: str, tape: Tape) -> float:
    if text == "none: on the base line":
        return 0.0
    return (
        -parse_length(text.removeprefix("out "), tape.unit)
        if text.startswith("out ")
        else parse_length(text, tape.unit)
    )


def step(steps: tuple[Step, ...], stage: Stage) -> tuple[tuple[str, ...], ...]:
    return next((found.tables[0].rows for found in steps if found.stage is stage), ())


def ruled(piece: HandPiece, tape: Tape) -> list[tuple[str, list[Point]]]:
    """Every line of the outline by its edge, in the frame, from the printed tables alone."""
    steps = steps_of(piece, tape)
    frame = steps[0].words
    from_right = "top right corner" in frame
    width = parse_length(frame.split("frame ")[1].split(f" {tape.unit}")[0], tape.unit)
    points = {}
    for name, across, down, _ in step(steps, Stage.POINTS):
        x = read(across, tape)
        points[name] = Point(width - x if from_right else x, -read(down, tape))
    lines = {}
    for ends, edge, _ in step(steps, Stage.LINES):
        a, b = ends.split(" to ")
        lines[a] = (edge, [points[a], points[b]])
    lines |= dict(curves(step(steps, Stage.CURVES), points, tape))
    return [lines[name] for name in points]


def curves(rows, points, tape):
    start, end, edge, through = "", "", "", []
    for name, along, off in (*rows, ("end", "", "")):
        if name and through:
            yield start, (edge, list(curve_through([*through, points[end]]).flatten(0.05)))
        if name == "end":
            return
        if name:
            ends, rest = name.split(", ", 1)
            start, end = ends.split(" to ")
            edge, through = rest.rsplit(" (", 1)[0], [points[start]]
        direction = unit(points[end] - points[start])
        distance = read(along.split(" from ")[0], tape)
        # An outline is counter-clockwise: the piece lies to the left.
        through.append(points[start] + direction * distance + perpendicular(direction) * read(off, tape))


def strays(piece: Piece, hand: HandPiece, lines: list[tuple[str, list[Point]]]) -> float:
    """How far the ruled outline and the draft's stray from each other, mm."""
    left, _, right, top = ring_bounds(piece.outline())
    dx = right - hand.frame.width if hand.frame.from_right else left
    ring = [(x + dx, y + top) for _, points in lines for x, y in points[:-1]]
    return float(
        shapely.hausdorff_distance(
            shapely.LinearRing(ring), shapely.LinearRing(piece.outline()), densify=0.02
        )
    )


def length(points: list[Point]) -> float:
    return sum(((b[0] - a[0]) ** 2 + (b[1] - a[1]) ** 2) ** 0.5 for a, b in pairwise(points))


def check(draft: Draft, unit_: Unit) -> None:
    tape = tape_in(unit_)
    near = EIGHTH if unit_ is Unit.IN else 2.0
    lengths: dict[tuple[str, str], float] = {}
    for piece, hand in zip(draft.pieces, hand_pieces(draft, tape), strict=True):
        lines = ruled(hand, tape)
        assert strays(piece, hand, lines) <= near, piece.name
        for edge, points in lines:
            lengths[piece.name, edge] = lengths.get((piece.name, edge), 0.0) + length(points)
    for seam in draft.seams:
        a, b = (sum(lengths[ref.piece, ref.edge] for ref in side) for side in (seam.a, seam.b))
        # Each edge of the seam is ruled as long as it is drafted, to an eighth of an inch or 2 mm.
        assert abs(a - b - seam.ease) <= near * len(seam.a + seam.b), seam.name


@pytest.mark.parametrize("unit_", [Unit.IN, Unit.CM, Unit.MM])
def test_hand_made_sample_is_ruled_again(unit_):
    check(sample_draft(), unit_)


@pytest.mark.parametrize("body", BODIES)
@pytest.mark.parametrize("style", STYLES)
def test_every_style_is_ruled_again_within_an_eighth(style, body):
    draft = make_draft(style, Body.of(BODIES[body]))

    check(draft, Unit.IN)
    check(draft, Unit.CM)


def test_numbers_are_those_of_the_tape():
    hand = next(iter(hand_pieces(sample_draft(), tape_in(Unit.IN))))
    rows = step(steps_of(hand, tape_in(Unit.IN)), Stage.POINTS)

    # The front's neck point lies 70 mm from the centre and at its top: 2 3/4 in (69.85 mm) across.
    # Its fold stands at the left, so that its base corner is there.
    assert ("2 3/4", "0", "shoulder / neck") in [row[1:] for row in rows]
    assert hand.frame.from_right is False


def test_straight_edges_have_no_offsets_and_curves_have():
    hand = next(iter(hand_pieces(sample_draft(), tape_in(Unit.CM))))
    offsets = {line.edge: len(line.offsets) for line in hand.lines if line.offsets}

    assert set(offsets) == {"armhole", "neck"}


@pytest.mark.parametrize("unit_", [Unit.IN, Unit.CM])
@pytest.mark.parametrize("style", ["school-dress", "shirt-blouse", "coat-dress", "trousers"])
def test_no_offset_is_nothing_but_where_a_curve_crosses_its_base_line(style, unit_):
    draft = make_draft(style, Body.of(BODIES["average"]))
    tape = tape_in(unit_)
    for hand in hand_pieces(draft, tape):
        for _, _, off in step(steps_of(hand, tape), Stage.CURVES):
            assert off not in {"0", "0.0"}
        for line in hand.lines:
            crossed = [k for k, offset in enumerate(line.offsets) if not offset.into]
            beside = [
                line.offsets[j].into for k in crossed for j in (k - 1, k + 1) if 0 <= j < len(line.offsets)
            ]
            assert any(beside) or not crossed, (hand.name, line.edge)


def test_no_notch_is_asked_for_in_a_corner():
    draft = make_draft("school-dress", Body.of(BODIES["average"]))
    notches = [notch for hand in hand_pieces(draft, tape_in(Unit.CM)) for notch in hand.notches]

    assert notches
    assert min(notch.along for notch in notches) > 0.0


def test_seams_are_listed_with_both_lengths():
    draft = make_draft("notched-collar-dress", Body.of(BODIES["average"]))
    rows = {row[0]: row[1:] for row in seam_table(draft, tape_in(Unit.CM)).rows}

    side = next(seam for seam in draft.seams if seam.name == "side of the skirt")
    assert rows["side of the skirt"] == (f"{draft.side_length(side.a) / 10:.1f}",) * 2 + ("",)
