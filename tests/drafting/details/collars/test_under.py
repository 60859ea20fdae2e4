from __future__ import annotations

import pytest
import shapely

from drafting.details.collars.leaf import Ends, Leaf
from drafting.details.collars.standing import band, pointed
from drafting.details.collars.under import under_leaf
from drafting.geometry import Path, Point

LESS = 3.175
OPEN = Ends(back_fold=True, front_fold=False)
SQUARE = band(200.0, 60.0, 0.0)
POINTED = pointed(band(200.0, 60.0, -5.0), longer=8.0, outward=15.0)


def line(path: Path) -> shapely.LineString:
    return shapely.LineString(path.flatten(0.01))


def test_under_leaf_of_a_square_collar_is_smaller_above_and_in_front() -> None:
    under = under_leaf(SQUARE, LESS, OPEN)

    assert under.neck == SQUARE.neck
    assert (under.back.length, under.edge.length) == pytest.approx((60.0 - LESS, 200.0 - LESS))
    assert under.edge.end == pytest.approx(Point(200.0 - LESS, 60.0 - LESS))


def test_under_leaf_on_a_fold_in_front_keeps_to_it() -> None:
    under = under_leaf(SQUARE, LESS, Ends(back_fold=False, front_fold=True))

    assert under.edge.end == pytest.approx(Point(200.0, 60.0 - LESS))


def test_under_leaf_lies_inside_by_as_much_all_along_the_outer_edge() -> None:
    """Measured with shapely, away from the point."""
    under = under_leaf(POINTED, LESS, OPEN)
    kept = under.edge.split_at(0.85 * under.edge.length)[0]
    apart = [shapely.distance(line(POINTED.edge), shapely.Point(p)) for p in kept.flatten(0.05)]

    assert min(apart) == pytest.approx(LESS, abs=0.05)
    assert max(apart) == pytest.approx(LESS, abs=0.05)
    ring = shapely.Polygon([*POINTED.neck.flatten(), *POINTED.end.flatten(), *POINTED.edge.flatten()[::-1]])
    assert ring.buffer(0.01).covers(line(under.edge))


def test_under_leaf_takes_no_more_than_a_narrow_collar_has() -> None:
    narrow = band(150.0, 20.0, 2.0)

    assert under_leaf(narrow, 9.0, OPEN).back.length == pytest.approx(20.0 * 0.88)


def test_under_leaf_of_nothing_less_is_the_collar() -> None:
    leaf: Leaf = under_leaf(POINTED, 0.0, OPEN)

    assert leaf is POINTED
