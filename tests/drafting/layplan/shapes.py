"""Outlines whose overlaps are reckoned: three drawn by hand, and any that are drawn by chance."""

from __future__ import annotations

from math import cos, pi, sin

from hypothesis import strategies as st

from drafting.layplan.outline import Outline, at_origin

ELL: Outline = ((0, 0), (300, 0), (300, 100), (100, 100), (100, 400), (0, 400))
GORE: Outline = ((0, 0), (400, 0), (300, 150), (40, 150))
BOX: Outline = ((0, 0), (200, 0), (200, 100), (0, 100))


@st.composite
def outlines(draw: st.DrawFn) -> Outline:
    """Stars of 4 to 9 corners, mostly not convex, 50 to 300 mm from the middle."""
    rays = draw(st.lists(st.floats(50, 300), min_size=4, max_size=9))
    step = 2 * pi / len(rays)
    return at_origin(tuple((ray * cos(n * step), ray * sin(n * step)) for n, ray in enumerate(rays)))
