from __future__ import annotations

import pytest

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Path, Point
from drafting.making import Making, Phase, run
from drafting.operations.fullness import left_open
from drafting.pattern import Dart, EdgeKind, Method, Seam
from tests.drafting.operations.shapes import TIP, TOP, in_making, names, oblong

LEFT, RIGHT, APEX = Point(90, 300), Point(110, 300), Point(100, 150)


def darted() -> Sketch:
    """The oblong with a dart 20 mm wide in the middle of its top."""
    sketch = oblong()
    sketch.put(
        "top",
        Stroke("top lower", Path.line(RIGHT, TIP), EdgeKind.SEAM, 6.0),
        Stroke("dart lower", Path.line(RIGHT, APEX), EdgeKind.DART),
        Stroke("dart upper", Path.line(LEFT, APEX), EdgeKind.DART),
        Stroke("top upper", Path.line(TOP, LEFT), EdgeKind.SEAM, 6.0),
    )
    sketch.darts = [Dart("", "dart", LEFT, APEX, RIGHT, ("dart upper", "dart lower"))]
    return sketch


def test_left_open_bridges_the_mouth_of_a_dart_and_says_what_is_to_be_gathered() -> None:
    change, fullness = left_open(darted(), "dart", "top")

    assert fullness == pytest.approx(20.0)
    assert names(change.sketch) == ["waist", "side", "top lower", "top upper", "centre front"]
    # Two fifths of each half are drawn anew: the curve ends 36 mm beyond the mouth.
    assert change.sketch.path("top upper").end == Point(146, 300)
    assert change.sketch.path("top lower").start == Point(146, 300)
    assert change.sketch.darts == []


def test_left_open_draws_nothing_anew_that_has_a_notch() -> None:
    sketch = darted()
    sketch.notch("top lower", 10.0)
    change, _ = left_open(sketch, "dart", "top")

    assert change.sketch.path("top lower").start == Point(119, 300)
    assert change.sketch.notches == [("top lower", 1.0, 1)]


def sewn(making: Making) -> dict[str, Seam]:
    return {seam.name: seam for seam in making.draft("tried").seams}


def test_lengthened_lets_the_seams_of_an_edge_reckon_with_it() -> None:
    making = in_making(oblong(), oblong("facing"), oblong("back"))
    making.lines.clear()
    top = run("front", "top")
    making.sew(Phase.NECK, "faced", run("facing", "top"), top, Method.FACED)
    making.sew(Phase.NECK, "eased", top, run("back", "top"), Method.EASED, ease=-5.0)
    making.sew(Phase.NECK, "to itself", top, top)

    making.lengthened("front", "top", 5.0)

    seams = sewn(making)
    assert (seams["faced"].ease, seams["faced"].method) == (-5.0, Method.FACED)
    assert (seams["eased"].ease, seams["eased"].method) == (0.0, Method.PLAIN)
    assert seams["to itself"].ease == 0.0
