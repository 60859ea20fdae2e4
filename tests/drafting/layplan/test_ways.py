from __future__ import annotations

from dataclasses import replace

import pytest

from drafting.layplan import Cloth, Layer, LayPlan, Way, items_for, plan_lay, verify, ways_of
from drafting.layplan.problem import strip_problem
from drafting.layplan.search import FillSearch, quick_fill
from drafting.layplan.strip import Layout, StripProblem
from drafting.pattern import Cut
from tests.drafting.layplan.sample import draft, piece

CLOTH, WIDE = Cloth("shell", 1140), Cloth("shell", 1500)


def test_ways_of_gives_every_way_that_the_cloth_allows() -> None:
    ways = ways_of([draft()], "shell", WIDE)

    assert list(ways) == [Way.OPEN, Way.FOLDED, Way.PART_FOLDED, Way.CROSSWISE]
    assert ways[Way.OPEN] == WIDE
    # The skirt front reaches 420 mm from the fold.
    assert ways[Way.PART_FOLDED].fold_depth == 420
    assert ways[Way.PART_FOLDED].usable_width == 1060


def test_ways_of_leaves_out_a_part_fold_that_leaves_too_little_beyond_it() -> None:
    """Of 1120 mm, 420 are folded over; of the 280 beyond, selvedge off, 270 are left for a back of 430."""
    assert Way.PART_FOLDED not in ways_of([draft()], "shell", CLOTH)


def test_ways_of_does_not_fold_one_way_cloth_crosswise() -> None:
    assert Way.CROSSWISE not in ways_of([draft()], "shell", replace(CLOTH, one_way=True))


def test_ways_of_leaves_out_a_fold_that_a_piece_is_too_wide_for() -> None:
    wide = piece(
        "panel", [(0.0, 0.0), (600.0, 0.0), (600.0, 300.0), (0.0, 290.0)], Cut("shell", 2, mirrored=True)
    )

    assert list(ways_of([draft(wide)], "shell", CLOTH)) == [Way.OPEN, Way.CROSSWISE]


@pytest.mark.parametrize("way", list(Way))
def test_plan_lay_gives_a_true_lay_each_way(way: Way) -> None:
    cloth = ways_of([draft()], "shell", WIDE)[way]
    items = items_for(draft(), "shell", cloth)
    problem = strip_problem(items, cloth, cloth.rotations)

    plan = plan_lay(items, cloth, seconds=0.3)

    assert verify(plan, items) == ()
    assert plan.length <= quick_fill(problem).length(problem)
    # Whatever the fold, all of the cloth under the lay counts, and all that is cut from it.
    taken = sum(item.area * (1 if item.layer is Layer.SINGLE else 2) for item in items)
    assert plan.utilisation == pytest.approx(taken / (1480 * plan.cloth_length))


def test_cloth_folded_end_to_end_takes_twice_the_length_of_its_lay() -> None:
    cloth = ways_of([draft()], "shell", CLOTH)[Way.CROSSWISE]

    plan = plan_lay(items_for(draft(), "shell", cloth), cloth, seconds=0.3)

    assert plan.cloth_length == 2 * plan.length
    assert plan.buy_length >= plan.cloth_length


def test_pieces_of_part_folded_cloth_lie_on_their_own_layers() -> None:
    cloth = ways_of([draft()], "shell", WIDE)[Way.PART_FOLDED]
    plan = plan_lay(items_for(draft(), "shell", cloth), cloth, seconds=0.3)
    high = {p.piece: max(y for _, y in p.outline) for p in plan.placed if p.layer != "single"}
    low = {p.piece: min(y for _, y in p.outline) for p in plan.placed if p.layer == "single"}

    assert max(high.values()) <= 420 + 1e-6
    assert min(low.values()) >= 430 - 1e-6  # the selvedge that was folded over is not cut from


def laid_by(search: FillSearch, problem: StripProblem, seed: int) -> float:
    found: list[Layout] = []
    search.pack(problem, seconds=1.0, seed=seed, report=found.append)
    return min(layout.length(problem) for layout in found)


@pytest.mark.parametrize("seed", range(2))
@pytest.mark.parametrize("folded", [False, True])
def test_a_search_that_may_turn_pieces_is_never_longer_than_the_one_that_may_not(
    folded: bool, seed: int
) -> None:
    """Counted in moves, so that no clock decides: the two-way search holds the one-way search."""
    cloth = replace(CLOTH, folded=folded)
    problem = strip_problem(items_for(draft(), "shell", cloth), cloth, cloth.rotations)

    one_way = laid_by(FillSearch(50), problem.one_way(), seed)
    both = laid_by(FillSearch(100), problem, seed)

    assert both <= one_way
    assert quick_fill(problem).length(problem) <= quick_fill(problem.one_way()).length(problem)


def test_plan_lay_is_never_longer_than_the_lay_it_starts_from() -> None:
    """A one-way lay is one of the two-way cloth too."""
    one_way = replace(CLOTH, one_way=True)
    items = items_for(draft(), "shell", one_way)
    known = plan_lay(items, one_way, seconds=2.0)

    again = plan_lay(items, CLOTH, seconds=0.1, start=known)

    assert again.length <= known.length
    assert verify(again, items) == ()


def test_plan_lay_passes_over_a_start_of_other_pieces() -> None:
    items = items_for(draft(), "shell", CLOTH)
    other: LayPlan = plan_lay(items[:3], CLOTH, seconds=0.1)

    assert verify(plan_lay(items, CLOTH, seconds=0.1, start=other), items) == ()
