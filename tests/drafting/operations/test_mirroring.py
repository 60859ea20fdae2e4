from __future__ import annotations

from dataclasses import replace

import pytest

from drafting.geometry import Path, Point
from drafting.operations.darts import slit
from drafting.operations.mirroring import mirrored_whole
from drafting.pattern import Cut, Dart, MarkKind
from tests.drafting.operations.shapes import area, names, oblong


def test_a_half_is_opened_over_its_fold() -> None:
    sketch = oblong()
    sketch.notch("side", 70.0)
    sketch.mark("hole", MarkKind.DRILL, Path.line(Point(50, 60), Point(50, 61)))
    sketch.darts.append(Dart("", "inner", Point(140, 230), Point(150, 260), Point(160, 230)))

    whole = mirrored_whole(sketch, "centre front").sketch

    assert area(whole) == 2 * 200 * 300
    assert names(whole) == ["waist", "side", "top", "left top", "left side", "left waist"]
    assert whole.cuts == (Cut("shell", 1),)
    assert whole.path("left side").end == Point(-200, 0)
    assert whole.notches == [("side", 70.0, 1), ("left side", 70.0, 1)]
    assert [mark.path.start for mark in whole.marks] == [Point(50, 60), Point(-50, 60)]
    assert [(dart.name, dart.apex.x) for dart in whole.darts] == [("inner", 150), ("left inner", -150)]


def test_open_darts_keep_their_legs() -> None:
    sketch = slit(oblong(), ("top", 100.0), Point(100, 150), "dart").sketch

    whole = mirrored_whole(sketch, "centre front").sketch

    assert whole.darts[1].leg_edges == ("left dart upper", "left dart lower")
    assert {"left dart upper", "left dart lower"} <= set(names(whole))


def test_a_centre_that_is_not_straight_is_refused() -> None:
    sketch = oblong()
    bent = Path.polyline((Point(0, 300), Point(-20, 150), Point(0, 0)))
    sketch.strokes[3] = replace(sketch.strokes[3], path=bent)

    with pytest.raises(ValueError, match="not straight"):
        mirrored_whole(sketch, "centre front")
