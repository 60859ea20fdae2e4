"""Cut lines by hand, notches in pairs, remarks."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from drafting.finishing import cut_line, finish, with_notches
from drafting.finishing.dart_mouth import Mouth, roof
from drafting.finishing.polyline import without_loops
from drafting.finishing.remarks import allowance_remark
from drafting.geometry import Path, Point
from drafting.pattern import Corner, Cut, Draft, Edge, EdgeKind, EdgeRef, Method, Notch, Piece, Seam
from drafting.truing.cut_lines import cut_line_checks
from tests.drafting.small_draft import small_body, small_draft

SQUARE = [(0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)]
FLARED = [(0.0, 0.0), (120.0, 0.0), (100.0, 100.0), (0.0, 100.0)]


def piece_of(
    points: list[tuple[float, float]],
    *,
    kinds: dict[int, EdgeKind] | None = None,
    allowances: dict[int, float] | None = None,
    corners: dict[int, Corner] | None = None,
) -> Piece:
    """A piece of straight edges ``e0``, ``e1`` ..., 10 mm allowance where not said otherwise."""
    edges = tuple(
        Edge(
            f"e{i}",
            (kinds or {}).get(i, EdgeKind.SEAM),
            Path.line(Point(*start), Point(*end)),
            (allowances or {}).get(i, 10.0),
            (corners or {}).get(i, Corner.MITRE),
        )
        for i, (start, end) in enumerate(zip(points, [*points[1:], points[0]], strict=True))
    )
    return Piece("piece", edges, (Cut("shell"),), (Point(0, 0), Point(0, 50)))


def polygon(piece: Piece) -> shapely.Polygon:
    return shapely.Polygon(cut_line(piece))


def assert_same(found: shapely.Polygon, wanted: list[tuple[float, float]]) -> None:
    assert found.is_valid
    assert found.symmetric_difference(shapely.Polygon(wanted)).area == pytest.approx(0, abs=0.01)


def test_cut_line_of_a_square_is_a_larger_square() -> None:
    assert_same(polygon(piece_of(SQUARE)), [(-10, -10), (110, -10), (110, 110), (-10, 110)])


def test_cut_line_follows_each_edge_and_keeps_to_a_fold() -> None:
    piece = piece_of(SQUARE, allowances={0: 40, 1: 15, 3: 0}, kinds={0: EdgeKind.HEM, 3: EdgeKind.FOLD})

    assert_same(polygon(piece), [(0, -40), (115, -40), (115, 110), (0, 110)])


def test_cut_line_of_a_turned_hem_mirrors_the_side() -> None:
    piece = piece_of(
        FLARED,
        kinds={0: EdgeKind.HEM, 3: EdgeKind.FOLD},
        allowances={0: 40, 3: 0},
        corners={0: Corner.TURNED},
    )

    # The side leans 20 in 100: its cut line crosses the fold at 120 + 10 x sqrt(1.04) = 130.198, and comes
    # back 8 mm towards the middle over 40 mm of hem.
    assert_same(polygon(piece), [(0, -40), (122.198, -40), (130.198, 0), (108.198, 110), (0, 110)])


def test_cut_line_of_a_turned_hem_works_from_both_sides() -> None:
    points = [(0.0, 0.0), (120.0, 0.0), (100.0, 100.0), (20.0, 100.0)]
    piece = piece_of(
        points, kinds={0: EdgeKind.HEM}, allowances={0: 40}, corners={0: Corner.TURNED, 3: Corner.TURNED}
    )

    line = shapely.Polygon(cut_line(piece))

    assert line.symmetric_difference(shapely.transform(line, lambda xy: [120, 0] + xy * [-1, 1])).area < 0.01
    assert line.bounds[1] == -40


def test_cut_line_of_a_squared_corner_ends_square_to_the_first_seam() -> None:
    piece = piece_of(FLARED, corners={1: Corner.SQUARED})

    # The second edge's line runs on to y = 110 at x = 98; from there 10 mm square to it.
    ring = cut_line(piece)
    assert any(point == pytest.approx((98.0, 110.0), abs=0.001) for point in ring)
    assert any(point == pytest.approx((107.806, 111.961), abs=0.001) for point in ring)


def test_cut_line_of_a_concave_corner_meets_inside() -> None:
    piece = piece_of([(0, 0), (100, 0), (100, 50), (50, 50), (50, 100), (0, 100)])

    assert_same(polygon(piece), [(-10, -10), (110, -10), (110, 60), (60, 60), (60, 110), (-10, 110)])


def test_cut_line_cuts_a_sharp_tip_off() -> None:
    piece = piece_of([(0, 0), (200, 0), (0, 30)])

    found = polygon(piece)

    assert found.bounds[2] == pytest.approx(200 + 30, abs=1)
    assert found.covers(shapely.Polygon(piece.outline()))


def test_cut_line_closes_a_slot_narrower_than_its_allowances() -> None:
    piece = piece_of([(0, 0), (45, 0), (45, 50), (55, 50), (55, 0), (100, 0), (100, 100), (0, 100)])

    assert_same(polygon(piece), [(-10, -10), (110, -10), (110, 110), (-10, 110)])


def test_cut_line_over_a_dart_is_its_roof() -> None:
    # Legs from (40, 0) and (60, 0) to (50, 80); the waist arrives level and has 10 mm.
    piece = piece_of(
        [(0, 0), (40, 0), (50, 80), (60, 0), (100, 0), (100, 100), (0, 100)],
        kinds={1: EdgeKind.DART, 2: EdgeKind.DART, 6: EdgeKind.FOLD},
        allowances={1: 0, 2: 0, 6: 0},
    )

    # At y = -10 the leg's line is at 38.75. Level mirrored over the leg (80 : 10) falls by 2 x 7.125 degrees:
    # 11.25 x tan(14.25) = 2.857 at the middle.
    assert_same(
        polygon(piece),
        [(0, -10), (38.75, -10), (50, -12.857), (61.25, -10), (110, -10), (110, 110), (0, 110)],
    )


@pytest.mark.parametrize("depth", [10.0, 40.0, 200.0])
def test_cut_line_of_a_bend_tighter_than_its_allowance_stays_simple(depth: float) -> None:
    bend = Path.cubic(Point(40, 0), Point(44, depth), Point(56, depth), Point(60, 0))
    edges = (
        Edge("bend", EdgeKind.SEAM, bend, 15.0),
        Edge("rest", EdgeKind.SEAM, Path.polyline([Point(60, 0), Point(100, 0), Point(100, 300)]), 15.0),
        Edge(
            "top",
            EdgeKind.SEAM,
            Path.polyline([Point(100, 300), Point(0, 300), Point(0, 0), Point(40, 0)]),
            15.0,
        ),
    )
    piece = Piece("piece", edges, (Cut("shell"),), (Point(10, 10), Point(10, 90)))

    found = polygon(piece)

    assert found.is_valid
    assert found.covers(shapely.Polygon(piece.outline()))


@given(
    st.lists(st.floats(40, 200), min_size=4, max_size=9),
    st.lists(st.floats(0, 40), min_size=9, max_size=9),
    st.sampled_from(Corner),
)
def test_cut_line_is_simple_and_holds_any_star_shaped_piece(
    radii: list[float], allowances: list[float], corner: Corner
) -> None:
    ring = [
        Point(radius, 0) if not i else shapely_point(radius, i / len(radii)) for i, radius in enumerate(radii)
    ]
    piece = piece_of(
        [(point.x, point.y) for point in ring],
        allowances=dict(enumerate(allowances)),
        corners=dict.fromkeys(range(9), corner),
        kinds={0: EdgeKind.HEM},
    )

    found = polygon(piece)

    assert found.is_valid
    assert found.buffer(1e-3).covers(shapely.Polygon(piece.outline()))


def shapely_point(radius: float, turn: float) -> Point:
    from math import cos, pi, sin

    return Point(radius * cos(2 * pi * turn), radius * sin(2 * pi * turn))


def long_draft(
    *, method: Method = Method.PLAIN, length: float = 300.0, notches: tuple[Notch, ...] = ()
) -> Draft:
    """Two rectangles sewn together along ``length``."""
    one = piece_of([(0, 0), (100, 0), (100, length), (0, length)])
    pieces = (one.with_(name="left", notches=notches), one.with_(name="right back"))
    seam = Seam("side", (EdgeRef("left", "e1"),), (EdgeRef("right back", "e3", True),), method=method)
    return Draft("two", {}, small_body(), {}, "1", pieces, (seam,))


def test_with_notches_marks_both_sides_of_a_long_seam() -> None:
    draft = with_notches(long_draft())

    assert draft.piece("left").notches == (Notch("e1", 120.0),)
    # The other side is walked from its end: 300 - 120.
    assert draft.piece("right back").notches == (Notch("e3", 180.0),)


def test_with_notches_leaves_short_seams_and_pleats_alone() -> None:
    assert with_notches(long_draft(length=200.0)) == long_draft(length=200.0)
    assert with_notches(long_draft(method=Method.PLEATED)) == long_draft(method=Method.PLEATED)


def test_with_notches_gives_the_bare_side_its_mates() -> None:
    draft = with_notches(long_draft(notches=(Notch("e1", 50.0), Notch("e1", 250.0, 2))))

    assert draft.piece("right back").notches == (Notch("e3", 250.0), Notch("e3", 50.0, 2))


def test_with_notches_doubles_the_back_of_an_armhole_and_its_mate() -> None:
    draft = small_draft()

    assert [notch for notch in draft.piece("back").notches if notch.edge == "armhole"] == [
        Notch("armhole", 60, 2)
    ]
    assert [notch.count for notch in draft.piece("front").notches if notch.edge == "armhole"] == [1]


def test_finish_twice_changes_nothing() -> None:
    draft = small_draft()

    assert finish(draft) == draft


def test_allowance_remark_says_what_is_drawn() -> None:
    piece = piece_of(SQUARE, allowances={0: 40, 1: 15, 3: 0}, kinds={0: EdgeKind.HEM, 3: EdgeKind.FOLD})

    assert allowance_remark(piece) == "allowances drawn: seam 10 or 15, hem 40 mm"
    assert (
        allowance_remark(piece_of(SQUARE, allowances=dict.fromkeys(range(4), 0.0)))
        == "no allowance: cut on the line"
    )


def test_with_notches_marks_a_seam_to_its_own_mirror_image_once() -> None:
    piece = piece_of([(0, 0), (100, 0), (100, 300), (0, 300)])
    seam = Seam("centre back", (EdgeRef("piece", "e1"),), (EdgeRef("piece", "e1"),))

    draft = with_notches(Draft("one", {}, small_body(), {}, "1", (piece,), (seam,)))

    assert draft.piece("piece").notches == (Notch("e1", 120.0),)


def test_cut_line_over_a_dart_follows_the_edge_beyond_a_short_neighbour() -> None:
    # The waist bends 5 mm before the mouth: half the roof mirrors the part beyond the bend.
    dart = {2: EdgeKind.DART, 3: EdgeKind.DART}
    piece = piece_of(
        [(0, -8), (35, 0), (40, 0), (60, 80), (80, 0), (120, 0), (120, 100), (0, 100)],
        kinds={**dart, 7: EdgeKind.FOLD},
        allowances={2: 0, 3: 0, 7: 0},
    )
    draft = Draft("one", {}, small_body(), {}, "1", (piece.with_(cut_line=cut_line(piece)),), ())

    rows = {row.name: row for row in cut_line_checks(draft)}

    assert rows["cut line of folded darts: piece"].value == pytest.approx(0, abs=0.001)


@pytest.mark.parametrize("mirror", [1, -1])
def test_cut_line_over_a_dart_between_two_close_darts_follows_the_next_ones_roof(mirror: int) -> None:
    # Three darts 28 wide and 66 long, 31 apart: at 38 below the waist the take-up is 43 wide, the cloth
    # between two darts 15. The outer darts have room on their far sides, the middle one has none.
    outline: list[tuple[float, float]] = [
        (0, 0),
        (42, 0),
        (56, 66),
        (70, 0),
        (101, 0),
        (115, 66),
        (129, 0),
        (160, 0),
        (174, 66),
    ]
    outline += [(188, 0), (260, 5), (260, 140), (0, 140)]
    darts = dict.fromkeys([1, 2, 4, 5, 7, 8], EdgeKind.DART)
    allowances = {at: 38.0 for at in range(len(outline)) if at not in darts} | dict.fromkeys(darts, 0.0)
    piece = piece_of(outline, kinds={**darts, 12: EdgeKind.FOLD}, allowances={**allowances, 12: 0.0})
    if mirror < 0:
        piece = piece_of(
            [(-x, y) for x, y in [outline[0], *outline[:0:-1]]],
            kinds={12 - at: kind for at, kind in {**darts, 12: EdgeKind.FOLD}.items()},
            allowances={12 - at: width for at, width in {**allowances, 12: 0.0}.items()},
        )
    draft = Draft("one", {}, small_body(), {}, "1", (piece.with_(cut_line=cut_line(piece)),), ())

    rows = {row.name: row for row in cut_line_checks(draft)}

    assert rows["cut line of folded darts: piece"].value == pytest.approx(0, abs=0.001)
    assert rows["cut line is simple and holds the stitch line: piece"].ok


def test_roof_needs_a_cut_line_on_both_sides_of_the_dart() -> None:
    """Between two darts that lie closer than they are wide nothing is left for the second."""
    mouth = Mouth(Point(40, 0), Point(50, 60), Point(60, 0))

    assert roof(mouth, [Point(0, -10), Point(40, -10)], [], to_start=True) is None
    assert roof(mouth, [], [Point(60, -10), Point(99, -10)], to_start=False) is None
    assert roof(mouth, [Point(0, -10), Point(40, -10)], [Point(60, -10), Point(99, -10)], to_start=True)


def test_roof_ends_where_a_cut_line_that_turns_back_over_the_dart_first_comes_to_its_leg() -> None:
    # Beside a tight bend the far cut line crosses the leg's line, x = 60 - y / 6, three times.
    mouth = Mouth(Point(40, 0), Point(50, 60), Point(60, 0))
    before, after = (
        [Point(0, -10), Point(40, -10)],
        [Point(60, -10), Point(66, -9), Point(58, -14), Point(90, -40)],
    )

    made = roof(mouth, before, after, to_start=True)

    assert made is not None
    assert made.after[0] == pytest.approx((63.01, -18.07), abs=0.01)
    assert made.after[1:] == [Point(90, -40)]


def test_without_loops_leaves_out_what_lies_between_two_passes_of_one_place() -> None:
    loop = [Point(0, 0), Point(60, 0), Point(60, 30), Point(40, 30), Point(40, -20), Point(90, -20)]

    assert without_loops(loop) == [Point(0, 0), Point(40, 0), Point(40, -20), Point(90, -20)]
    assert without_loops(loop[:4]) == loop[:4]
