from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from itertools import combinations

import psutil
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPoint, Polygon

from drafting.errors import BadCloth
from drafting.layplan import (
    Cloth,
    Flaw,
    LayItem,
    LayPlan,
    Stretch,
    TooWide,
    items_for,
    plan_lay,
    read_items,
    runner,
    verify,
)
from drafting.layplan.boxes import boxes_in_rows
from drafting.layplan.items import Pin
from drafting.layplan.packing import PackingProcess
from drafting.layplan.problem import strip_problem
from drafting.layplan.search import quick_fill
from drafting.layplan.strip import Layout, StripProblem
from drafting.layplan.table import blocked
from tests.drafting.layplan.sample import draft

Fill = Callable[[StripProblem], Layout]

CLOTHS = [
    Cloth("shell", 1140),
    Cloth("shell", 1500),
    Cloth("shell", 1500, one_way=True),
    Cloth("shell", 1140, folded=True),
    Cloth("shell", 1500, folded=True, one_way=True),
]


def assert_true_lay(plan: LayPlan, items: list[LayItem]) -> None:
    """Our own verification, and the plain facts again without it."""
    assert verify(plan, items) == ()
    shapes = [Polygon(placed.outline) for placed in plan.placed]
    assert max((a.intersection(b).area for a, b in combinations(shapes, 2)), default=0.0) <= 1e-6
    assert min((a.distance(b) for a, b in combinations(shapes, 2)), default=99.0) >= plan.cloth.gap - 0.01
    assert min(shape.bounds[1] for shape in shapes) >= -1e-6
    assert max(shape.bounds[3] for shape in shapes) <= plan.cloth.usable_width + 1e-6
    assert Counter(placed.piece for placed in plan.placed) == Counter(item.name for item in items)
    assert sum(shape.area for shape in shapes) == pytest.approx(sum(item.area for item in items))


@pytest.mark.parametrize(
    "cloth", CLOTHS, ids=lambda c: f"{c.width:g}{' folded' * c.folded}{' one' * c.one_way}"
)
def test_plan_lay_gives_a_true_lay_shorter_than_boxes_in_rows(cloth: Cloth) -> None:
    items = items_for(draft(), "shell", cloth)
    problem = strip_problem(items, cloth, cloth.rotations)

    plan = plan_lay(items, cloth, seconds=2.0)

    assert_true_lay(plan, items)
    assert plan.length < boxes_in_rows(problem).length(problem)
    assert {placed.rotation for placed in plan.placed} <= set(cloth.rotations)
    assert plan.remarks == ()


def test_plan_lay_keeps_halves_on_the_fold() -> None:
    cloth = Cloth("shell", 1140, folded=True)

    plan = plan_lay(items_for(draft(), "shell", cloth), cloth, seconds=1.0)
    low = {p.piece: min(y for _, y in p.outline) for p in plan.placed if p.layer == "fold"}

    assert low == {"back": 0.0, "skirt front": 0.0}


def packing_processes() -> list[psutil.Process]:
    """The packing processes that this test started and that still run."""
    running = [child for child in psutil.Process().children() if child.status() != psutil.STATUS_ZOMBIE]
    return [child for child in running if "drafting.layplan.child" in child.cmdline()]


def kill_packer(share: float, _: float) -> None:
    """End them half-way, layouts having come."""
    if share > 0.5:
        for child in packing_processes():
            child.kill()


@pytest.mark.parametrize("cloth", [CLOTHS[0], CLOTHS[3]], ids=["engine", "search"])
def test_plan_lay_survives_the_death_of_its_packer(cloth: Cloth) -> None:
    items = items_for(draft(), "shell", cloth)

    plan = plan_lay(items, cloth, seconds=3.0, on_progress=kill_packer)

    assert_true_lay(plan, items)
    assert "stopped early (its process ended with status -9)" in plan.remarks[0]


