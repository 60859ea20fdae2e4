"""The no-fit polygon by convolution against the union of the sums of triangles, which shapely makes."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPoint, Point, Polygon
from shapely.geometry.base import BaseGeometry

from drafting.layplan.minkowski import MITRE, no_fit
from drafting.layplan.outline import Outline
from tests.drafting.layplan.shapes import BOX, ELL, GORE, outlines

#: Two teeth with a gap of 40 between them, and what just goes into it, or does not.
COMB: Outline = ((0, 0), (140, 0), (140, 100), (90, 100), (90, 30), (50, 30), (50, 100), (0, 100))
PEG: Outline = ((0, 0), (30, 0), (30, 50), (0, 50))
PLUG: Outline = ((0, 0), (41, 0), (41, 50), (0, 50))


def by_triangles(still: Outline, moving: Outline) -> BaseGeometry:
    """The union of what comes of each pair of triangles."""
    ones, others = (
        [
            np.asarray(triangle.exterior.coords)[:3]
            for triangle in shapely.get_parts(shapely.constrained_delaunay_triangles(Polygon(outline)))
        ]
        for outline in (still, moving)
    )
    return shapely.union_all(
        [MultiPoint((a[:, None] - b[None]).reshape(-1, 2)).convex_hull for a in ones for b in others]
    )


def agree(still: Outline, moving: Outline) -> None:
    found = no_fit(np.array(still, float), np.array(moving, float), 0.0)
    known = by_triangles(still, moving)
    assert found.is_valid
    assert found.symmetric_difference(known).area < 1e-6 * known.area
    # A crack would have no area, but a border.
    assert found.length == pytest.approx(known.length, rel=1e-6)


@st.composite
def on_squares(draw: st.DrawFn) -> Outline:
    """Steps up and down along a row of squares: many sides are parallel, or in one line."""
    heights = draw(st.lists(st.integers(1, 4), min_size=2, max_size=7))
    top = [corner for n, high in enumerate(heights) for corner in ((n, high), (n + 1, high))]
    ring = [(0, 0), (len(heights), 0), *reversed(top)]
    return tuple((30.0 * x, 30.0 * y) for n, (x, y) in enumerate(ring) if ring[n - 1] != (x, y))


@settings(max_examples=150, deadline=None)
@given(outlines(), outlines())
def test_of_any_two_outlines(one: Outline, other: Outline) -> None:
    agree(one, other)


@settings(max_examples=150, deadline=None)
@given(on_squares(), on_squares())
def test_where_sides_are_parallel(one: Outline, other: Outline) -> None:
    agree(one, other)


@settings(max_examples=50, deadline=None)
@given(outlines())
def test_of_an_outline_and_the_same_as_it_is_turned_and_mirrored(outline: Outline) -> None:
    for x, y in ((1, 1), (-1, -1), (1, -1)):
        agree(outline, tuple((x * a, y * b) for a, b in outline))


@pytest.mark.parametrize("outline", [ELL, GORE, BOX, COMB], ids=["ell", "gore", "box", "comb"])
def test_the_sense_of_the_corners_is_no_matter(outline: Outline) -> None:
    forth, back = (
        no_fit(np.array(ring, float), np.array(ELL, float), 0.0) for ring in (outline, outline[::-1])
    )
    assert forth.symmetric_difference(back).area < 1e-6


def test_what_goes_into_a_gap_may_be_there() -> None:
    inside = Point(55, 60)

    assert not no_fit(np.array(COMB, float), np.array(PEG, float), 0.0).covers(inside)
    assert no_fit(np.array(COMB, float), np.array(PLUG, float), 0.0).covers(inside)
    assert no_fit(np.array(COMB, float), np.array(PEG, float), 6.0).covers(inside)


@settings(max_examples=60, deadline=None)
@given(outlines(), outlines())
def test_grown_by_the_gap_it_holds_all_that_is_nearer_and_no_corner_stands_out_further(
    one: Outline, other: Outline
) -> None:
    bare, grown = (no_fit(np.array(one), np.array(other), gap) for gap in (0.0, 10.0))

    corners = shapely.points(shapely.get_coordinates(grown))
    assert shapely.distance(bare, corners).max() <= MITRE * 10 + 1e-6
    # The round of the same width, drawn within, is what the gap asks.
    assert grown.buffer(1e-6).covers(bare.buffer(10.0))
