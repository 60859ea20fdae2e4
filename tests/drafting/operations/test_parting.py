from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from drafting.geometry import Path, Point, distance
from drafting.making import Corner, Phase, Width, run
from drafting.operations.change import Change
from drafting.operations.darts import slit
from drafting.operations.parting import parted, relabelled, seam_corners
from drafting.pattern import Cut, Dart, MarkKind
from tests.drafting.operations.shapes import area, in_making, oblong

MIDDLE = Point(80, 150)


def parted_oblong(top: float = 80.0, foot: float = 80.0) -> Change:
    """Parted from the top to the waist."""
    cut = slit(slit(oblong(), ("top", top), MIDDLE, "a").sketch, ("waist", foot), MIDDLE, "b").sketch
    return parted(
        cut, ("a", "b"), ("centre front", "side front"), holds="top upper", edge="line", allowance=12
    )


def test_parted_shares_all_of_the_cloth() -> None:
    centre, side = parted_oblong().sketches

    assert (centre.name, side.name) == ("centre front", "side front")
    assert area(centre) == pytest.approx(80 * 300)
    assert area(side) == pytest.approx(120 * 300)
    assert centre.path("line").length == side.path("line").length == 300.0
    assert centre.path("line").start == Point(80, 300)


def test_parted_cuts_the_part_off_the_centre_twice() -> None:
    centre, side = parted_oblong().sketches

    assert centre.cuts == (Cut("shell", 1, on_fold=True),)
    assert side.cuts == (Cut("shell", 2, mirrored=True),)


def test_parted_gives_each_part_a_grain_line_inside() -> None:
    centre, side = parted_oblong().sketches

    assert centre.grain == (Point(40, 60), Point(40, 240))
    assert 80 < side.grain[0].x < 200
    assert side.grain[0].x == side.grain[1].x
    assert side.grain[1].y - side.grain[0].y == pytest.approx(210.0)


def test_parted_shares_marks_notches_and_darts() -> None:
    sketch = oblong()
    sketch.mark("button", MarkKind.BUTTON, Path.line(Point(10, 50), Point(10, 51)))
    sketch.mark("waist line", MarkKind.GUIDE, Path.line(Point(0, 100), Point(200, 100)))
    sketch.darts.append(Dart("", "inner", Point(150, 100), Point(155, 140), Point(160, 100)))
    sketch.notch("side", 70.0)
    cut = slit(slit(sketch, ("top", 80.0), MIDDLE, "a").sketch, ("waist", 80.0), MIDDLE, "b").sketch

    centre, side = parted(
        cut, ("a", "b"), ("centre front", "side front"), holds="top upper", edge="line", allowance=12
    ).sketches

    assert [(m.name, m.path.start.x, m.path.end.x) for m in centre.marks] == [
        ("button", 10, 10),
        ("waist line", 0, 80),
    ]
    assert [(m.name, m.path.start.x, m.path.end.x) for m in side.marks] == [("waist line", 80, 200)]
    assert centre.darts == []
    assert [dart.name for dart in side.darts] == ["inner"]
    assert side.notches == [("side", 70.0, 1)]


def test_parted_lets_a_garment_follow() -> None:
    making = in_making(oblong(), oblong("back"))
    making.sew(Phase.WAIST, "waist", run("back", "waist"), making.lines["front waist"])
    making.smooth("waist at the side", Corner("front", "waist", "side"), Corner("back", "waist", "side"))
    making.girth(
        "waist",
        0,
        0,
        Width("front", Point(0, 0), Point(200, 0), 2),
        Width("back", Point(0, 0), Point(200, 0)),
    )

    slit(making.sketches["front"], ("top", 80.0), MIDDLE, "a").apply(making)
    slit(making.sketches["front"], ("waist", 80.0), MIDDLE, "b").apply(making)
    parted(
        making.sketches["front"],
        ("a", "b"),
        ("centre front", "side front"),
        holds="top upper",
        edge="line",
        allowance=12.0,
    ).apply(making)
    making.sew(Phase.PANELS, "line", run("side front", "line"), run("centre front", "line"))
    draft = making.draft("test")

    assert list(making.sketches) == ["centre front", "side front", "back"]
    assert making.shells == {"front": "centre front", "side front": "side front"}
    waist = next(seam for seam in draft.seams if seam.name == "waist")
    assert [(ref.piece, ref.edge) for ref in waist.b] == [
        ("centre front", "waist inner"),
        ("side front", "waist outer"),
    ]
    corner = draft.continuations[0].corners[0]
    assert (corner.piece, {corner.before, corner.after}) == ("side front", {"waist outer", "side"})
    chords = [(c.piece, distance(c.start, c.end), c.times) for c in draft.levels[0].chords]
    assert chords == [("centre front", 80.0, 2), ("side front", 120.0, 2), ("back", 200.0, 2)]
    assert draft.side_length(waist.b) == draft.side_length(waist.a) == 200.0


def test_a_corner_that_is_no_more_is_refused() -> None:
    making = in_making(oblong())
    making.smooth("nowhere", Corner("front", "top", "waist"))

    with pytest.raises(ValueError, match="no corner of top and waist"):
        slit(making.sketches["front"], ("top", 80.0), MIDDLE, "a").apply(making)


def test_relabelled_edges_keep_their_notches() -> None:
    sketch = oblong()
    sketch.notch("side", 30.0)

    change = relabelled(sketch, {"side": "side seam"})

    assert change.sketch.notches == [("side seam", 30.0, 1)]
    assert change.edges == {"side": run("front", "side seam")}
    with pytest.raises(KeyError):
        relabelled(sketch, {"nothing": "something"})


def test_seam_corners_are_those_of_start_and_end() -> None:
    centre, side = parted_oblong().sketches

    assert seam_corners(centre, "line") == ("top upper", "waist inner")
    assert seam_corners(side, "line") == ("top lower", "waist outer")


@given(st.floats(5, 195), st.floats(5, 195))
def test_parts_add_up_to_the_whole(top: float, foot: float) -> None:
    centre, side = parted_oblong(top, foot).sketches

    assert area(centre) + area(side) == pytest.approx(200 * 300)
