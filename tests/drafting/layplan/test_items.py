from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import Polygon

from drafting.errors import BadCloth
from drafting.layplan import Cloth, Layer, items_for, read_items
from drafting.pattern import Cut, EdgeKind
from tests.drafting.layplan.sample import draft, piece

OPEN, FOLDED = Cloth("shell", 1140), Cloth("shell", 1140, folded=True)
LEANING = [(0.0, 0.0), (100.0, 0.0), (130.0, 200.0), (0.0, 300.0)]
BOX = [(0.0, 0.0), (100.0, 0.0), (100.0, 300.0), (0.0, 300.0)]


def kinds(cut: Cut, cloth: Cloth, corners: list[tuple[float, float]] = LEANING) -> list[tuple[bool, str]]:
    return [
        (item.mirrored, item.layer) for item in items_for(draft(piece("p", corners, cut)), "shell", cloth)
    ]


def test_items_for_lays_half_of_a_mirrored_cut_face_down_on_open_cloth() -> None:
    assert kinds(Cut("shell", 4, mirrored=True), OPEN) == [(False, "single")] * 2 + [(True, "single")] * 2


def test_items_for_cuts_a_pair_once_through_folded_cloth() -> None:
    assert kinds(Cut("shell", 4, mirrored=True), FOLDED) == [(False, "double")] * 2


def test_items_for_lays_the_odd_copy_single_on_folded_cloth() -> None:
    assert kinds(Cut("shell", 3, mirrored=True), FOLDED) == [(False, "double"), (False, "single")]


def test_items_for_lays_equal_copies_double_only_where_face_down_is_the_same() -> None:
    assert kinds(Cut("shell", 3), FOLDED, BOX) == [(False, "double"), (False, "single")]
    assert kinds(Cut("shell", 2), FOLDED) == [(False, "single")] * 2


def test_items_for_turns_the_grain_along_the_cloth() -> None:
    (item,) = items_for(draft(piece("p", LEANING, Cut("shell"))), "shell", OPEN)

    # Up on the pattern is along the cloth: (x, y) goes to (y, -x), then to the origin.
    assert set(item.polygon) == {(0.0, 130.0), (0.0, 30.0), (200.0, 0.0), (300.0, 130.0)}


def test_items_for_opens_out_a_half_on_open_cloth() -> None:
    (item,) = items_for(draft(piece("p", LEANING, Cut("shell", on_fold=True))), "shell", OPEN)
    whole = Polygon(item.polygon)

    assert item.layer is Layer.SINGLE
    assert whole.area == pytest.approx(2 * Polygon(LEANING).area)
    assert whole.bounds == (0.0, 0.0, 300.0, 260.0)


def test_items_for_lays_a_half_against_the_fold_of_folded_cloth() -> None:
    (item,) = items_for(draft(piece("p", LEANING, Cut("shell", on_fold=True))), "shell", FOLDED)
    on_fold = [(x, y) for x, y in item.polygon if y == 0]

    # The fold of 300 mm lies on y = 0, the half above it.
    assert item.layer is Layer.FOLD
    assert sorted(on_fold) == [(0.0, 0.0), (300.0, 0.0)]
    assert Polygon(item.polygon).bounds == (0.0, 0.0, 300.0, 130.0)


def test_items_for_takes_only_the_asked_cloth() -> None:
    items = items_for(draft(), "lining", OPEN)

    assert [(item.name, item.copy) for item in items] == [("lining band", n) for n in (1, 2, 3)]


@pytest.mark.parametrize("cloth", [OPEN, FOLDED])
def test_items_for_opens_out_a_half_whose_fold_runs_across_the_grain(cloth: Cloth) -> None:
    """A collar 300 mm long from its fold: 600 mm along the grain, 80 mm across, whole on any cloth."""
    half = [(0.0, 0.0), (300.0, 0.0), (300.0, 80.0), (0.0, 80.0)]

    [item] = items_for(draft(piece("collar", half, Cut("shell", on_fold=True), "along")), "shell", cloth)

    assert (item.layer, item.mirrored) == (Layer.SINGLE, False)
    assert Polygon(item.polygon).bounds == pytest.approx((0.0, 0.0, 600.0, 80.0))
    assert Polygon(item.polygon).area == pytest.approx(600.0 * 80.0)


