from __future__ import annotations

from math import isclose, radians

import pytest

from drafting.blocks.skirts.edge import HipEdge
from drafting.errors import CannotDraft
from drafting.geometry import Point, distance, dot

HIP = Point(250.0, -200.0)


def test_hip_edge_hangs_straight_without_flare() -> None:
    edge = HipEdge(HIP, 400.0)

    assert edge.foot == Point(250, -600)
    assert edge.path(Point(250.0, 0.0)).length == 600
    assert edge.hem(0.0).length == 250


def test_hip_edge_flares_to_a_hem_that_is_square_to_it() -> None:
    edge = HipEdge(HIP, 400.0, radians(10.0))
    side, hem = edge.path(Point(230.0, 0.0)), edge.hem(0.0)

    assert distance(hem.end, edge.foot) < 1e-9
    assert hem.start_tangent == Point(1, 0)
    assert abs(dot(hem.end_tangent, side.end_tangent)) < 1e-9
    assert isclose(hem.length, 250 + 400 * radians(10.0), rel_tol=1e-5)
    assert isclose(distance(HIP, edge.foot), 400)  # as long below the hip as without flare


def test_hip_edge_refuses_a_waist_that_no_seam_shapes() -> None:
    with pytest.raises(CannotDraft, match="gathered or a circle skirt") as refusal:
        HipEdge(HIP, 400.0).lean(80.0)

    assert refusal.value.field == "waist_girth"
