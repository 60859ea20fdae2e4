"""The drafting geometry against other libraries: shapely (GEOS) and fontTools, to 1e-6 of the size.

Lengths, areas, splits and crossings are taken of edges and pieces as the styles draw them, besides shapes
made up; offsets of shapes without hollows, where what GEOS leaves out of a buffer's input plays no part.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from math import cos, isclose, pi

import pytest
import shapely
from fontTools.misc.bezierTools import calcCubicArcLength, curveLineIntersections, splitCubicAtT
from fontTools.pens.areaPen import AreaPen
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from shapely import affinity

from drafting import make_draft
from drafting.body import Body
from drafting.finishing import cut_line
from drafting.finishing.corners import MITRE_LIMIT
from drafting.finishing.polyline import offset
from drafting.geometry import Cubic, Line, Path, Point, arc, cross, distance, intersect, polygon_area
from drafting.pattern import FINE, Cut, Edge, EdgeKind, Piece

REL = 1e-6
WOMAN = Body.of({"stature": 1629.0, "bust_girth": 907.0, "waist_girth": 725.0, "hip_girth": 967.0})
CHILD = Body.of({"stature": 1000.0, "bust_girth": 560.0, "waist_girth": 530.0, "hip_girth": 580.0})
STYLES = ("notched-collar-dress", "princess-dress", "shirt-blouse", "trousers", "circle-skirt")
COORDINATES = st.floats(-500, 500).map(lambda v: round(v, 3))
POINTS = st.builds(Point, COORDINATES, COORDINATES)
CUBICS = st.builds(Cubic, POINTS, POINTS, POINTS, POINTS)


@cache
def pieces() -> tuple[Piece, ...]:
    """Every piece of some styles for a woman and for a child."""
    return tuple(
        piece for style in STYLES for body in (WOMAN, CHILD) for piece in make_draft(style, body).pieces
    )


def curves() -> Iterator[Cubic]:
    for piece in pieces():
        for edge in piece.edges:
            yield from (segment for segment in edge.path.segments if isinstance(segment, Cubic))


def of_fonttools(curve: Cubic) -> float:
    return float(calcCubicArcLength(curve.p0, curve.p1, curve.p2, curve.p3, tolerance=1e-9))


def close(a: Point, b: tuple[float, float], size: float) -> bool:
    return distance(a, Point(*b)) <= REL * max(size, 1.0)


# Lengths and curves


def test_every_drawn_curve_is_as_long_as_fonttools_finds_it() -> None:
    drawn = list(curves())

    assert len(drawn) > 200
    for curve in drawn:
        assert isclose(curve.length, of_fonttools(curve), rel_tol=REL)


def test_every_polyline_is_as_long_as_shapely_finds_it() -> None:
    for piece in pieces():
        for edge in piece.edges:
            points = edge.path.flatten(FINE)
            theirs = shapely.LineString(points).length
            assert isclose(sum(distance(a, b) for a, b in pairwise(points)), theirs, rel_tol=REL)
            # The chords of a curve are a little shorter than it: 8/3 of the sagitta squared over each chord.
            assert theirs <= edge.path.length * (1 + REL)


def test_a_curve_parted_at_a_length_is_so_long_in_fonttools() -> None:
    for curve in list(curves())[::7]:
        wished = 0.37 * curve.length

        share = curve.parameter_at(wished)

        head, _ = splitCubicAtT(curve.p0, curve.p1, curve.p2, curve.p3, share)
        assert isclose(calcCubicArcLength(*head, tolerance=1e-9), wished, rel_tol=REL)


@given(CUBICS, st.floats(0.01, 0.99))
def test_split_has_the_control_points_of_fonttools(curve: Cubic, share: float) -> None:
    ours = curve.split_parameter(share)

    theirs = splitCubicAtT(curve.p0, curve.p1, curve.p2, curve.p3, share)

    for part, points in zip(ours, theirs, strict=True):
        for mine, other in zip((part.p0, part.p1, part.p2, part.p3), points, strict=True):
            assert close(mine, other, 1000.0)


@settings(deadline=None, suppress_health_check=list(HealthCheck))  # as slow as the machine is busy
@given(CUBICS, POINTS, POINTS)
def test_crossings_of_a_curve_and_a_line_are_those_of_fonttools(curve: Cubic, a: Point, b: Point) -> None:
    assume(distance(a, b) > 10)
    theirs = curveLineIntersections([curve.p0, curve.p1, curve.p2, curve.p3], [a, b])
    # Only plain crossings: at a graze or at an end each library may decide otherwise.
    assume(all(0.01 < met.t1 < 0.99 and 0.01 < met.t2 < 0.99 for met in theirs))
    assume(all(_steep(curve, met.t1, a, b) for met in theirs))

    ours = intersect(Path((curve,)), Line(a, b))

    for met in theirs:
        assert min(distance(Point(*met.pt), point) for point in ours) <= REL * 1000


def _steep(curve: Cubic, share: float, a: Point, b: Point) -> bool:
    """Whether a curve crosses a line at more than about 6 degrees, and not at a cusp."""
    along, line = curve.derivative(share), b - a
    size = distance(Point(0, 0), along) * distance(Point(0, 0), line)
    return size > 1000 and abs(along.x * line.y - along.y * line.x) > 0.1 * size


@settings(deadline=None, suppress_health_check=list(HealthCheck))  # as slow as the machine is busy
@given(st.lists(POINTS, min_size=2, max_size=6, unique=True), POINTS, POINTS)
def test_crossings_of_straight_lines_are_those_of_shapely(points: list[Point], a: Point, b: Point) -> None:
    assume(distance(a, b) > 10 and all(distance(p, q) > 10 for p, q in pairwise(points)))
    # Lines that are nearly parallel have no certain crossing.
    assume(
        all(abs(cross(q - p, b - a)) > 0.01 * distance(p, q) * distance(a, b) for p, q in pairwise(points))
    )
    theirs = shapely.get_parts(shapely.intersection(shapely.LineString(points), shapely.LineString([a, b])))

    met = [part for part in theirs if not part.is_empty]

    ours = intersect(Path.polyline(points), Line(a, b))

    # Crossings closer than 1e-4 are one to us: each of theirs is near one of ours, and the other way round.
    for point in ours:
        assert min(distance(Point(part.x, part.y), point) for part in met) <= REL * 1000
    for part in met:
        assert min(distance(Point(part.x, part.y), point) for point in ours) <= REL * 1000


# Moves


@given(CUBICS, POINTS, st.floats(-pi, pi))
def test_rotated_is_rotated_by_shapely(curve: Cubic, about: Point, angle: float) -> None:
    ours = Path((curve,)).rotated(angle, about).segments[0]

    theirs = affinity.rotate(
        shapely.MultiPoint([curve.p0, curve.p1, curve.p2, curve.p3]), angle, about, use_radians=True
    )
    assert isinstance(ours, Cubic)
    for mine, other in zip((ours.p0, ours.p1, ours.p2, ours.p3), theirs.geoms, strict=True):
        assert close(mine, (other.x, other.y), 1000.0)


@given(POINTS, POINTS, POINTS)
def test_mirrored_keeps_shapely_s_distances(a: Point, b: Point, p: Point) -> None:
    """A point and its image are as far from every point of the mirror, and on its two sides."""
    assume(distance(a, b) > 10)

    image = Path.line(p, p + Point(1, 0)).mirrored(a, b).start

    far = (b - a) * (4000 / distance(a, b))
    mirror = shapely.LineString([a - far, b + far])
    for end in (a, b):
        theirs = shapely.distance(shapely.Point(image), shapely.Point(end))
        assert isclose(theirs, distance(p, end), rel_tol=REL, abs_tol=REL)
    middle = shapely.LineString([p, image]).interpolate(0.5, normalized=True)
    assert shapely.distance(mirror, middle) <= REL * 1000


# Areas


def test_every_piece_has_the_area_of_its_curves() -> None:
    """fontTools integrates the cubics themselves; ours is the polygon of a very fine outline."""
    for piece in pieces():
        pen = AreaPen()
        pen.moveTo(piece.edges[0].path.start)
        for segment in (segment for edge in piece.edges for segment in edge.path.segments):
            if isinstance(segment, Cubic):
                pen.curveTo(segment.p1, segment.p2, segment.p3)
            else:
                pen.lineTo(segment.end)
        pen.closePath()
        assert isclose(polygon_area(piece.outline(2e-5)), pen.value, rel_tol=REL)


def test_every_piece_has_shapely_s_area() -> None:
    for piece in pieces():
        for ring in (piece.outline(), piece.cut_line):
            assert isclose(polygon_area(ring), shapely.Polygon(ring).area, rel_tol=REL)


# Offsets


def piece_of(paths: list[Path], allowance: float) -> Piece:
    edges = tuple(Edge(f"e{i}", EdgeKind.SEAM, path, allowance) for i, path in enumerate(paths))
    return Piece("piece", edges, (Cut("shell"),), (Point(0, 0), Point(0, 50)))


def buffered(piece: Piece, allowance: float) -> shapely.Polygon:
    """shapely's own offset of the same outline, corners mitred."""
    ring = shapely.Polygon(piece.outline(FINE))
    return shapely.buffer(ring, allowance, join_style="mitre", mitre_limit=MITRE_LIMIT * 4)


