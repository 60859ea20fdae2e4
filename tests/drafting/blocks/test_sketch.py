from __future__ import annotations

import pytest

from drafting.blocks.sketch import Sketch, Stroke
from drafting.geometry import Path, Point, polygon_area
from drafting.pattern import Cut, Notch

A, B, C, D = Point(0, 0), Point(100, 0), Point(100, 200), Point(0, 200)
CUTS = (Cut("shell", 2, mirrored=True),)


def square(*, is_front: bool) -> Sketch:
    """Strokes in the directions in which one thinks of them: the ring meets two of them backward."""
    strokes = [
        Stroke("waist", Path.line(A, B)),
        Stroke("side", Path.line(C, B)),
        Stroke("top", Path.line(C, D)),
        Stroke("centre", Path.line(A, D)),
    ]
    return Sketch("piece", strokes, CUTS, (A, D), is_front=is_front)


@pytest.mark.parametrize("is_front", [True, False])
def test_piece_runs_counter_clockwise_and_a_front_lies_left_of_the_centre(is_front: bool) -> None:
    piece = square(is_front=is_front).piece()

    assert polygon_area(piece.outline()) == 100 * 200
    assert {edge.path.start.x for edge in piece.edges} == ({0, -100} if is_front else {0, 100})


def test_piece_keeps_a_notch_at_its_place_on_an_edge_that_turns_round() -> None:
    sketch = square(is_front=False)
    sketch.notch("side", 30.0)

    assert sketch.piece().notches == (Notch("side", 170.0, 1),)
    assert sketch.ref("side").reverse
    assert not sketch.ref("waist").reverse


def test_piece_refuses_strokes_that_do_not_close() -> None:
    sketch = square(is_front=False)
    sketch.strokes[-1] = Stroke("centre", Path.line(Point(5, 0), D))

    with pytest.raises(ValueError, match="not closed"):
        sketch.piece()
