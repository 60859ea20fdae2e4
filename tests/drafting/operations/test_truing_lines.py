from __future__ import annotations

from dataclasses import replace
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.geometry import Path, Point, curve_through, distance
from drafting.making import Width
from drafting.operations.truing_lines import end_trued, recurved, redrawn, run_on
from drafting.pattern import MarkKind
from tests.drafting.operations.shapes import oblong

ARC = curve_through((Point(0, 0), Point(100, 100)), Point(1, 0), Point(0, 1))


@given(st.floats(147, 168))
def test_recurved_has_the_length_and_keeps_ends_and_directions(length: float) -> None:
    """A quarter arc of 100 is pi / 2 x 100 = 157 long; flatter or fuller it is from 142 on."""
    trued = recurved(ARC, length)

    assert trued.length == pytest.approx(length, abs=1e-6)
    assert (trued.start, trued.end) == (ARC.start, ARC.end)
    assert trued.start_tangent == pytest.approx(ARC.start_tangent)
    assert trued.end_tangent == pytest.approx(ARC.end_tangent)


def test_recurved_comes_as_near_as_a_curve_may() -> None:
    assert recurved(ARC, 100.0).length < 147
    assert recurved(ARC, 400.0).length > pi / 2 * 100
    assert recurved(Path.line(Point(0, 0), Point(50, 0)), 60.0).length == 50.0


def test_run_on_lengthens_straight_and_cuts_off() -> None:
    longer, shorter = run_on(ARC, ARC.length + 10), run_on(ARC, ARC.length - 10)

    assert distance(longer.end, Point(100, 110)) < 1e-9
    assert shorter.length == pytest.approx(ARC.length - 10)
    assert run_on(ARC, ARC.length) == ARC


def test_redrawn_takes_notches_and_widths_to_the_new_line() -> None:
    sketch = oblong()
    sketch.notch("side", 150.0)
    sketch.mark("waist line", MarkKind.GUIDE, Path.line(Point(0, 150), Point(200, 150)))
    bent = Path.polyline((Point(200, 300), Point(180, 150), Point(200, 0)))

    change = redrawn(sketch, "side", bent)

    assert change.sketch.notches == [("side", pytest.approx(bent.length / 2), 1)]
    (width,) = change.widths(Width("front", Point(0, 150), Point(200, 150)))
    assert width.end == pytest.approx(Point(180, 150))
    (inside,) = change.widths(Width("front", Point(0, 150), Point(120, 150)))
    assert inside.end == Point(120, 150)
    assert change.sketch.marks[0].path.end == pytest.approx(Point(180, 150))


def test_redrawn_runs_a_width_on_to_a_line_further_out() -> None:
    bent = Path.polyline((Point(200, 300), Point(230, 150), Point(200, 0)))

    (width,) = redrawn(oblong(), "side", bent).widths(Width("front", Point(0, 150), Point(200, 150)))

    assert width.end == pytest.approx(Point(230, 150))


def test_redrawn_refuses_other_corners() -> None:
    with pytest.raises(ValueError, match="other corners"):
        redrawn(oblong(), "side", Path.line(Point(190, 300), Point(200, 0)))


def test_end_trued_moves_the_corner_and_the_neighbour_follows() -> None:
    """The side is made 10 longer; the waist then rises from there."""
    trued = end_trued(oblong(), "side", 310.0).sketch

    assert trued.path("side").end == Point(200, -10)
    assert trued.path("waist").end == Point(200, -10)
    assert trued.path("waist").start == Point(0, 0)
    assert trued.piece()


def test_end_trued_shortens_too_and_keeps_the_curve_beyond() -> None:
    sketch = oblong()
    waist = curve_through((Point(0, 0), Point(200, 0)), Point(1, -0.2), Point(1, 0.2))
    sketch.strokes[0] = replace(sketch.strokes[0], path=waist)

    trued = end_trued(sketch, "side", 290.0).sketch

    assert trued.path("waist").end == Point(200, 10)
    assert trued.path("waist").start_tangent == pytest.approx(waist.start_tangent)
    with pytest.raises(ValueError, match="split"):
        end_trued(sketch, "side", 0.0)
