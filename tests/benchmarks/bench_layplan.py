"""``python -m tests.benchmarks.bench_layplan``: one JSON line a benchmark, each with a ratio.

Lays of a small dress against boxes in rows (below 1 is shorter); published instances against the published
best density (1 is as good as 1200 s on 16 cores; left out where the instances are absent).
"""

from __future__ import annotations

import json
from pathlib import Path
from time import perf_counter

from drafting.layplan import Cloth, items_for, plan_lay, read_items
from drafting.layplan.boxes import boxes_in_rows
from drafting.layplan.problem import strip_problem
from drafting.layplan.search import quick_fill
from tests.drafting.layplan.sample import draft

DATA = Path(__file__).resolve().parents[2] / ".." / "shared" / "data" / "nesting"
SECONDS = 5.0
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
    published = DATA / "published.json"
    if not published.exists():
        return
    bests = json.loads(published.read_text())["density"]
    for name in ("albano", "shapes0", "marques", "trousers"):
        print(json.dumps(instance(name, bests[name]["best"])), flush=True)


if __name__ == "__main__":
    main()