def test_plan_lay_ends_in_time_where_its_packer_hangs() -> None:
    items = items_for(draft(), "shell", CLOTHS[0])

    def stop(share: float, _: float) -> None:
        if share > 0.3:
            for child in packing_processes():
                child.suspend()

    plan = plan_lay(items, CLOTHS[0], seconds=3.0, on_progress=stop)

    assert_true_lay(plan, items)
    assert plan.seconds < 30  # it did not wait for what would never come, however slow the machine
    assert packing_processes() == []


def test_plan_lay_stops_when_cancelled_and_leaves_no_process() -> None:
    cloth = CLOTHS[0]
    items = items_for(draft(), "shell", cloth)
    shares: list[float] = []

    plan = plan_lay(
        items,
        cloth,
        seconds=60.0,
        on_progress=lambda share, _: shares.append(share),
        cancelled=lambda: bool(shares),
    )

    assert_true_lay(plan, items)
    assert shares[-1] < 0.5
    assert packing_processes() == []


def test_plan_lay_gives_a_plan_in_too_short_a_time() -> None:
    items = items_for(draft(), "shell", CLOTHS[0])

    plan = plan_lay(items, CLOTHS[0], seconds=0.01)

    assert_true_lay(plan, items)
    assert plan.found_by == "quick fill"


def test_plan_lay_searches_otherwise_where_tables_would_take_too_long() -> None:
    triangles = [
        {"id": f"gusset {n}", "demand": 1, "polygon": [[0, 0], [90 + n, 0], [30, 60 + n]]} for n in range(60)
    ]
    items = read_items({"items": triangles})

    plan = plan_lay(items, CLOTHS[0], seconds=3.0)

    assert_true_lay(plan, items)
    assert plan.found_by != "parting overlaps"
    assert plan.remarks == ()


@pytest.mark.parametrize(
    ("theirs", "ours", "second"),
    [(boxes_in_rows, quick_fill, ["separation"]), (quick_fill, boxes_in_rows, [])],
    ids=["behind", "ahead"],
)
def test_a_packer_behind_the_separation_gives_its_core_to_a_second_one(
    monkeypatch: pytest.MonkeyPatch, theirs: Fill, ours: Fill, second: list[str]
) -> None:
    begun: list[tuple[str, int]] = []

    class Scripted(PackingProcess):
        """Has found its layout when it begins, and goes on without another."""

        def __init__(self, packer: str, problem: StripProblem, *, seconds: float, seed: int) -> None:
            super().__init__(packer, problem, seconds=seconds, seed=seed)
            begun.append((packer, seed))
            self.layouts.append((ours if packer == "separation" else theirs)(problem))

        def __enter__(self) -> PackingProcess:
            return self

    monkeypatch.setattr(runner, "PackingProcess", Scripted)
    monkeypatch.setattr(runner, "GIVES_WAY", 0.0)
    cloth = CLOTHS[2]

    plan_lay(items_for(draft(), "shell", cloth), cloth, seconds=2.0)

    assert sorted(packer for packer, _ in begun) == ["engine", "separation", *second]
    assert len({seed for packer, seed in begun if packer == "separation"}) == 1 + len(second)


def test_plan_lay_stops_at_once_where_no_lay_can_be_shorter() -> None:
    strip = {"id": "s", "demand": 3, "polygon": [[0, 0], [500, 0], [500, 100], [0, 100]]}
    items = read_items({"items": [strip]})

    plan = plan_lay(items, CLOTHS[0], seconds=30.0)

    assert plan.length == pytest.approx(500.0)
    assert plan.seconds < 15  # half of what it was given: it stopped, however slow the machine


def test_plan_lay_lays_500_pieces() -> None:
    triangle = {"id": "t", "demand": 500, "polygon": [[0, 0], [90, 0], [20, 70]]}
    items = read_items({"items": [triangle]})

    assert_true_lay(plan_lay(items, CLOTHS[0], seconds=2.0), items)


