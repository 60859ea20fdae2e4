"""A dart moved by hand: on an oblong 200 by 300 every figure can be reckoned."""

from __future__ import annotations

from dataclasses import replace
from math import atan2, hypot, isclose, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.blocks.sketch import Sketch
from drafting.geometry import Path, Point, distance
from drafting.making import Corner, Phase, Width, run
from drafting.operations.darts import halves_of, merge_darts, move_darts, pivot, slit
from drafting.operations.ring import dart_named
from drafting.pattern import Dart, MarkKind
from tests.drafting.operations.shapes import area, in_making, names, oblong

APEX = Point(100, 150)


def darted(width: float = 40.0) -> Sketch:
    """A dart at the side: 40 wide in the middle of the side, its point in the middle of the piece."""
    opened = slit(oblong(), ("side", 150.0), APEX, "bust dart").sketch
    half = width / 2
    upper, lower = Point(200, 150 + half), Point(200, 150 - half)
    paths = {
        "side upper": Path.line(Point(200, 300), upper),
        "bust dart upper": Path.line(upper, APEX),
        "bust dart lower": Path.line(lower, APEX),
        "side lower": Path.line(lower, Point(200, 0)),
    }
    opened.strokes = [replace(s, path=paths.get(s.name, s.path)) for s in opened.strokes]
    opened.darts = [Dart("", "bust dart", upper, APEX, lower, ("bust dart upper", "bust dart lower"))]
    return opened


def test_halves_are_named_as_the_edge_runs() -> None:
    assert halves_of("shoulder") == ("shoulder inner", "shoulder outer")
    assert halves_of("armhole") == ("armhole upper", "armhole lower")


def test_slit_parts_an_edge_and_takes_nothing_up() -> None:
    sketch = oblong()
    sketch.notch("top", 30.0)
    sketch.notch("top", 90.0, 2)

    change = slit(sketch, ("top", 50.0), APEX, "cut")

    assert area(change.sketch) == 200 * 300
    assert change.sketch.path("top upper").length == 50.0
    assert change.sketch.path("top lower").length == 150.0
    assert change.sketch.notches == [("top upper", 30.0, 1), ("top lower", 40.0, 2)]
    assert change.edges == {"top": run("front", "top upper", "top lower")}
    assert sketch.path("top").length == 200.0


def test_slit_keeps_the_ring_where_the_edge_is_met_backward() -> None:
    """The ring goes up the side from the waist; the side itself is drawn downward."""
    change = slit(oblong(), ("side", 100.0), APEX, "cut")

    assert names(change.sketch)[:6] == ["waist", "side lower", "cut lower", "cut upper", "side upper", "top"]
    assert area(change.sketch) == 200 * 300


@pytest.mark.parametrize("at", [0.0, 200.0, 250.0])
def test_slit_refuses_a_place_that_is_not_inside_the_edge(at: float) -> None:
    with pytest.raises(ValueError, match="cannot be split"):
        slit(oblong(), ("top", at), APEX, "cut")


def test_pivot_opens_what_it_closes() -> None:
    """A dart of 40 at 100 from its point, moved to the top 150 above the point, opens 60 there."""
    opened = slit(darted(), ("top", 100.0), APEX, "top dart").sketch

    change = pivot(opened, "bust dart", "top dart")

    dart = dart_named(change.sketch, "top dart")
    turn = 2 * atan2(20, 100)
    assert isclose(distance(dart.start, dart.end), 300 * 20 / hypot(20, 100), rel_tol=1e-9)
    assert distance(dart.apex, APEX) < 1e-9
    assert isclose(distance(dart.start, APEX), distance(dart.end, APEX), rel_tol=1e-12)
    assert dart.start == Point(100, 300)
    assert isclose(atan2(dart.end.y - 150, dart.end.x - 100), pi / 2 - turn, rel_tol=1e-9)
    assert [d.name for d in change.sketch.darts] == ["top dart"]
    assert change.joint == ("side lower", "side upper")


def test_pivot_opens_as_much_on_an_edge_that_is_drawn_inward() -> None:
    """A neckline runs to the centre: the part that moves comes first."""
    sketch = darted()
    top = sketch.stroke("top")
    sketch.put("top", replace(top, path=top.path.reversed()))
    opened = slit(sketch, ("top", 100.0), APEX, "top dart").sketch

    dart = dart_named(pivot(opened, "bust dart", "top dart").sketch, "top dart")

    assert dart.end == Point(100, 300)
    assert distance(dart.start, dart.end) == pytest.approx(300 * 20 / hypot(20, 100))
    assert distance(dart.apex, APEX) < 1e-9


def test_pivot_keeps_the_cloth() -> None:
    """Only the wedge moves: the cloth between outline and darts is as much as before."""
    before = darted()
    opened = slit(before, ("top", 100.0), APEX, "top dart").sketch

    after = pivot(opened, "bust dart", "top dart").sketch

    assert isclose(area(after), area(before), rel_tol=1e-9)
    for name in ("side upper", "side lower", "waist"):
        assert isclose(after.path(name).length, before.path(name).length, rel_tol=1e-12)
    assert distance(after.path("side upper").end, after.path("side lower").start) < 1e-9


