"""Check 7: pleats take up exactly the cloth that is to spare, and do not overlap more than they may."""

from __future__ import annotations

from drafting.pattern import Check, Draft, PleatRun

WIDTH_LIMIT = 1.0  # mm


def pleat_checks(draft: Draft) -> list[Check]:
    """Return three rows for each run of pleats."""
    return [row for run in draft.pleats for row in _of_run(draft, run)]


def _of_run(draft: Draft, run: PleatRun) -> list[Check]:
    name = f"{run.piece}, {run.edge}"
    taken_up = run.finished_width + sum(run.underlays)
    edge = draft.piece(run.piece).edge(run.edge).length
    return [
        Check(f"pleats take up the cloth: {name}", abs(taken_up - run.cloth_width), WIDTH_LIMIT),
        Check(f"pleated edge is as wide as the cloth: {name}", abs(edge - run.cloth_width), WIDTH_LIMIT),
        Check(f"pleats overlap: {name}", run.greatest_overlap, run.overlap_limit),
    ]
