"""Layouts drawn tight, against lengths reckoned by hand and overlaps that shapely finds."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon

from drafting.layplan import tighten
from drafting.layplan.bound import Shapes, bounds_of, depths, lie_of
from drafting.layplan.outline import Outline, at_origin, moved, turned
from drafting.layplan.search import quick_fill
from drafting.layplan.strip import ABSOLUTE, Layout, Part, Pose, Position, StripProblem, Tie
from drafting.layplan.tighten import Tight, tightened
from tests.drafting.layplan.shapes import BOX, outlines

WEDGE: Outline = ((0.0, 0.0), (100.0, 0.0), (0.0, 50.0))
DIAMOND: Outline = ((60.0, 0.0), (120.0, 60.0), (60.0, 120.0), (0.0, 60.0))


def part(outline: Outline) -> Part:
    return Part((Pose(0.0, outline),))


def drawn(problem: StripProblem, at: list[tuple[float, float]], longest: float = 10_000.0) -> Tight | None:
    shapes = Shapes.of(problem)
    layout = Layout(tuple(Position(0, x, y) for x, y in at))
    lie, bounds = lie_of(layout, problem, shapes), bounds_of(problem, shapes, layout)
    return tightened(lie, bounds, depths(problem, shapes), longest)


@pytest.mark.parametrize("gap", [0.0, 2.0])
def test_two_wedges_slide_into_a_box(gap: float) -> None:
    """Their slants face each other: a gap across them is the root of 5 times as much along the strip."""
    problem = StripProblem(50.0, gap, (part(WEDGE), part(at_origin(turned(WEDGE, 180)))))

    tight = drawn(problem, [(0.0, 0.0), (9.0, 0.0)])

    assert tight is not None
    assert tight.length == pytest.approx(100 + sqrt(5) * gap, abs=1e-4)


def test_parts_give_way_aslant() -> None:
    """Neither moves along the strip unless it also moves across: sliding along either alone ends at 195."""
    problem = StripProblem(180.0, 0.0, (part(DIAMOND), part(DIAMOND)))

    tight = drawn(problem, [(0.0, 0.0), (75.0, 48.0)])

    assert tight is not None
    assert tight.length == pytest.approx(180, abs=1e-4)
    assert abs(tight.y[1] - tight.y[0]) == pytest.approx(60, abs=1e-4)


def test_what_overlaps_a_little_is_parted_where_there_is_room() -> None:
    problem = StripProblem(100.0, 0.0, (part(BOX), part(BOX)))
    at = [(0.0, 0.0), (197.0, 0.0)]

    tight = drawn(problem, at)

    assert tight is not None
    assert tight.length == pytest.approx(400, abs=1e-4)
    assert drawn(problem, at, longest=399.9) is None


def test_what_overlaps_too_deep_is_left() -> None:
    problem = StripProblem(100.0, 0.0, (part(BOX), part(BOX)))

    assert drawn(problem, [(0.0, 0.0), (120.0, 0.0)]) is None


def test_a_part_on_a_lattice_keeps_its_place_along_it() -> None:
    tied = replace(part(BOX), tie_x=Tie(ABSOLUTE, 205.0))
    problem = StripProblem(100.0, 0.0, (part(BOX), tied, part(BOX)), step_x=300.0)

    tight = drawn(problem, [(3.0, 0.0), (205.0, 0.0), (409.0, 0.0)])

    assert tight is not None
    assert tight.x[1] == 205
    assert tight.length == pytest.approx(605, abs=1e-4)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(outlines(), min_size=2, max_size=5),
    st.sampled_from([0.0, 5.0]),
    st.floats(0, 8),
    st.integers(0, 2**32 - 1),
)
def test_nothing_overlaps_once_it_is_drawn_tight(
    shapes: list[Outline], gap: float, shaken: float, seed: int
) -> None:
    problem = StripProblem(700.0, gap, tuple(part(shape) for shape in shapes))
    start = quick_fill(problem)
    shaking = np.random.default_rng(seed).uniform(-shaken, shaken, size=(len(shapes), 2))
    tops = [700.0 - Polygon(shape).bounds[3] for shape in shapes]
    at = np.maximum([(row.x, row.y) for row in start.positions] + shaking, 0)
    at[:, 1] = np.minimum(at[:, 1], tops)

    tight = drawn(problem, at.tolist())

    if tight is None:
        # A sound layout is always drawn tight.
        assert shaken > 0
        return
    laid = [Polygon(moved(shape, x, y)) for shape, x, y in zip(shapes, tight.x, tight.y, strict=True)]
    low, high = shapely.total_bounds(laid)[[1, 3]]
    assert low >= -1e-6
    assert high <= 700 + 1e-6
    for n, one in enumerate(laid):
        for other in laid[n + 1 :]:
            assert one.intersection(other).area < 1e-6
            assert one.distance(other) >= gap - 1e-6
    if shaken == 0:
        assert tight.length <= start.length(problem) + 1e-5


@settings(max_examples=40, deadline=None)
@given(outlines(), st.floats(10, 200), st.integers(0, 2**32 - 1))
def test_no_side_of_the_border_enters_a_stretch(border: Outline, reach: float, seed: int) -> None:
    solid = Polygon(border)
    # Against the clock, what is outside is on the right.
    ring = np.array(shapely.orient_polygons(solid).exterior.coords)
    sides = np.column_stack([ring[:-1], ring[1:]])
    chance = np.random.default_rng(seed)
    stretch = np.empty((tighten.SIDES, 3))
    for u, v in chance.uniform(-100, 700, size=(20, 2)):
        count = tighten._stretch(sides, u, v, reach, stretch)
        if count == 0:
            assert solid.contains(shapely.Point(u, v))
            continue
        points = np.array([u, v]) + chance.uniform(-reach, reach, size=(200, 2))
        within = (points @ stretch[:count, :2].T >= stretch[:count, 2]).all(axis=1)
        assert not shapely.contains_xy(solid.buffer(-1e-6), points[within]).any()
        if not solid.contains(shapely.Point(u, v)):
            assert (stretch[:count, :2] @ (u, v) >= stretch[:count, 2] - 1e-9).all()


def test_the_sides_kept_are_those_of_the_no_fit_polygon() -> None:
    """Two boxes overlap where the one is moved by less than a box either way."""
    problem = StripProblem(500.0, 0.0, (part(BOX), part(BOX)))
    tables = depths(problem, Shapes.of(problem))
    first, last = tables.borders[0, 0]
    turn, shift = tables.pairs[0, 0, :2], tables.pairs[0, 0, 2:4]

    corners = (tables.sides[first:last, :2] - shift) / turn

    assert Polygon(corners).symmetric_difference(shapely.box(-200, -100, 200, 100)).area < 1e-6
