"""Lengths from the shelf and flaws: worked by hand with squares, then with a garment."""

from __future__ import annotations

from dataclasses import replace

import pytest
from shapely.geometry import Polygon, box

from drafting.errors import BadCloth
from drafting.layplan import (
    Cloth,
    DoesNotFit,
    Flaw,
    LayPlan,
    Stretch,
    items_for,
    plan_lay,
    read_cloth,
    read_items,
    verify,
)
from drafting.layplan.table import blocked, spans
from tests.drafting.layplan.sample import draft

#: Each square of 100 mm takes the whole width; a length of 30 mm more than n squares holds n of them.
PLAIN = Cloth("shell", 100, selvedge=0, gap=0)


def squares(count: int) -> list:
    outline = [[0, 0], [100, 0], [100, 100], [0, 100]]
    return read_items({"items": [{"id": "s", "demand": count, "polygon": outline}]})


def on(*lengths: float, roll: bool = True) -> Cloth:
    return replace(PLAIN, stretches=tuple(Stretch(length) for length in lengths), roll=roll)


def used(plan: LayPlan) -> list[tuple[str, int]]:
    return [(part.name, len(part.pieces)) for part in plan.used]


def test_a_length_that_is_long_enough_is_used_and_nothing_bought() -> None:
    plan = plan_lay(squares(2), on(235), seconds=0.3)

    assert used(plan) == [("length 1", 2)]
    assert plan.used[0].length == pytest.approx(200, abs=0.01)
    assert plan.buy_length == 0


def test_what_a_length_does_not_hold_goes_on_the_next_and_then_on_the_roll() -> None:
    """135 mm hold one square once their ends are straight, 235 mm two; the fourth is cut from the roll."""
    items = squares(4)

    plan = plan_lay(items, on(135, 235), seconds=0.3)

    assert used(plan) == [("length 1", 1), ("length 2", 2), ("roll", 1)]
    assert verify(plan, items) == ()
    # 100 mm of lay and 30 mm for the ends, up to whole 10 cm.
    assert plan.buy_length == 200


def test_lengths_that_are_not_enough_are_refused_with_what_is_lacking() -> None:
    with pytest.raises(DoesNotFit) as refused:
        plan_lay(squares(3), on(235, roll=False), seconds=0.3)

    assert refused.value.field == "stretches"
    assert refused.value.available == 205
    assert refused.value.over > 0
    assert "205 mm in all" in str(refused.value)
    assert refused.value.worded(lambda mm: f"{mm / 1000:.3f} m").startswith(
        "The pieces do not go on the lengths there are (0.205 m in all)"
    )


def test_pieces_lie_clear_of_a_flaw() -> None:
    """A hole of 20 mm at 150 mm of the length leaves room for one square before it and one from 160 mm on."""
    cloth = replace(PLAIN, stretches=(Stretch(430, (Flaw(150, 50, 20),)),))
    items = squares(2)

    plan = plan_lay(items, cloth, seconds=0.3)

    assert verify(plan, items) == ()
    assert plan.length == pytest.approx(260, abs=0.6)


def test_verify_finds_a_piece_on_a_flaw_and_one_over_the_end_of_a_length() -> None:
    items = squares(2)
    plan = plan_lay(items, on(430), seconds=0.3)
    flawed = replace(plan, cloth=replace(plan.cloth, stretches=(Stretch(430, (Flaw(50, 50, 5),)),)))
    short = replace(plan, cloth=on(180))

    assert "s 1 lies on a flaw or over the end of a length" in verify(flawed, items) or (
        "s 2 lies on a flaw or over the end of a length" in verify(flawed, items)
    )
    assert any("over the end of a length" in fault for fault in verify(short, items))


@pytest.mark.parametrize(
    ("cloth", "low", "high"),
    [
        # 300 mm from the edge of 1140, 10 mm selvedge.
        (Cloth("shell", 1140), 280, 300),
        # The fold is at 570 from the edge: 270 mm from it.
        (Cloth("shell", 1140, folded=True), 260, 280),
        # Folded over at 400 mm and the selvedge: 110 mm from the fold.
        (Cloth("shell", 1140, folded=True, fold_depth=400), 100, 120),
    ],
)
def test_a_flaw_lies_where_the_fold_brings_it(cloth: Cloth, low: float, high: float) -> None:
    marked = replace(cloth, stretches=(Stretch(1000, (Flaw(500, 300, 20),)),))

    _, flaw = blocked(marked)

    assert (flaw.x0, flaw.x1) == (490, 510)
    assert (flaw.y0, flaw.y1) == pytest.approx((low, high))


def test_a_flaw_on_the_lower_half_of_cloth_folded_end_to_end_lies_under_the_upper() -> None:
    cloth = Cloth(
        "shell", 1140, folded=True, crosswise=True, stretches=(Stretch(1030, (Flaw(900, 300, 20),)),)
    )

    _, flaw = blocked(cloth)

    assert spans(cloth)[0].end == 500
    assert (flaw.x0, flaw.x1) == (90, 110)


@pytest.mark.parametrize("folded", [False, True])
def test_a_garment_is_laid_around_flaws_and_over_two_lengths(folded: bool) -> None:
    flaws = (Flaw(300, 400, 60), Flaw(700, 900, 40), Flaw(100, 1000, 30))
    cloth = Cloth("shell", 1140, folded=folded, stretches=(Stretch(900, flaws, "remnant"), Stretch(700)))
    items = items_for(draft(), "shell", cloth)

    plan = plan_lay(items, cloth, seconds=1.0)

    assert verify(plan, items) == ()
    assert sum(len(part.pieces) for part in plan.used) == len(items)
    for taken in blocked(cloth):
        shapes = [Polygon(placed.outline).intersection(box(*taken)).area for placed in plan.placed]
        assert max(shapes) <= 1e-6


def test_read_cloth_reads_lengths_and_flaws_back() -> None:
    cloth = Cloth("shell", 1140, stretches=(Stretch(900, (Flaw(1, 2, 3),), "end"),), roll=False)

    assert read_cloth(cloth.to_contract()) == cloth
    assert LayPlan.read_contract(plan_lay(squares(1), on(200), seconds=0.1).to_contract()).cloth == on(200)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"stretches": 3}, "stretches"),
        ({"stretches": [3]}, "stretch"),
        ({"stretches": [{"length": 0}]}, "length"),
        ({"stretches": [{"length": float("inf")}]}, "length"),
        ({"stretches": [{}]}, "length"),
        ({"stretches": [{"length": 900, "flaws": 1}]}, "flaws"),
        ({"stretches": [{"length": 900, "flaws": [{"at": 1, "across": -2, "size": 3}]}]}, "across"),
        ({"stretches": [{"length": 900, "flaws": [{"at": 1, "across": 2, "size": 0}]}]}, "size"),
        ({"roll": False}, "stretches"),
        ({"fold_depth": 300}, "folded"),
        ({"folded": True, "fold_depth": 900}, "fold_depth"),
        ({"folded": True, "fold_depth": 300, "crosswise": True}, "fold_depth"),
        ({"folded": True, "crosswise": True, "one_way": True}, "crosswise"),
    ],
)
def test_read_cloth_refuses_and_names_the_field(changes: dict[str, object], field: str) -> None:
    with pytest.raises(BadCloth) as refused:
        read_cloth({"cloth": "shell", "width": 1140, **changes})

    assert refused.value.field == field
