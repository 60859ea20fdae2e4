"""The tables of overlap against shapely's distances, and against depths reckoned by hand."""

from __future__ import annotations

from itertools import product
from math import cos, pi, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numba import njit
from shapely.affinity import translate
from shapely.geometry import Polygon

from drafting.layplan.minkowski import MITRE
from drafting.layplan.nofit import (
    CELLS,
    MARGIN,
    Depths,
    depth_at,
    depths_of,
    likeness,
    tables_needed,
)
from drafting.layplan.outline import Outline, at_origin, flipped, turned
from tests.drafting.layplan.shapes import BOX, ELL, GORE, outlines


@njit
def looked_up(tables: Depths, a: int, b: int, dx: float, dy: float) -> float:
    return float(depth_at(tables, a, b, dx, dy).depth)


@njit
def slopes(tables: Depths, a: int, b: int, dx: float, dy: float) -> tuple[float, float]:
    found = depth_at(tables, a, b, dx, dy)
    return found.along, found.across


def tables_of(*outlines: Outline, gap: float = 0.0) -> Depths:
    return depths_of([likeness(outline, 40) for outline in outlines], np.full((len(outlines),) * 2, gap))


@pytest.mark.parametrize(
    ("dx", "dy", "depth"),
    [(190, 0, 10), (0, 97, 3), (-150, 20, 50), (150, 60, 40), (0, 20, 80), (201, 0, 0), (0, -101, 0)],
)
def test_two_boxes_overlap_as_deep_as_the_shorter_way_out(dx: float, dy: float, depth: float) -> None:
    tables = tables_of(BOX, BOX)

    assert looked_up(tables, 0, 1, dx, dy) == pytest.approx(depth, abs=0.05 * tables.cell)


def test_the_gap_is_kept_beside_an_edge() -> None:
    tables = tables_of(BOX, BOX, gap=4)

    assert looked_up(tables, 0, 1, 203, 0) == pytest.approx(1, abs=2 * MARGIN * tables.cell)
    assert looked_up(tables, 0, 1, 204.5, 0) == 0


@settings(max_examples=30, deadline=None)
@given(outlines(), outlines(), st.sampled_from([0.0, 2.0, 10.0]), st.integers(0, 2**32 - 1))
def test_depths_tell_what_comes_nearer_than_the_gap(
    one: Outline, other: Outline, gap: float, seed: int
) -> None:
    tables = tables_of(one, other, gap=gap)
    still, moving = Polygon(one), Polygon(other)
    # A corner that is cut square stands out by up to half a gap more than the round one that is asked.
    spare = 2 * MARGIN * tables.cell + gap / 2
    for dx, dy in np.random.default_rng(seed).uniform(-650, 650, size=(60, 2)):
        distance = still.distance(translate(moving, dx, dy))
        depth = looked_up(tables, 0, 1, dx, dy)
        if distance < gap - 1e-6 or still.intersection(translate(moving, dx, dy)).area > 1e-3:
            assert depth > 0
        if distance > gap + spare:
            assert depth == 0


@settings(max_examples=150, deadline=None)
@given(outlines(), outlines(), st.sampled_from([0.0, 2.0, 10.0]), st.integers(0, 2**32 - 1))
def test_on_the_level_of_the_lowest_corner_what_is_clear_is_told_clear(
    one: Outline, other: Outline, gap: float, seed: int
) -> None:
    """The second row of nodes lies there but for rounding, which once made that corner count twice."""
    tables = tables_of(one, other, gap=gap)
    still, moving = Polygon(one), Polygon(other)
    turn, shift = tables.pairs[0, 1, 1], tables.pairs[0, 1, 3]
    for dx, row in np.random.default_rng(seed).uniform((-650, 0), (650, 2), size=(40, 2)):
        dy = (row - shift) / turn
        if still.distance(translate(moving, dx, dy)) > MITRE * gap + 2 * MARGIN * tables.cell:
            assert looked_up(tables, 0, 1, dx, dy) == 0


