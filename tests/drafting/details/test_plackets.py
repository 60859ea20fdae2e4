from __future__ import annotations

import pytest

from drafting.details.plackets import OVERLAP, UNDERLAP, Opening, folded_back, opening_strokes, strip
from drafting.geometry import Path, Point

HALF = 16.0
TOP = Path.line(Point(HALF, 302.0), Point(0.0, 300.0))


def test_folded_back_is_the_mirror_image_of_what_it_lies_on() -> None:
    top = TOP.joined(Path.line(Point(0.0, 300.0), Point(-HALF, 300.0)))
    foot = Path.line(Point(-HALF, 0.0), Point(HALF, 0.0))

    above, edge, below = folded_back(top, foot, HALF)

    assert (above.start, above.end) == (Point(-16.0, 300.0), Point(-48.0, 302.0))
    assert (edge.start, edge.end) == (Point(-48.0, 302.0), Point(-48.0, 0.0))
    assert (below.start, below.end) == (Point(-16.0, 0.0), Point(-48.0, 0.0))
    assert above.length == pytest.approx(top.length)


def test_opening_is_cut_down_beside_the_centre_and_level_to_it() -> None:
    side, foot = opening_strokes(Opening(TOP, 250.0, HALF), 6.0)

    assert (side.path.start, side.path.end) == (Point(16.0, 302.0), Point(16.0, 50.0))
    assert (foot.path.start, foot.path.end) == (Point(16.0, 50.0), Point(0.0, 50.0))


@pytest.mark.parametrize("name", [OVERLAP, UNDERLAP])
def test_strip_is_the_same_on_both_sides_of_its_fold(name: str) -> None:
    piece = strip(Opening(TOP, 250.0, HALF), name, 6.0).piece()
    xs = [p.x for p in piece.outline()]

    # A front is drawn mirrored: the sewn edge lies at -16, the fold at 16, the inner edge at 48.
    assert (min(xs), max(xs)) == (-16.0, 48.0)
    assert piece.edge("placket side").length == piece.edge("inner side").length == 252.0
    outer = piece.edge("neck faced").length + piece.edge("neck extension").length
    assert piece.edge("inner top").length == pytest.approx(outer)


def test_the_overlap_reaches_below_the_opening_by_its_box() -> None:
    opening = Opening(TOP, 250.0, HALF)
    lowest = {
        name: min(p.y for p in strip(opening, name, 6.0).piece().outline()) for name in (OVERLAP, UNDERLAP)
    }

    assert lowest == pytest.approx({OVERLAP: 50.0 - 0.7 * 32.0, UNDERLAP: 50.0})
