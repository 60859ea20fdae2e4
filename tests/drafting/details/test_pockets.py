from __future__ import annotations

from math import isclose

import shapely

from drafting.details.pockets import bag_edge, patch
from drafting.geometry import Path, Point, distance


def test_bag_edge_closes_the_opening_towards_the_centre() -> None:
    opening = Path.line(Point(250.0, -60.0), Point(250.0, -210.0))

    edge = bag_edge(opening)

    assert edge.start == opening.end
    assert edge.end == opening.start
    ring = shapely.Polygon([*opening.flatten(), *edge.flatten()[1:-1]])
    assert ring.is_valid
    assert max(p.x for p in edge.flatten()) < 255  # a bag does not bulge out of its seam
    assert min(p.y for p in edge.flatten()) < -210 - 0.5 * 150  # it hangs below the opening


def test_bag_edge_follows_an_opening_that_runs_across() -> None:
    edge = bag_edge(Path.line(Point(100.0, 100.0), Point(250.0, 100.0)))

    assert max(p.x for p in edge.flatten()) > 250
    assert min(p.y for p in edge.flatten()) < 0


def test_patch_is_as_wide_above_as_below_and_comes_to_a_point() -> None:
    drawn = patch(Point(80.0, -70.0), 140.0)

    assert drawn.top.length == 140
    assert drawn.left.length == drawn.right.length
    assert isclose(drawn.left.length, 140.0)  # 1.15 of the width less the point, 0.15
    assert min(p.y for p in drawn.foot.flatten()) == -70 - 1.15 * 140
    assert distance(drawn.foot.start, drawn.left.end) == 0
    assert distance(drawn.foot.end, drawn.right.end) == 0