def test_plan_lay_fits_a_piece_exactly_as_wide_as_the_cloth() -> None:
    items = read_items(
        {"items": [{"id": "w", "demand": 2, "polygon": [[0, 0], [300, 0], [300, 1120], [0, 1120]]}]}
    )

    plan = plan_lay(items, CLOTHS[0], seconds=2.0)

    assert_true_lay(plan, items)
    assert plan.length == pytest.approx(602.0, abs=0.3)


def test_plan_lay_refuses_a_piece_wider_than_the_cloth_and_says_what_would_do() -> None:
    items = read_items({"items": [{"id": "w", "polygon": [[0, 0], [300, 0], [300, 1150], [0, 1150]]}]})

    with pytest.raises(BadCloth) as refused:
        plan_lay(items, CLOTHS[0])

    assert refused.value.field == "width"
    assert str(refused.value) == (
        "The piece w is 1150 mm across and the cloth gives 1120 mm of width: 30 mm too wide. What would do: "
        "a cloth 1170 mm wide or wider; or turning the piece across the grain, where cloth and style allow "
        "it; or narrower strips: set the house rule “Widest panel in one piece” below 1120 mm by two seam "
        "allowances, and draft anew."
    )


def test_of_several_pieces_too_wide_the_refusal_tells_of_that_which_needs_the_widest_cloth() -> None:
    rows = [{"id": f"w{y}", "polygon": [[0, 0], [1300, 0], [1300, y], [0, y]]} for y in (1130, 1290, 1200)]
    items = read_items({"items": rows})

    with pytest.raises(TooWide, match=r"^The piece w1290 is 1290 mm across") as refused:
        plan_lay(items, CLOTHS[0])

    wide = replace(CLOTHS[0], width=refused.value.cloth_needed)
    assert verify(plan_lay(items, wide, seconds=0.1), items) == ()


def test_a_refusal_for_width_can_be_worded_in_any_unit() -> None:
    items = read_items({"items": [{"id": "w", "polygon": [[0, 0], [1300, 0], [1300, 1150], [0, 1150]]}]})

    with pytest.raises(TooWide) as refused:
        plan_lay(items, CLOTHS[0])

    refusal = refused.value
    assert (refusal.piece, refusal.across, refusal.usable, refusal.over) == ("w", 1150, 1120, 30)
    assert refusal.cloth_needed == 1170
    assert refusal.worded(lambda mm: f"{mm / 10:g} cm") == (
        "The piece w is 115 cm across and the cloth gives 112 cm of width: 3 cm too wide. What would do: "
        "a cloth 117 cm wide or wider; or narrower strips: set the house rule “Widest panel in one piece” "
        "below 112 cm by two seam allowances, and draft anew."
    )


@pytest.mark.parametrize(
    ("cloth", "needed"),
    [
        # Between fold and selvedge lie 80 mm; for 100 it must be twice 20 wider.
        (Cloth("shell", 180, folded=True), 220),
        # 160 mm lie between the selvedges; 200 are needed.
        (Cloth("shell", 180, folded=True, crosswise=True), 220),
    ],
)
def test_a_cloth_as_wide_as_the_refusal_says_will_do(cloth: Cloth, needed: float) -> None:
    across = 200 if cloth.crosswise else 100
    outline = [[0, 0], [300, 0], [300, across], [0, across]]
    items = read_items({"items": [{"id": "w", "polygon": outline}]})

    with pytest.raises(TooWide) as refused:
        plan_lay(items, cloth)

    assert refused.value.cloth_needed == pytest.approx(needed)
    wide = replace(cloth, width=refused.value.cloth_needed)
    assert verify(plan_lay(items, wide, seconds=0.1), items) == ()


def test_plan_lay_keeps_the_best_of_all_that_was_found() -> None:
    """Also of the bare engine's own layouts, each of which is told as it comes, and of the plain fill."""
    items = items_for(draft(), "shell", CLOTHS[0])
    problem = strip_problem(items, CLOTHS[0], CLOTHS[0].rotations)
    told: list[float] = []

    plan = plan_lay(items, CLOTHS[0], seconds=3.0, on_progress=lambda _, best: told.append(best))

    assert plan.length <= min(told)
    assert plan.length <= quick_fill(problem).length(problem)