def test_items_for_opens_out_a_half_about_a_slanting_fold() -> None:
    """The fold runs from (40, 300) to (0, 0); across it the piece is mirrored, on the grain as drawn."""
    slanting = [(0.0, 0.0), (100.0, 0.0), (130.0, 200.0), (40.0, 300.0)]

    [item] = items_for(draft(piece("p", slanting, Cut("shell", on_fold=True))), "shell", FOLDED)

    whole = Polygon(item.polygon)
    assert item.layer is Layer.SINGLE
    assert whole.area == pytest.approx(2 * Polygon(slanting).area)
    # The grain runs up the drawing, so that its height lies along the cloth; nothing is higher than 300 mm
    # but the mirror image of (130, 200), worked by hand: 2 (p . d) d - p with d = (40, 300) / 302.655.
    (px, py), (dx, dy) = (130.0, 200.0), (40 / 302.6549, 300 / 302.6549)
    dot = px * dx + py * dy
    image = (2 * dot * dx - px, 2 * dot * dy - py)
    mirrored = (2 * 100 * dx * dx - 100, 2 * 100 * dx * dy)
    xs = [100.0, 130.0, image[0], mirrored[0]]
    ys = [0.0, 300.0, image[1], mirrored[1]]
    assert whole.bounds == pytest.approx((0, 0, max(ys) - min(ys), max(xs) - min(xs)), abs=1e-3)


def test_items_for_refuses_a_fold_that_is_not_straight() -> None:
    bent = piece("p", [(0.0, 0.0), (100.0, 0.0), (100.0, 300.0), (0.0, 300.0)], Cut("shell", on_fold=True))
    folds = (*bent.edges[:-2], replace(bent.edges[-2], kind=EdgeKind.FOLD), bent.edges[-1])

    with pytest.raises(BadCloth, match=r"^p: its fold is not straight\.$"):
        items_for(draft(replace(bent, edges=folds)), "shell", FOLDED)


@pytest.mark.parametrize(
    ("polygon", "words"),
    [
        ([[0, 0], [1, 1]], "three corners"),
        ([[0, 0], [10, 10], [10, 0], [0, 10]], "crosses or touches itself"),
        ([[0, 0], [10, 0], [20, 0]], "no area|crosses"),
        ([[0, 0], [float("nan"), 0], [0, 10]], "finite"),
        ([[0, 0], [float("inf"), 0], [0, 10]], "finite"),
        ([[0, 0], [1e9, 0], [0, 10]], "check the unit"),
        ([[0, 0], ["a", 0], [0, 10]], "two numbers"),
        ([[0, 0], [10], [0, 10]], "two numbers"),
        ("square", "list of corners"),
    ],
)
def test_read_items_refuses_an_outline_that_cannot_be_laid(polygon: object, words: str) -> None:
    with pytest.raises(BadCloth, match=words):
        read_items({"items": [{"id": 1, "demand": 1, "polygon": polygon}]})


@pytest.mark.parametrize("demand", [0, -1, 1.5, True, "2", 10**9])
def test_read_items_refuses_a_demand_that_is_no_count(demand: object) -> None:
    with pytest.raises(BadCloth, match="demand"):
        read_items({"items": [{"id": 1, "demand": demand, "polygon": BOX}]})


@pytest.mark.parametrize("data", [None, [], {}, {"items": []}, {"items": [3]}])
def test_read_items_refuses_what_is_no_list_of_items(data: object) -> None:
    with pytest.raises(BadCloth, match="items"):
        read_items(data)
