"""A zip in the side, belt loops and a tuck, as the figure shows them."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from drafting import make_draft
from drafting.body.sizes import size_of
from drafting.geometry import Point
from drafting.output.figure.loops import band_loop_shapes, belt_loop_shapes
from drafting.output.figure.panels import Side, beside, panel_of
from drafting.output.figure.side_zips import hung_zip_shapes, side_zip_shapes, zipped_edges
from drafting.output.figure.uppers import upper
from drafting.output.garment import garment_svg
from drafting.output.shapes import Shape
from drafting.pattern import Draft

BODY = size_of("woman-92-168").body()
NS = "{http://www.w3.org/2000/svg}"


def drafted(style: str, **choices: str | bool) -> Draft:
    return make_draft(style, BODY, choices)


def xs(shapes: list[Shape]) -> list[float]:
    """The x of every point of shapes that are made of lines."""
    words = [word for shape in shapes for word in shape.data.replace("M", " ").replace("L", " ").split()]
    return [float(word.strip("Z")) for word in words[::2] if word.strip("Z")]


def panel(draft: Draft, name: str) -> Side:
    return beside([panel_of(draft, draft.piece(name))])


def shown(draft: Draft, style: str) -> int:
    """How many lines of a style the whole figure has."""
    root = ElementTree.fromstring(garment_svg(draft))
    return sum(path.get("class") == style for path in root.iter(f"{NS}path"))


def test_zip_at_the_side_lies_on_the_wearers_left_of_front_and_back() -> None:
    draft = drafted("straight-skirt", closure="side zip")

    front = xs(side_zip_shapes(draft, panel(draft, "skirt front"), -1.0))
    back = xs(side_zip_shapes(draft, panel(draft, "skirt back"), 1.0))
    assert min(front) > 100
    assert max(back) < -100


def test_zip_at_the_centre_is_none_at_the_side() -> None:
    draft = drafted("straight-skirt", closure="centre-back zip")

    assert zipped_edges(draft) == set()
    assert side_zip_shapes(draft, panel(draft, "skirt front"), -1.0) == []


def test_zip_has_a_bar_where_the_side_goes_on_and_none_at_the_waist() -> None:
    draft = drafted("straight-skirt", closure="side zip")

    shapes = side_zip_shapes(draft, panel(draft, "skirt front"), -1.0)
    assert [shape.style for shape in shapes] == ["seam", "seam"]


@pytest.mark.parametrize(("side", "sign", "stitched"), [("front", -1.0, 1), ("back", 1.0, 0)])
def test_lapped_zip_is_stitched_over_the_front(side: str, sign: float, stitched: int) -> None:
    draft = drafted("straight-skirt", closure="side zip", zip_set="lapped")

    shapes = side_zip_shapes(draft, panel(draft, f"skirt {side}"), sign)
    assert sum(shape.style == "fine" for shape in shapes) == stitched


def test_zip_of_a_skirt_in_folds_follows_its_side_as_it_hangs() -> None:
    draft = drafted("pleated-skirt", closure="side zip")
    waist, foot = (Point(0.0, 0.0), Point(180.0, 0.0)), Point(300.0, -600.0)

    shapes = hung_zip_shapes(draft, waist, foot, {"skirt front"}, -1.0)
    assert len(shapes) == 2
    assert hung_zip_shapes(draft, waist, foot, {"another piece"}, -1.0) == []
    assert all(160 < x < 300 for x in xs(shapes))


@pytest.mark.parametrize(("side", "count"), [("front", 2), ("back", 3)])
def test_band_of_a_grown_wearer_has_five_loops(side: str, count: int) -> None:
    draft = drafted("straight-skirt", belt_loops=True)
    waist = (Point(0.0, 0.0), Point(90.0, 1.0), Point(180.0, 4.0))

    assert len(band_loop_shapes(draft, waist, side)) == count
    assert band_loop_shapes(drafted("straight-skirt"), waist, side) == []


def test_loops_of_a_belt_lie_at_the_sides_and_behind_between_them() -> None:
    draft = drafted("shift-dress", belt="straight")
    side = upper(draft, "front")
    assert side is not None

    assert len(belt_loop_shapes(draft, side, 0.0, behind=False)) == 2
    assert len(belt_loop_shapes(draft, side, 0.0, behind=True)) == 4
    assert belt_loop_shapes(drafted("shift-dress", belt="tied"), side, 0.0, behind=True) == []


def test_tuck_is_a_seam_at_the_neckline_and_a_fold_below() -> None:
    tucked, dart = (
        drafted("shift-dress", bust_dart=where, closure="none") for where in ("neckline tuck", "neckline")
    )

    assert shown(tucked, "fold") - shown(dart, "fold") == 4
    assert shown(tucked, "seam") == shown(dart, "seam")