@pytest.mark.parametrize(("seconds", "seed"), [(0.0, 0), (-1.0, 0), (float("nan"), 0), (1e9, 0), (1.0, -1)])
def test_plan_lay_refuses_a_time_or_seed_out_of_range(seconds: float, seed: int) -> None:
    with pytest.raises(BadCloth, match=r"seconds|seed"):
        plan_lay(items_for(draft(), "shell", CLOTHS[0]), CLOTHS[0], seconds=seconds, seed=seed)


def test_plan_lay_refuses_nothing() -> None:
    with pytest.raises(BadCloth, match="nothing is cut"):
        plan_lay([], CLOTHS[0])


def test_read_contract_reads_what_to_contract_writes() -> None:
    items = items_for(draft(), "shell", CLOTHS[3])
    plan = plan_lay(items, CLOTHS[3], seconds=0.5)

    again = LayPlan.read_contract(json.loads(json.dumps(plan.to_contract())))

    assert again.placed == plan.placed
    assert again.to_contract() == plan.to_contract()
    assert verify(again, items) == ()


def corners(size: float) -> st.SearchStrategy[list[tuple[float, float]]]:
    place = st.floats(5.0, size, allow_nan=False)
    return st.lists(st.tuples(place, place), min_size=3, max_size=9)


@settings(
    max_examples=25, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.filter_too_much]
)
@given(st.lists(corners(400.0), min_size=1, max_size=6), st.lists(st.integers(1, 3), min_size=6, max_size=6))
def test_plan_lay_is_true_for_any_polygons(
    clouds: list[list[tuple[float, float]]], counts: list[int]
) -> None:
    rows = []
    for number, cloud in enumerate(clouds):
        hull = MultiPoint(cloud).convex_hull
        bite = Polygon([(100, 100), (500, 120), (480, 260)])
        shape = hull.difference(bite) if number % 2 else hull
        if isinstance(shape, Polygon) and shape.area > 50:
            ring = [list(point) for point in shape.exterior.coords[:-1]]
            rows.append({"id": number, "demand": counts[number], "polygon": ring})
    if rows:
        items = read_items({"items": rows})
        assert_true_lay(plan_lay(items, Cloth("shell", 600), seconds=0.3), items)


flaw = st.builds(Flaw, st.floats(0, 1500), st.floats(0, 600), st.floats(1, 80))
stretch = st.builds(Stretch, st.floats(10, 1200), st.lists(flaw, max_size=3).map(tuple))


@settings(max_examples=30, deadline=None, derandomize=True)
@given(
    st.lists(st.tuples(st.floats(20, 500), st.floats(20, 400)), min_size=1, max_size=8),
    st.lists(stretch, max_size=3).map(tuple),
    st.sampled_from([0.0, 15.0, 70.0]),
    st.sampled_from([0.0, 40.0]),
)
def test_plan_lay_is_true_on_any_lengths_and_repeats(
    sizes: list[tuple[float, float]],
    lengths: tuple[Stretch, ...],
    repeat_length: float,
    repeat_width: float,
) -> None:
    """Every second box is pinned at its middle; what is left over goes on the roll."""
    cloth = Cloth("shell", 600, stretches=lengths, repeat_length=repeat_length, repeat_width=repeat_width)
    items = [
        LayItem(
            f"box {n}",
            1,
            ((0.0, 0.0), (length, 0.0), (length, width), (0.0, width)),
            pins=(Pin("middle", length / 2, width / 2, across=True),) if n % 2 else (),
        )
        for n, (length, width) in enumerate(sizes)
    ]

    plan = plan_lay(items, cloth, seconds=0.1)

    assert_true_lay(plan, items)
    assert sum(len(part.pieces) for part in plan.used) == len(items)
    boxes = [shapely.box(*taken) for taken in blocked(cloth)]
    shapes = [Polygon(placed.outline) for placed in plan.placed]
    assert max((a.intersection(b).area for a in boxes for b in shapes), default=0.0) <= 1e-6