def test_pivot_takes_marks_notches_and_inner_darts_along() -> None:
    sketch = darted()
    sketch.mark("kept", MarkKind.DRILL, Path.line(Point(20, 20), Point(20, 21)))
    sketch.mark("taken", MarkKind.DRILL, Path.line(Point(150, 250), Point(150, 251)))
    sketch.notch("side upper", 40.0)
    sketch.darts.append(Dart("", "inner", Point(140, 230), Point(150, 260), Point(160, 230)))
    opened = slit(sketch, ("top", 100.0), APEX, "top dart").sketch

    moved = pivot(opened, "bust dart", "top dart").sketch

    marks = {mark.name: mark.path.start for mark in moved.marks}
    inner = dart_named(moved, "inner")
    assert marks["kept"] == Point(20, 20)
    assert distance(marks["taken"], APEX) == pytest.approx(distance(Point(150, 250), APEX))
    assert marks["taken"].x > 150
    assert distance(inner.apex, APEX) == pytest.approx(distance(Point(150, 260), APEX))
    assert inner.apex.x > 150
    assert ("side upper", 40.0, 1) in moved.notches


def test_pivot_into_an_open_dart_turns_both_into_one() -> None:
    """The outline runs on across the merged dart as it did across the two."""
    sketch = slit(darted(), ("waist", 100.0), Point(100, 120), "waist dart").sketch

    merged = pivot(sketch, "bust dart", "waist dart", APEX).sketch

    dart = dart_named(merged, "waist dart")
    assert distance(dart.start, dart.apex) == pytest.approx(distance(dart.end, dart.apex))
    assert distance(dart.apex, APEX) < 1e-6  # the slit was closed, so all of the turn is about one point
    assert len(merged.darts) == 1


def test_pivot_refuses_a_point_that_the_dart_does_not_close_about() -> None:
    opened = slit(darted(), ("top", 100.0), APEX, "top dart").sketch

    with pytest.raises(ValueError, match="does not close"):
        pivot(opened, "bust dart", "top dart", Point(100, 140))


def test_a_dart_moved_away_and_back_is_where_it_was() -> None:
    away = pivot(slit(darted(), ("top", 100.0), APEX, "top dart").sketch, "bust dart", "top dart").sketch
    again = slit(away, ("side lower", 1e-3), APEX, "bust dart").sketch

    back = pivot(again, "top dart", "bust dart").sketch

    dart = dart_named(back, "bust dart")
    assert distance(dart.start, dart.end) == pytest.approx(40.0, abs=0.01)
    assert distance(back.path("top upper").end, back.path("top lower").start) < 1e-9


def test_move_darts_carries_seams_lines_corners_and_widths() -> None:
    front, back = darted(), oblong("back")
    making = in_making(front, back)
    making.lines["front side"] = run("front", "side upper", "side lower")
    making.sew(Phase.SHOULDERS, "top", making.lines["front top"], run("back", "top"))
    making.smooth("top at the side", Corner("front", "top", "side upper"), Corner("back", "top", "side"))
    making.girth(
        "bust",
        0,
        0,
        Width("front", Point(0, 150), APEX),
        Width("front", APEX, Point(200, 130)),
        Width("front", Point(0, 250), Point(200, 250)),
    )

    move_darts(making, "front", ["bust dart"], to=("top", 100.0), name="top dart", about=APEX)
    draft = making.draft("test")

    assert making.lines["front top"] == run("front", "top upper", "top lower")
    assert [ref.edge for ref in draft.seams[-1].a] == ["top upper", "top lower"]
    corner = draft.continuations[0].corners[0]
    assert {corner.before, corner.after} == {"top lower", "side upper"}
    assert "front where the bust dart was" in [line.name for line in draft.continuations]
    lengths = [distance(chord.start, chord.end) for chord in draft.levels[0].chords]
    assert lengths == pytest.approx([100.0, hypot(100, 20), 100.0, 100.0])


def test_merge_darts_leaves_a_smooth_side() -> None:
    making = in_making(slit(darted(), ("waist", 100.0), APEX, "waist dart").sketch)

    merge_darts(making, "front", ["bust dart"], "waist dart", APEX)

    side = making.sketches["front"]
    assert distance(side.path("side upper").end, side.path("side lower").start) < 1e-9


@given(st.floats(2, 120), st.floats(10, 190))
def test_a_moved_dart_has_equal_legs_and_a_closed_ring(width: float, at: float) -> None:
    opened = slit(darted(width), ("top", at), APEX, "top dart").sketch

    moved = pivot(opened, "bust dart", "top dart").sketch

    dart = dart_named(moved, "top dart")
    assert isclose(distance(dart.start, dart.apex), distance(dart.end, dart.apex), rel_tol=1e-9)
    assert isclose(area(moved), 200 * 300 - 50 * width, rel_tol=1e-6)
