"""How long any style takes to draft: JSON lines, milliseconds of this process on one core.

1. ``make_draft``, one line a style and one for all: 500 bodies and choices of every size over all styles,
   limits included; ``ratio`` is the whole (recipe, cut lines, notches, every truing check) against the recipe
   alone, over the same cases. A case that is neither right nor refused ends the run.
2. ``pieces``: how the time grows with the number of pieces, by least squares over the same drafts; ``ratio``
   is the share of the time that grows with them.
3. ``draft_command``: one body as ``manage.py draft`` does it, from file to file, without Django's start;
   ``ratio`` is that against ``make_draft`` for the same body.

Run: python -m tests.benchmarks.bench_drafting [BODIES], at least ten a style.
"""

from __future__ import annotations

import gc
import json
import os
import sys
from collections.abc import Callable
from contextlib import redirect_stdout
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from statistics import linear_regression, mean, median
from tempfile import TemporaryDirectory
from time import process_time

from drafting.body import Body
from drafting.errors import DraftingError
from drafting.house import house_rules
from drafting.pattern import Draft
from drafting.styles import STYLES, read_choices
from tests.drafting.styles.wearers import NAME, Case, random_cases

BODIES = 500
BODY = {"bust_girth": 890.0, "waist_girth": 700.0, "hip_girth": 960.0, "stature": 1650.0}


@dataclass(frozen=True)
class Drawn:
    """What one draft took, seconds, and how many pieces it has."""

    whole: float
    recipe: float
    pieces: int


def recipe_alone(case: Case) -> Draft:
    body = Body.of(case.measurements, fit=case.fit)
    return STYLES[case.style].recipe(body, read_choices(case.style, case.choices), house_rules(case.house))


def timed(work: Callable[[Case], Draft], case: Case) -> tuple[float, Draft | None]:
    """Seconds of this process, and the draft; None where it was refused."""
    start = process_time()
    try:
        made = work(case)
    except DraftingError:
        return process_time() - start, None
    return process_time() - start, made


def drawn_of(style: str, bodies: int) -> list[Drawn]:
    """The style drafted for that many bodies, without refusals. Raises: SystemExit where one is wrong."""
    found = []
    for case in random_cases(bodies, seed=1, style=style):
        seconds, draft = timed(Case.draft, case)
        if draft is None:
            continue
        failed = [check.name for check in draft.checks if not check.ok]
        if failed:
            sys.exit(f"{case}: {failed}")
        found.append(Drawn(seconds, timed(recipe_alone, case)[0], len(draft.pieces)))
    return found


def bench_bodies(bodies: int) -> list[Drawn]:
    """Every style, then all together; returns what was drawn."""
    Case(BODY, {}, {}).draft()  # the first call loads the engine
    gc.freeze()  # what is loaded by now is no draft's garbage: no collection in a draft's time walks it
    every: list[Drawn] = []
    asked = 0
    for number, style in enumerate(STYLES):
        # So many each that all together are as many as were asked.
        count = (number + 1) * bodies // len(STYLES) - asked
        asked += count
        drawn = drawn_of(style, count)
        report_drawn(style, count, drawn)
        every += drawn
    report_drawn("all styles", asked, every)
    return every


def report_drawn(style: str, bodies: int, drawn: list[Drawn]) -> None:
    times = [one.whole for one in drawn]
    report(
        "make_draft",
        style=style,
        bodies=bodies,
        drawn=len(drawn),
        refused=bodies - len(drawn),
        median_ms=round(1000 * median(times), 1),
        slowest_ms=round(1000 * max(times), 1),
        recipe_ms=round(1000 * median(one.recipe for one in drawn), 1),
        ratio=round(sum(times) / sum(one.recipe for one in drawn), 2),
    )


def bench_pieces(drawn: list[Drawn]) -> None:
    """The straight line through time over pieces."""
    pieces, times = [one.pieces for one in drawn], [1000 * one.whole for one in drawn]
    slope, start = linear_regression(pieces, times)
    report(
        "pieces",
        drafts=len(drawn),
        fewest=min(pieces),
        most=max(pieces),
        ms_a_piece=round(slope, 2),
        ms_without=round(start, 2),
        ratio=round(slope * mean(pieces) / mean(times), 2),
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
    drafted = min(timed(Case.draft, Case(BODY, {}, {}))[0] for _ in range(5))
    report("draft_command", ms=round(1000 * seconds, 1), ratio=round(seconds / drafted, 2))


def report(name: str, **values: float | str) -> None:
    print(json.dumps({"bench": name, **values}))


def main() -> None:
    bodies = int(sys.argv[1]) if len(sys.argv) > 1 else BODIES
    bench_pieces(bench_bodies(max(bodies, 10 * len(STYLES))))
    bench_command()


if __name__ == "__main__":
    main()
