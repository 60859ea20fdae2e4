"""``python -m tests.benchmarks.bench_layplan``: one JSON line a benchmark, each with a ratio.

Lays of a small dress against boxes in rows (below 1 is shorter). The shells of all styles against boxes in
rows, which is how a length is estimated by hand; against the plain fill; and against the bare engine on open
cloth. Lays on a fold against fill and search alone. A blouse matched at its notches against each piece on the
lattice of the repeat. The ways of laying one cloth, the shortest against the plain fill of the fold and the
bare engine. Published instances at 5, 20 and 60 s against the published best density (1 is as good as 1200 s
on 16 cores) and against the bare engine in the same minutes; a line on standard error says so where they are
absent.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from time import perf_counter

from drafting import make_draft
from drafting.body import size_of
from drafting.errors import BadCloth
from drafting.layplan import Cloth, items_for, plan_lay, read_items, ways_of
from drafting.layplan.boxes import boxes_in_rows
from drafting.layplan.items import Pin
from drafting.layplan.packing import PackingProcess
from drafting.layplan.problem import strip_problem
from drafting.layplan.search import quick_fill
from drafting.layplan.strip import StripProblem
from drafting.pattern import Draft
from drafting.styles import STYLES
from tests.drafting.layplan.sample import draft

DATA = Path(__file__).resolve().parents[2] / ".." / "shared" / "data" / "nesting"
SECONDS = 5.0
BUDGETS = (5.0, 20.0, 60.0)
LONG_INSTANCES = ("shirts", "trousers", "swim", "marques")
STYLE_SECONDS = 3.0
SECONDS_BOUND = 10.0
WAYS_STYLES = ("notched-collar-dress", "shirt-blouse", "princess-dress", "party-dress")
CHECKS = Cloth("shell", 1500, repeat_length=80, repeat_width=60)
SIZE = "woman-92-168"
CLOTHS = {
    "open 1140": Cloth("shell", 1140),
    "one way 1500": Cloth("shell", 1500, one_way=True),
    "folded 1140": Cloth("shell", 1140, folded=True),
    "folded 1500": Cloth("shell", 1500, folded=True),
}


def dress(name: str, cloth: Cloth) -> dict[str, object]:
    items = items_for(draft(), "shell", cloth)
    problem = strip_problem(items, cloth, cloth.rotations)
    rows = boxes_in_rows(problem).length(problem)
    started = perf_counter()
    quick = quick_fill(problem).length(problem)
    quick_seconds = perf_counter() - started
    plan = plan_lay(items, cloth, seconds=SECONDS)
    return {
        "benchmark": f"lay of a dress, {name}",
        "ratio": round(plan.length / rows, 3),
        "quick_fill_ratio": round(quick / rows, 3),
        "quick_fill_seconds": round(quick_seconds, 3),
        "utilisation": round(plan.utilisation, 3),
        "seconds": round(plan.seconds, 2),
        "found_by": plan.found_by,
    }


def styles(width: float, folded: bool = False) -> dict[str, object]:
    """All styles' shells in one size: lengths added up over those that the cloth is wide enough for.

    ``ratio`` is of the sums, plan to boxes in rows; ``of_fill`` the worst plan to its plain fill;
    ``of_engine`` the sums against what the bare engine finds on the same cloth laid open in the same time.
    """
    body = size_of(SIZE).body()
    measured: list[tuple[float, float, float, float]] = []
    too_wide = []
    for style in STYLES:
        draft_ = make_draft(style, body)
        try:
            measured.append(shell_lengths(draft_, Cloth("shell", width, folded=folded)))
        except BadCloth:
            too_wide.append(style)
    plan, rows, engine = (sum(row[n] for row in measured) for n in (0, 1, 3))
    each = [row[0] / row[1] for row in measured]
    return {
        "benchmark": f"shells of {len(measured)} styles, {'folded' if folded else 'open'} {width:.0f}",
        "ratio": round(plan / rows, 3),
        "saved": round(1 - plan / rows, 3),
        "best_style": round(min(each), 3),
        "worst_style": round(max(each), 3),
        "of_fill": round(max(row[0] / row[2] for row in measured), 4),
        "of_engine": round(plan / engine, 3),
        "seconds_a_lay": STYLE_SECONDS,
        "too_wide": too_wide,
    }


def shell_lengths(draft_: Draft, cloth: Cloth) -> tuple[float, float, float, float]:
    """Lengths, mm: the plan; boxes in rows; the plain fill; the bare engine on the cloth laid open."""
    items = items_for(draft_, "shell", cloth)
    problem = strip_problem(items, cloth, cloth.rotations)
    plan = plan_lay(items, cloth, seconds=STYLE_SECONDS)
    spread = replace(cloth, folded=False)
    bare = bare_engine(strip_problem(items_for(draft_, "shell", spread), spread, spread.rotations))
    fill = quick_fill(problem).length(problem)
    return plan.length, boxes_in_rows(problem).length(problem), fill, bare


def bare_engine(problem: StripProblem, seconds: float = STYLE_SECONDS) -> float:
    """The shortest length that the engine reports by itself, mm; it counts whole seconds."""
    return alone("engine alone", problem, seconds, grace=10.0)


def alone(packer: str, problem: StripProblem, seconds: float, *, seed: int = 0, grace: float = 0.0) -> float:
    """The shortest length that a packer reports by itself until it ends or is stopped, mm."""
    with PackingProcess(packer, problem, seconds=seconds, seed=seed) as process:
        process.wait(seconds + grace)
        return min(layout.length(problem) for layout in list(process.layouts))


def bound() -> dict[str, object]:
    """Lays on a fold, all styles at 1140: the plan against two fills searched side by side as long."""
    body = size_of(SIZE).body()
    cloth = Cloth("shell", 1140.0, folded=True)
    measured: list[tuple[float, float]] = []
    for style in STYLES:
        try:
            items = items_for(make_draft(style, body), "shell", cloth)
            problem = strip_problem(items, cloth, cloth.rotations)
        except BadCloth:
            continue
        if not problem.is_free:
            plan = plan_lay(items, cloth, seconds=SECONDS_BOUND)
            measured.append((plan.length, searched(problem)))
    return {
        "benchmark": f"lays of {len(measured)} styles on a fold, 1140, against fill and search",
        "ratio": round(sum(plan for plan, _ in measured) / sum(search for _, search in measured), 3),
        "best_style": round(min(plan / search for plan, search in measured), 3),
        "worst_style": round(max(plan / search for plan, search in measured), 3),
        "seconds_a_lay": SECONDS_BOUND,
    }


def searched(problem: StripProblem) -> float:
    """The shortest that two fills find, searched side by side, mm."""
    with ThreadPoolExecutor(2) as pool:
        return min(pool.map(lambda seed: alone("search", problem, SECONDS_BOUND, seed=seed), (0, 1)))


def matching() -> dict[str, object]:
    """A blouse on a check: matched at its notches, and with the corner of each piece on the lattice."""
    blouse = make_draft("shirt-blouse", size_of(SIZE).body())
    matched = items_for(blouse, "shell", CHECKS)
    corner = (Pin("lattice", 0.0, 0.0, across=True),)
    lattice = [replace(item, pins=corner) for item in matched]
    plain = [replace(item, pins=()) for item in matched]
    lengths = [plan_lay(items, CHECKS, seconds=SECONDS).length for items in (matched, lattice, plain)]
    return {
        "benchmark": "blouse on a check of 80 by 60, matched at notches",
        "ratio": round(lengths[0] / lengths[1], 3),
        "of_unmatched": round(lengths[0] / lengths[2], 3),
        "lengths": [round(length) for length in lengths],
    }


def ways(style: str) -> dict[str, object]:
    """Every way of one cloth; the shortest is offered. ``ratio``: to the better of fill and bare engine."""
    draft_ = make_draft(style, size_of(SIZE).body())
    laid = ways_of([draft_], "shell", Cloth("shell", 1500))
    taken = {
        way.value: plan_lay(items_for(draft_, "shell", cloth), cloth, seconds=SECONDS).cloth_length
        for way, cloth in laid.items()
    }
    open_, folded = (
        strip_problem(items_for(draft_, "shell", cloth), cloth, cloth.rotations)
        for cloth in (Cloth("shell", 1500), Cloth("shell", 1500, folded=True))
    )
    other = min(quick_fill(folded).length(folded), bare_engine(open_, SECONDS))
    return {
        "benchmark": f"ways to lay {style}, 1500",
        "ratio": round(min(taken.values()) / other, 3),
        "lengths": {way: round(length) for way, length in taken.items()},
        "fill_or_bare_engine": round(other),
    }


def instance(name: str, best: float, seconds: float) -> dict[str, object]:
    data = json.loads((DATA / f"{name}.json").read_text())
    rotations = tuple(data["allowed_rotations_deg"])
    cloth = Cloth("strip", data["strip_width"], selvedge=0, gap=0)
    items = read_items(data)
    bare = bare_engine(strip_problem(items, cloth, rotations), seconds)
    plan = plan_lay(items, cloth, seconds=seconds, rotations=rotations)
    density = 100 * plan.utilisation
    return {
        "benchmark": f"published instance {name}, {seconds:.0f} s",
        "ratio": round(density / best, 3),
        "points_below_best": round(best - density, 2),
        "density": round(density, 2),
        "published_best": round(best, 2),
        "of_bare_engine": round(bare / plan.length, 4),
        "found_by": plan.found_by,
    }


def instances() -> Iterator[dict[str, object]]:
    published = DATA / "published.json"
    if not published.exists():
        print(
            "published instances are left out: a fresh clone has no ../shared/data/nesting", file=sys.stderr
        )
        return
    bests = json.loads(published.read_text())["density"]
    for name in sorted(bests, key=lambda name: name not in LONG_INSTANCES):
        for seconds in BUDGETS if name in LONG_INSTANCES else BUDGETS[:1]:
            yield instance(name, bests[name]["best"], seconds)


def main() -> None:
    for name, cloth in CLOTHS.items():
        print(json.dumps(dress(name, cloth)), flush=True)
    for width, folded in ((1140.0, False), (1500.0, False), (1500.0, True)):
        print(json.dumps(styles(width, folded)), flush=True)
    print(json.dumps(bound()), flush=True)
    print(json.dumps(matching()), flush=True)
    for style in WAYS_STYLES:
        print(json.dumps(ways(style)), flush=True)
    for result in instances():
        print(json.dumps(result), flush=True)


if __name__ == "__main__":
    main()