@settings(deadline=None, suppress_health_check=list(HealthCheck))  # as slow as the machine is busy
@given(st.lists(POINTS, min_size=5, max_size=12), st.floats(3, 40))
def test_cut_line_of_straight_edges_is_shapely_s_buffer(points: list[Point], allowance: float) -> None:
    hull = shapely.MultiPoint(points).convex_hull
    assume(hull.geom_type == "Polygon" and hull.area > 1e4)
    corners = [Point(x, y) for x, y in shapely.orient_polygons(hull).exterior.coords]
    sides = list(pairwise(corners))
    assume(min(distance(a, b) for a, b in sides) > 5)
    assume(
        all(_blunt(*three) for three in zip(corners, corners[1:], [*corners[2:], corners[1]], strict=False))
    )
    piece = piece_of([Path.line(a, b) for a, b in sides], allowance)

    ours = shapely.Polygon(cut_line(piece))

    theirs = buffered(piece, allowance)
    assert isclose(ours.area, theirs.area, rel_tol=REL)
    assert shapely.area(shapely.symmetric_difference(ours, theirs)) <= REL * theirs.area


def _blunt(a: Point, b: Point, c: Point) -> bool:
    """Whether a mitre stays within the limit: half the inner angle's sine over 1/3, and no straight joint."""
    before, after = b - a, c - b
    turn = (before.x * after.x + before.y * after.y) / (distance(a, b) * distance(b, c))
    return -0.75 < turn < cos(0.03)


