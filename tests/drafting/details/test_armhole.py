"""Facings and bindings of armholes."""

from __future__ import annotations

import pytest

from drafting.details.armhole import Armhole, armhole_facing, binding_strip, facing_widths
from drafting.geometry import Path, Point
from drafting.house import house_rules

HOUSE = house_rules()
INCH = 25.4
# A quarter circle of 100 mm from the shoulder's end at (100, 100) to the underarm at (200, 0).
CURVE = Path.cubic(Point(100.0, 100.0), Point(100.0, 44.77), Point(144.77, 0.0), Point(200.0, 0.0))


def armhole(shoulder: float = 80.0, side: float = 150.0) -> Armhole:
    return Armhole(
        Path.line(Point(100.0 - shoulder, 100.0), Point(100.0, 100.0)),
        CURVE,
        Path.line(Point(200.0, 0.0), Point(200.0, -side)),
    )


@pytest.mark.parametrize(
    ("shoulders", "sides", "expected"),
    [
        ((200.0, 180.0), (150.0, 140.0), (50.0, 50.0)),
        ((80.0, 100.0), (150.0, 140.0), (33.6, 50.0)),
        ((200.0, 180.0), (150.0, 40.0), (50.0, 32.0)),
    ],
    ids=["wished", "short shoulder", "short side"],
)
def test_facing_widths_are_alike_on_front_and_back(
    shoulders: tuple[float, float], sides: tuple[float, float], expected: tuple[float, float]
) -> None:
    both = (armhole(*pair) for pair in zip(shoulders, sides, strict=True))

    assert facing_widths(50.0, *both) == pytest.approx(expected)


def test_armhole_facing_follows_the_armhole() -> None:
    facing = armhole_facing("front armhole facing", armhole(), (30.0, 40.0), HOUSE, is_front=True)

    piece = facing.piece()
    assert piece.edge("armhole").length == pytest.approx(CURVE.length)
    assert piece.edge("facing shoulder").length == pytest.approx(30.0)
    assert piece.edge("facing side").length == pytest.approx(40.0)
    # A quarter ring about the armhole's centre at (200, 100): its radius goes over from 130 to 140.
    radii = [((x - 200.0) ** 2 + (y - 100.0) ** 2) ** 0.5 for x, y in facing.path("facing inner").flatten()]
    assert min(radii) == pytest.approx(130.0, abs=1.0)
    assert max(radii) == pytest.approx(140.0, abs=1.0)


def test_binding_strip_is_four_times_as_wide_as_it_shows_and_cut_on_the_bias() -> None:
    strip = binding_strip("armhole binding", 400.0, 9.0)

    piece = strip.piece()
    assert [piece.edge(name).length for name in ("armhole", "end", "inner", "start")] == [400, 36, 400, 36]
    (low, high) = piece.grain
    assert high.x - low.x == pytest.approx(high.y - low.y)
    assert piece.remarks == ("cut on the bias",)
