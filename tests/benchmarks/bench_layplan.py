"""``python -m tests.benchmarks.bench_layplan``: one JSON line a benchmark, each with a ratio.

Lays of a small dress against boxes in rows (below 1 is shorter). The shells of all styles against boxes in
rows, which is how a length is estimated by hand; against the plain fill; and against the bare engine on open
cloth. Published instances against the published best density (1 is as good as 1200 s on 16 cores; left out
where the instances are absent).
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from time import perf_counter

from drafting import make_draft
from drafting.body import size_of
from drafting.errors import BadCloth
from drafting.layplan import Cloth, items_for, plan_lay, read_items
from drafting.layplan.boxes import boxes_in_rows
from drafting.layplan.problem import strip_problem
from drafting.layplan.runner import PackingProcess
from drafting.layplan.search import quick_fill
from drafting.layplan.strip import StripProblem
from drafting.pattern import Draft
from drafting.styles import STYLES
from tests.drafting.layplan.sample import draft

DATA = Path(__file__).resolve().parents[2] / ".." / "shared" / "data" / "nesting"
SECONDS = 5.0
STYLE_SECONDS = 3.0
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


def bare_engine(problem: StripProblem) -> float:
    """The shortest length that the engine reports by itself, mm."""
    with PackingProcess("engine", problem, seconds=STYLE_SECONDS, seed=0) as process:
        process.wait(STYLE_SECONDS + 10)
        return min(layout.length(problem) for layout in process.layouts)


def instance(name: str, best: float) -> dict[str, object]:
    data = json.loads((DATA / f"{name}.json").read_text())
    rotations = tuple(data["allowed_rotations_deg"])
    cloth = Cloth("strip", data["strip_width"], selvedge=0, gap=0)
    plan = plan_lay(read_items(data), cloth, seconds=SECONDS, rotations=rotations)
    density = 100 * plan.utilisation
    return {
        "benchmark": f"published instance {name}",
        "ratio": round(density / best, 3),
        "density": round(density, 2),
        "published_best": best,
        "seconds": round(plan.seconds, 2),
        "found_by": plan.found_by,
    }


def main() -> None:
    for name, cloth in CLOTHS.items():
        print(json.dumps(dress(name, cloth)), flush=True)
    for width, folded in ((1140.0, False), (1500.0, False), (1500.0, True)):
        print(json.dumps(styles(width, folded)), flush=True)
    published = DATA / "published.json"
    if not published.exists():
        return
    bests = json.loads(published.read_text())["density"]
    for name in ("albano", "shapes0", "marques", "trousers"):
        print(json.dumps(instance(name, bests[name]["best"])), flush=True)


if __name__ == "__main__":
    main()