@settings(max_examples=20, deadline=None)
@given(outlines(), outlines(), st.integers(0, 2**32 - 1))
def test_moved_by_its_depth_in_some_direction_an_outline_is_clear(
    one: Outline, other: Outline, seed: int
) -> None:
    tables = tables_of(one, other)
    rays = [(cos(n * pi / 90), sin(n * pi / 90)) for n in range(180)]
    for dx, dy in np.random.default_rng(seed).uniform(-200, 200, size=(10, 2)):
        depth = looked_up(tables, 0, 1, dx, dy)
        if depth > 0:
            # As far as the coarse grid may err, and a ray up to a degree aside.
            far = depth + 0.6 * tables.cell
            clear = [looked_up(tables, 0, 1, dx + far * ux, dy + far * uy) == 0 for ux, uy in rays]
            near = max(depth - 0.6 * tables.cell, 0)
            held = [looked_up(tables, 0, 1, dx + near * ux, dy + near * uy) > 0 for ux, uy in rays]
            assert any(clear)
            assert near == 0 or all(held)


@settings(max_examples=20, deadline=None)
@given(outlines(), outlines(), st.integers(0, 2**32 - 1))
def test_the_slopes_are_those_of_the_depth(one: Outline, other: Outline, seed: int) -> None:
    tables = tables_of(one, at_origin(flipped(other)))
    step = tables.cell * 1e-4
    for dx, dy in np.random.default_rng(seed).uniform(-300, 300, size=(40, 2)):
        here = looked_up(tables, 0, 1, dx, dy)
        there = looked_up(tables, 0, 1, dx + step, dy), looked_up(tables, 0, 1, dx, dy + step)
        back = looked_up(tables, 0, 1, dx - step, dy), looked_up(tables, 0, 1, dx, dy - step)
        if min(here, *there, *back) > 0:
            # On the border of two cells the slope is that of either.
            for slope, on, off in zip(slopes(tables, 0, 1, dx, dy), there, back, strict=True):
                low, high = sorted(((on - here) / step, (here - off) / step))
                assert low - 0.01 <= slope <= high + 0.01


@pytest.mark.parametrize("outline", [ELL, GORE, BOX], ids=["ell", "gore", "box"])
def test_a_piece_turned_or_mirrored_shares_its_base(outline: Outline) -> None:
    ways = [outline, turned(outline, 180), flipped(outline), turned(flipped(outline), 180)]
    likenesses = [likeness(at_origin(way), 40) for way in ways]

    assert len({shape.base for shape in likenesses}) == 1
    for way, shape in zip(ways, likenesses, strict=True):
        assert Polygon(shape.outline).symmetric_difference(Polygon(at_origin(way))).area < 1e-3
        assert Polygon(shape.outline).exterior.is_ccw


def test_tables_are_made_once_for_each_way_two_bases_lie_to_each_other() -> None:
    ways = [at_origin(way) for way in (ELL, turned(ELL, 180), flipped(ELL), turned(flipped(ELL), 180))]

    assert tables_needed([likeness(way, 40) for way in ways]) == 4
    # The ell to itself, as it is and turned; either to the box; the box to itself.
    assert tables_needed([likeness(way, 40) for way in (*ways[:2], BOX)]) == 5


def test_what_shares_a_base_overlaps_as_it_lies() -> None:
    ways = [at_origin(way) for way in (ELL, turned(ELL, 180), flipped(ELL), turned(flipped(ELL), 180))]
    tables = tables_of(*ways)
    for (a, one), (b, other) in product(enumerate(ways), repeat=2):
        for dx, dy in product((-210.0, -95.0, 5.0, 110.0, 240.0), repeat=2):
            overlap = Polygon(one).intersection(translate(Polygon(other), dx, dy)).area
            assert (looked_up(tables, a, b, dx, dy) > 0) == (overlap > 0)


def test_the_cells_are_as_wide_as_said() -> None:
    assert tables_of(BOX).cell == pytest.approx((200 * 100) ** 0.5 / CELLS)
