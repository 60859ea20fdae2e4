"""The packer that parts overlaps: what binds a part is kept, and known layouts are found again."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
import shapely
from shapely.geometry import Polygon

from drafting import make_draft
from drafting.body import Body
from drafting.layplan import Cloth, Flaw, Stretch, items_for, verify
from drafting.layplan.bound import Shapes, bounds_of, depths, layout_of, lie_of
from drafting.layplan.cloth import SELLERS_INCREMENT
from drafting.layplan.nofit import MARGIN
from drafting.layplan.outline import Outline, at_origin, moved, turned
from drafting.layplan.problem import plan_of, strip_problem
from drafting.layplan.search import quick_fill
from drafting.layplan.separation import Separation
from drafting.layplan.strip import ABSOLUTE, Layout, Part, Pose, StripProblem, Tie
from drafting.layplan.tighten import tightened
from drafting.pattern import Draft
from tests.drafting.layplan.sample import BODY, draft

FLAWED = Stretch(3000, flaws=(Flaw(400, 300, 30), Flaw(900, 500, 20)))
CLOTHS = {
    "open": Cloth("shell", 1140),
    "folded": Cloth("shell", 1140, folded=True),
    "folded, one way": Cloth("shell", 1500, folded=True, one_way=True),
    "part folded": Cloth("shell", 1500, folded=True, fold_depth=440),
    "flaws": Cloth("shell", 1500, stretches=(FLAWED,)),
    "striped": Cloth("shell", 1500, repeat_length=40),
    "checked": Cloth("shell", 1500, repeat_length=80, repeat_width=60),
}


@pytest.fixture(scope="module")
def blouse() -> Draft:
    """It has seams to match, which the small dress has not."""
    return make_draft("shirt-blouse", Body.of(BODY))


def found(problem: StripProblem, attempts: int, *, seed: int = 0, seconds: float = 60.0) -> list[Layout]:
    layouts: list[Layout] = []
    Separation(attempts).pack(problem, seconds=seconds, seed=seed, report=layouts.append)
    return layouts


def part(outline: Outline, *turns: float) -> Part:
    return Part(tuple(Pose(turn, at_origin(turned(outline, turn))) for turn in turns))


@pytest.mark.parametrize("cloth", CLOTHS.values(), ids=CLOTHS)
def test_every_layout_is_true_and_shorter_than_the_one_before(cloth: Cloth, blouse: Draft) -> None:
    items = items_for(blouse if cloth.repeat_length else draft(), "shell", cloth)
    problem = strip_problem(items, cloth, cloth.rotations)
    assert any(part.tie_x for part in problem.parts) == (cloth.repeat_length > 0)

    layouts = found(problem, 30)

    lengths = [layout.length(problem) for layout in (quick_fill(problem), *layouts)]
    assert len(layouts) > 0
    assert lengths == sorted(lengths, reverse=True)
    for layout in layouts:
        plan = plan_of(
            layout, problem, items, cloth, rotations=cloth.rotations, increment_mm=SELLERS_INCREMENT
        )
        assert verify(plan, items, cloth.rotations) == ()


def jigsaw() -> list[Outline]:
    """A rectangle 600 long and 300 wide cut into eight by slanting cuts, no two pieces alike."""
    ends = [((0, 0), (0, 300)), ((200, 0), (150, 300)), ((380, 0), (440, 300)), ((600, 0), (600, 300))]
    shares = [
        [(0, 0), (0.4, 0.6), (1, 1)],
        [(0, 0), (0.3, 0.2), (0.7, 0.8), (1, 1)],
        [(0, 0), (0.25, 0.5), (0.8, 0.6), (1, 1)],
    ]
    pieces = []
    for (left, right), cuts in zip(pairwise(ends), shares, strict=True):
        for (low_l, low_r), (high_l, high_r) in pairwise(cuts):
            corners = [(left, low_l), (right, low_r), (right, high_r), (left, high_l)]
            pieces.append(
                tuple(
                    (x0 + (x1 - x0) * share, y0 + (y1 - y0) * share)
                    for ((x0, y0), (x1, y1)), share in corners
                )
            )
    return pieces


def test_a_rectangle_cut_up_goes_nearly_together_again() -> None:
    pieces = jigsaw()
    assert sum(Polygon(piece).area for piece in pieces) == pytest.approx(600 * 300)
    problem = StripProblem(309.0, 0.0, tuple(part(piece, 0, 180) for piece in pieces))

    best = min(layout.length(problem) for layout in found(problem, 80))

    # By area at least; a twelfth more than the rectangle is our own floor.
    assert 600 * 300 / 309 <= best <= 600 * 13 / 12
    assert quick_fill(problem).length(problem) > best


def test_what_is_reported_is_drawn_tight() -> None:
    """Drawn tight again it gains less than the margin that the tables leave between any two parts."""
    problem = StripProblem(309.0, 0.0, tuple(part(piece, 0, 180) for piece in jigsaw()))
    shapes, shortest = Shapes.of(problem), found(problem, 80)[-1]
    lie, bounds = lie_of(shortest, problem, shapes), bounds_of(problem, shapes, shortest)
    length = shortest.length(problem)

    tight = tightened(lie, bounds, depths(problem, shapes), length)

    assert tight is None or tight.length > length - MARGIN * depths(problem, shapes).cell


def test_a_part_that_its_lattice_holds_is_not_pushed_beyond_the_end() -> None:
    """The second may lie at 30, 180 and so on: nothing is shorter than 130."""
    square = ((0, 0), (100, 0), (100, 100), (0, 100))
    tied = [replace(part(square, 0), tie_x=Tie(ABSOLUTE, offset)) for offset in (0.0, 30.0)]
    problem = StripProblem(210.0, 0.0, tuple(tied), step_x=150.0)

    layouts = found(problem, 20)

    assert quick_fill(problem).length(problem) == pytest.approx(130, abs=0.1)
    assert [layout for layout in layouts if layout.length(problem) > 130 + 1e-6] == []
    assert len(layouts) <= 1


def test_the_same_seed_finds_the_same() -> None:
    cloth = CLOTHS["folded"]
    problem = strip_problem(items_for(draft(), "shell", cloth), cloth, cloth.rotations)

    assert found(problem, 10, seed=3) == found(problem, 10, seed=3)


def test_a_report_that_raises_stops_it() -> None:
    class EnoughError(Exception):
        pass

    def enough(layout: Layout) -> None:
        raise EnoughError

    cloth = CLOTHS["folded"]
    problem = strip_problem(items_for(draft(), "shell", cloth), cloth, cloth.rotations)
    with pytest.raises(EnoughError):
        Separation().pack(problem, seconds=60.0, seed=0, report=enough)


def test_a_layout_comes_back_from_its_arrays() -> None:
    cloth = CLOTHS["checked"]
    problem = strip_problem(items_for(draft(), "shell", cloth), cloth, cloth.rotations)
    shapes, layout = Shapes.of(problem), quick_fill(problem)

    assert layout_of(lie_of(layout, problem, shapes), problem, shapes) == layout


def test_nothing_to_lay_or_tables_that_take_too_long_find_nothing() -> None:
    triangles = tuple(part(((0, 0), (50 + n, 0), (0, 40 + n)), 0, 180) for n in range(25))

    assert found(StripProblem(300.0, 0.0, ()), 5) == []
    assert found(StripProblem(80.0, 0.0, triangles), 5, seconds=1.0) == []
    assert len(found(StripProblem(80.0, 0.0, triangles[:5]), 5, seconds=1.0)) > 0


def test_a_part_is_kept_clear_of_what_is_blocked() -> None:
    cloth = CLOTHS["flaws"]
    items = items_for(draft(), "shell", cloth)
    problem = strip_problem(items, cloth, cloth.rotations)

    layout = found(problem, 30)[-1]

    assert len(problem.blocked) > 1
    for box in problem.blocked:
        for row, laid in zip(problem.parts, layout.positions, strict=True):
            outline = moved(row.poses[laid.pose].outline, laid.x, laid.y)
            assert Polygon(outline).intersection(shapely.box(*box)).area < 1e-6
