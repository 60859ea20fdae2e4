"""Check 3: where sewn edges continue one another, the joined line is smooth."""

from __future__ import annotations

from typing import Final

from drafting.pattern import Check, Continuation, Draft
from drafting.truing.corner import inner_angle_deg

SMOOTH_DEG: Final = 4.0


def continuation_checks(draft: Draft) -> list[Check]:
    """Return one row for each line that runs across a seam."""
    return [
        Check(f"line runs on: {line.name}", _kink_deg(draft, line), SMOOTH_DEG)
        for line in draft.continuations
    ]


def _kink_deg(draft: Draft, line: Continuation) -> float:
    """How far the angles of the corners are from their sum, degrees."""
    angles = (
        inner_angle_deg(draft.piece(corner.piece), corner.before, corner.after) for corner in line.corners
    )
    return abs(sum(angles) - line.total_deg)
