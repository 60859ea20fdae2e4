from __future__ import annotations

from itertools import pairwise
from math import isclose, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.geometry import Path, Point, angle_between, distance
from drafting.making import Width
from drafting.operations.spread import spread, widened
from drafting.pattern import MarkKind
from tests.drafting.operations.shapes import area, oblong

TOP, FOOT = ("top", 100.0), ("waist", 100.0)


def test_widened_adds_a_strip() -> None:
    """A strip of 30 over a height of 300."""
    sketch = oblong()
    sketch.notch("top", 40.0)
    sketch.notch("top", 150.0)
    sketch.mark("pocket", MarkKind.DRILL, Path.line(Point(150, 100), Point(150, 101)))

    wide = widened(sketch, TOP, FOOT, 30.0).sketch

    assert area(wide) == pytest.approx(230 * 300)
    assert wide.path("top").length == pytest.approx(230.0)
    assert wide.path("waist").length == pytest.approx(230.0)
    assert wide.path("side").start == Point(230, 300)
    assert wide.path("centre front").length == 300.0
    assert [at for _, at, _ in wide.notches] == pytest.approx([40.0, 180.0])
    assert wide.marks[0].path.start.x == pytest.approx(180.0)


def test_spread_at_one_end_turns_about_the_other() -> None:
    """A cut of 300 opened by 60 at its foot: a triangle with two sides of 300 is added, nothing above."""
    wide = spread(oblong(), TOP, FOOT, at_start=0.0, at_end=60.0).sketch

    assert wide.path("top").length == pytest.approx(200.0)
    gap = wide.path("waist").segments[1]
    assert distance(gap.start, gap.end) == pytest.approx(60.0)
    side = wide.path("side")
    assert side.length == pytest.approx(300.0)
    assert side.start.x == pytest.approx(198.0)  # 200 turned by 2 asin(0.1), cos 0.98, about the cut
    triangle = 30 * sqrt(300**2 - 30**2)
    rounding = area(wide) - 200 * 300 - triangle  # the hem is bridged by a curve that hangs below the chord
    assert 0 < rounding < 0.1 * triangle


def test_spread_bridges_a_gap_without_a_corner() -> None:
    wide = spread(oblong(), TOP, FOOT, at_start=0.0, at_end=60.0).sketch

    segments = wide.path("waist").segments
    for before, after in pairwise(segments):
        turn = angle_between(before.tangent_at(before.length), after.tangent_at(0.0))
        assert abs(turn) < 1e-9


def test_spread_measures_widths_without_what_was_opened() -> None:
    change = widened(oblong(), TOP, FOOT, 30.0)

    parts = change.widths(Width("front", Point(0, 200), Point(200, 200), 2))

    assert [distance(part.start, part.end) for part in parts] == pytest.approx([100.0, 100.0])
    assert parts[1].start.x == pytest.approx(130.0)


def test_spread_by_nothing_changes_nothing() -> None:
    same = spread(oblong(), TOP, FOOT, at_start=0.0, at_end=0.0).sketch

    assert area(same) == pytest.approx(200 * 300)
    assert same.path("waist").length == 200.0


@pytest.mark.parametrize(
    ("start", "end", "by", "why"),
    [
        (TOP, ("top", 150.0), 10.0, "one edge to another"),
        (TOP, FOOT, -1.0, "0 or more"),
        (TOP, FOOT, 700.0, "cannot be spread"),
    ],
)
def test_spread_refuses(start: tuple[str, float], end: tuple[str, float], by: float, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        spread(oblong(), start, end, at_start=0.0, at_end=by)


@given(st.floats(20, 180), st.floats(20, 180), st.floats(0, 80), st.floats(0, 80))
def test_spread_opens_each_end_by_what_is_asked(top: float, foot: float, one: float, other: float) -> None:
    wide = spread(oblong(), ("top", top), ("waist", foot), at_start=one, at_end=other).sketch

    assert isclose(wide.path("side").length, 300.0, rel_tol=1e-9)
    opened = {"top": _opened(wide.path("top"), top), "waist": _opened(wide.path("waist"), foot)}
    asked = {"top": one, "waist": other}
    lesser, greater = sorted(asked, key=lambda name: asked[name])
    assert opened[lesser] == pytest.approx(asked[lesser], abs=1e-6)
    # The greater end is drawn apart and then turned: a little less than both together.
    assert 0.97 * asked[greater] - 1e-6 <= opened[greater] <= asked[greater] + 1e-6
    assert wide.piece()


def _opened(edge: Path, at: float) -> float:
    """The straight width between the two parts of an edge of 200 that was cut there."""
    return distance(edge.point_at(at), edge.point_at(edge.length - (200 - at)))
