"""How long a dress takes to draft: JSON lines.

1. ``make_draft``: 500 bodies and choices of every size, limits included; ``ratio`` is the whole (recipe, cut
   lines, notches, every truing check) against the recipe alone, over the same cases. A case that is neither
   right nor refused ends the run.
2. ``draft_command``: one body as ``manage.py draft`` does it, from file to file, without Django's start;
   ``ratio`` is that against ``make_draft`` for the same body.

Run: python -m tests.benchmarks.bench_drafting
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import process_time

from drafting import make_draft
from drafting.body import Body
from drafting.errors import DraftingError
from drafting.house import house_rules
from drafting.pattern import Draft
from drafting.styles import STYLES, read_choices
from tests.drafting.styles.wearers import NAME, Case, random_cases

BODIES = 500
BODY = {"bust_girth": 890.0, "waist_girth": 700.0, "hip_girth": 960.0, "stature": 1650.0}


def whole(case: Case) -> Draft:
    return make_draft(NAME, Body.of(case.measurements), case.choices, case.house)


def recipe_alone(case: Case) -> Draft:
    return STYLES[NAME].recipe(
        Body.of(case.measurements), read_choices(NAME, case.choices), house_rules(case.house)
    )


def timed(work: Callable[[Case], Draft], case: Case) -> tuple[float, Draft | None]:
    """Seconds of this process, and the draft; None where it was refused."""
    start = process_time()
    try:
        made = work(case)
    except DraftingError:
        return process_time() - start, None
    return process_time() - start, made


def bench_bodies() -> None:
    times, alone = [], []
    refused = 0
    whole(Case(BODY, {}, {}))  # the first call loads the engine
    for case in random_cases(BODIES, seed=1):
        seconds, draft = timed(whole, case)
        if draft is None:
            refused += 1
            continue
        failed = [check.name for check in draft.checks if not check.ok]
        if failed:
            sys.exit(f"{case}: {failed}")
        times.append(seconds)
        alone.append(timed(recipe_alone, case)[0])
    report(
        "make_draft",
        bodies=BODIES,
        drawn=len(times),
        refused=refused,
        median_ms=round(1000 * median(times), 1),
        slowest_ms=round(1000 * max(times), 1),
        recipe_ms=round(1000 * median(alone), 1),
        ratio=round(sum(times) / sum(alone), 2),
    )


def bench_command() -> None:
    """One body, from its file to the draft's file."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "workshop.settings")
    import django

    django.setup()
    from django.core.management import call_command

    with TemporaryDirectory() as folder:
        body = Path(folder) / "body.json"
        body.write_text(json.dumps({"unit": "mm", "measurements": BODY}))

        def command() -> float:
            start = process_time()
            call_command("draft", NAME, "--body", str(body), "--out", f"{folder}/out", "--as", "json")
            return process_time() - start

        with redirect_stdout(StringIO()):
            command()  # the first call loads what the command needs
            seconds = min(command() for _ in range(5))
    drafted = min(timed(whole, Case(BODY, {}, {}))[0] for _ in range(5))
    report("draft_command", ms=round(1000 * seconds, 1), ratio=round(seconds / drafted, 2))


def report(name: str, **values: float) -> None:
    print(json.dumps({"bench": name, **values}))


def main() -> None:
    bench_bodies()
    bench_command()


if __name__ == "__main__":
    main()
