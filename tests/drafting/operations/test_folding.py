"""A wedge folded out of a piece at a level, by hand-worked figures."""

from __future__ import annotations

from math import isclose

import pytest

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Path, Point, distance
from drafting.making import Width
from drafting.operations.folding import folded_out
from drafting.pattern import Cut, Dart, EdgeKind, MarkKind

PIVOT = Point(100.0, 0.0)


def strip() -> Sketch:
    """100 wide, from 200 above the level to 300 below it; a dart 10 wide through the level at 40."""
    corners = [Point(0.0, 200.0), Point(100.0, 200.0), PIVOT, Point(100.0, -300.0), Point(0.0, -300.0)]
    sketch = Sketch(
        "back",
        [
            Stroke("top", Path.line(corners[0], corners[1])),
            Stroke("side", Path.polyline(corners[1:4])),
            Stroke("hem", Path.line(corners[4], corners[3]), EdgeKind.HEM),
            Stroke("centre back", Path.line(corners[0], corners[4])),
        ],
        (Cut("shell", 2, mirrored=True),),
        (Point(20.0, 100.0), Point(20.0, -200.0)),
    )
    inner, outer = Point(35.0, 0.0), Point(45.0, 0.0)
    sketch.darts = [
        Dart("", "above", inner, Point(40.0, 90.0), outer),
        Dart("", "below", inner, Point(40.0, -80.0), outer),
    ]
    sketch.mark("hip line", MarkKind.GUIDE, Path.line(Point(0.0, -150.0), Point(100.0, -150.0)))
    return sketch


def test_folded_out_shortens_the_centre_and_nothing_else() -> None:
    folded = folded_out(strip(), PIVOT, 12.0).sketch

    # Round the bend it is a little shorter than round the corner.
    assert 12.0 < 500.0 - folded.path("centre back").length < 12.3
    assert isclose(folded.path("side").length, 500.0)
    assert isclose(folded.path("hem").length, 100.0)
    assert folded.path("top") == strip().path("top")
    assert isclose(folded.marks[0].path.length, 100.0)
    folded.piece()  # its lines still close


def test_folded_out_bends_the_centre_inward_at_the_level() -> None:
    """2 asin(6 / 100) = 6.88 degrees: 300 below, the centre lies 300 sin - (100 - 100 cos) = 35.2 out."""
    folded = folded_out(strip(), PIVOT, 12.0).sketch

    assert folded.path("centre back").end.x == pytest.approx(0.72 - 300 * 0.11978, abs=0.02)
    assert folded.path("centre back").point_at(50.0) == (0.0, 150.0)


def test_folded_out_keeps_darts_as_wide_and_their_legs_alike() -> None:
    above, below = folded_out(strip(), PIVOT, 12.0).sketch.darts

    assert (above.start, above.end) == (below.start, below.end)
    assert isclose(distance(above.start, above.end), 10.0)
    for dart in (above, below):
        assert isclose(distance(dart.start, dart.apex), distance(dart.end, dart.apex))


def test_widths_above_stay_and_widths_below_turn_unchanged() -> None:
    change = folded_out(strip(), PIVOT, 12.0)
    above, below = (Width("back", Point(0.0, y), Point(100.0, y)) for y in (80.0, -150.0))

    assert list(change.widths(above)) == [above]
    (turned,) = change.widths(below)
    assert isclose(distance(turned.start, turned.end), 100.0)
    assert turned.start.x < -15.0


def test_another_line_through_the_level_is_refused() -> None:
    sketch = strip()
    sketch.put("side", Stroke("side", Path.line(Point(100.0, 200.0), Point(100.0, -300.0))))

    with pytest.raises(ValueError, match="other than the centre"):
        folded_out(sketch, PIVOT, 12.0)
