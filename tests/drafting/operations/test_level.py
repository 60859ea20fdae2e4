from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.geometry import Path, Point, distance
from drafting.making import Width
from drafting.operations.level import lengthened
from drafting.pattern import MarkKind
from tests.drafting.operations.shapes import area, oblong


def test_lengthened_moves_all_below_the_level() -> None:
    sketch = oblong()
    sketch.notch("side", 50.0)
    sketch.notch("side", 250.0)
    sketch.mark("above", MarkKind.DRILL, Path.line(Point(50, 200), Point(50, 201)))
    sketch.mark("below", MarkKind.DRILL, Path.line(Point(50, 50), Point(50, 51)))

    longer = lengthened(sketch, 100.0, 25.0).sketch

    assert area(longer) == pytest.approx(200 * 325)
    assert longer.path("side").length == 325.0
    assert longer.path("waist").start == Point(0, -25)
    assert longer.notches == [("side", 50.0, 1), ("side", 275.0, 1)]
    assert [mark.path.start.y for mark in longer.marks] == [200, 25]


def test_shortened_takes_a_strip_out() -> None:
    shorter = lengthened(oblong(), 100.0, -25.0).sketch

    assert area(shorter) == pytest.approx(200 * 275)
    assert shorter.path("waist").start == Point(0, 25)


def test_lengthened_keeps_a_slanting_side_straight() -> None:
    sketch = oblong()
    slanting = Path.line(Point(180, 300), Point(200, 0))
    paths = {"side": slanting, "top": Path.line(Point(0, 300), Point(180, 300))}
    sketch.strokes = [replace(s, path=paths.get(s.name, s.path)) for s in sketch.strokes]

    side = lengthened(sketch, 100.0, 50.0).sketch.path("side")

    assert len(side.segments) == 1
    assert side.length == distance(Point(180, 300), Point(200, -50))


def test_lengthened_carries_widths() -> None:
    (width,) = lengthened(oblong(), 100.0, 25.0).widths(Width("front", Point(0, 50), Point(200, 50)))

    assert (width.start, width.end) == (Point(0, 25), Point(200, 25))


@pytest.mark.parametrize(("level", "by"), [(0.0, 10.0), (-50.0, 10.0), (20.0, -20.0)])
def test_lengthened_refuses_a_level_that_nothing_is_below(level: float, by: float) -> None:
    with pytest.raises(ValueError, match="nothing of the front"):
        lengthened(oblong(), level, by)


@given(st.floats(1, 299), st.floats(0, 400))
def test_lengthening_and_shortening_undo_one_another(level: float, by: float) -> None:
    longer = lengthened(oblong(), level, by).sketch

    back = lengthened(longer, level, -by).sketch

    assert area(back) == pytest.approx(200 * 300)
    assert area(longer) == pytest.approx(200 * (300 + by))
