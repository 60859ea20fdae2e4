from __future__ import annotations

from math import isclose, radians

import pytest

from drafting.blocks.skirts.gores import COUNTS, bend, centre_gore, edges, hip_widths, side_gore
from drafting.blocks.skirts.panel import SkirtSizes
from drafting.geometry import distance

FLARE = radians(8.0)


@pytest.mark.parametrize("count", COUNTS)
def test_hip_widths_make_up_the_quarter(count: int) -> None:
    assert isclose(sum(hip_widths(count, 264.0)), 264.0)


def test_gores_of_six_are_alike_where_they_meet() -> None:
    # A quarter of 260 at the hip and 200 at the waist: each of three edges takes in 20.
    first, second = hip_widths(6, 260.0)
    each = (260.0 - 200.0) / edges(6)
    bent = bend(min(first - each, (second - 2 * each) / 2))

    centre = centre_gore(SkirtSizes(first - each, first, 150.0, 600.0, 0.0, FLARE), bent)
    side = side_gore(SkirtSizes(second - 2 * each, second, 150.0, 600.0, 0.0, FLARE), bent, 200.0)

    assert isclose(centre.waist.length + side.waist.length, 200.0, abs_tol=1e-6)
    assert isclose(centre.side.length, side.inner.length)
    assert isclose(side.inner.length, side.outer.length)
    assert isclose(distance(*side.hip), second)
    assert distance(side.hem.start, side.inner.end) < 1e-9


def test_gore_without_flare_or_shaping_is_a_rectangle() -> None:
    gore = side_gore(SkirtSizes(100.0, 100.0, 150.0, 600.0), 40.0, 0.0)

    assert gore.hem.length == 100
    assert gore.outer.length == 600
