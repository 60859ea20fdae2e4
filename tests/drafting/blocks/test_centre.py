"""The edges of a half at the centre, from its top down to its foot."""

from __future__ import annotations

from itertools import pairwise

import pytest

from drafting.blocks.centre import Centre, centre_strokes
from drafting.geometry import Point
from drafting.house import house_rules
from drafting.pattern import EdgeKind

HOUSE = house_rules()
TOP, FOOT = Point(0.0, 300.0), Point(0.0, -400.0)


@pytest.mark.parametrize(
    ("centre", "found"),
    [
        (Centre(), [("centre back", EdgeKind.FOLD)]),
        (Centre("seam"), [("centre back", EdgeKind.SEAM)]),
        (
            Centre("zip", depth=180.0),
            [("centre back", EdgeKind.OPENING), ("centre back seam", EdgeKind.SEAM)],
        ),
        (Centre("zip", depth=400.0), [("centre back", EdgeKind.OPENING)]),
        (
            Centre("buttons", extension=25.0),
            [
                ("neck extension", EdgeKind.SEAM),
                ("back edge", EdgeKind.SEAM),
                ("waist extension", EdgeKind.SEAM),
            ],
        ),
    ],
)
def test_centre_strokes_lead_from_the_top_to_the_foot(
    centre: Centre, found: list[tuple[str, EdgeKind]]
) -> None:
    strokes = centre_strokes(centre, "back", TOP, FOOT, HOUSE)

    assert [(stroke.name, stroke.kind) for stroke in strokes] == found
    assert (strokes[0].path.start, strokes[-1].path.end) == (TOP, FOOT)
    assert all(a.path.end == b.path.start for a, b in pairwise(strokes))


def test_centre_strokes_end_the_zip_at_its_depth() -> None:
    opening, below = centre_strokes(Centre("zip", depth=180.0), "back", TOP, FOOT, HOUSE)

    assert opening.path.length == 480.0
    assert below.path.length == 220.0