@pytest.mark.parametrize("allowance", [6.35, 15.875, 50.8])
@pytest.mark.parametrize(("radius", "angle"), [(30.0, 1.2), (120.0, pi), (900.0, 0.4)])
def test_offset_of_an_arc_is_shapely_s_offset_curve(radius: float, angle: float, allowance: float) -> None:
    """Between its ends: there ours keeps to the curve's own direction, shapely to the last chord's."""
    path = arc(Point(0, 0), Point(radius, 0), angle)

    ours = offset(path, allowance)[1:-1]

    line = shapely.LineString(path.flatten(FINE))
    theirs = shapely.offset_curve(line, -allowance, join_style="mitre", mitre_limit=5.0)
    assert len(ours) >= 5
    assert shapely.distance(theirs, shapely.points(ours)).max() <= REL * radius


def test_cut_line_of_a_disc_is_the_larger_disc() -> None:
    """Chords of sagitta FINE lose 2/3 of it all round, 4/3 FINE / r of the area: that much may be missing."""
    quarters = [
        arc(Point(0, 0), Point(100 * c, 100 * s), pi / 2) for c, s in ((1, 0), (0, 1), (-1, 0), (0, -1))
    ]

    area = shapely.Polygon(cut_line(piece_of(quarters, 15.0))).area

    assert pi * 115**2 * (1 - 4 / 3 * FINE / 100) <= area <= pi * 115**2 * (1 + 4 / 3 * FINE / 100)
