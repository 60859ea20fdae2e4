"""Check 10: what was drawn was drawn for a human body, and is of a size that one can wear.

A body that cannot be drafted is refused before it comes here; these rows say that nothing slipped through.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from drafting.body import CATALOGUE, Body
from drafting.geometry import distance
from drafting.pattern import Check, Draft, Piece

WIDEST: Final = 4.0
"""Times the greater of stature and hip girth that a piece may reach (common practice, no source)."""


def body_checks(draft: Draft) -> list[Check]:
    """Return one row for the body, one for the size of the pieces, one for what each needs to be cut."""
    lacking = [f"{piece.name}: {what}" for piece in draft.pieces for what in _lacks(piece)]
    unusable = _unusable(draft.body)
    reach = max((_extent(piece) for piece in draft.pieces), default=math.inf)
    largest = WIDEST * max(draft.body["stature"], draft.body["hip_girth"])
    return [
        Check("body: measurements out of every human range", len(unusable), 0, ", ".join(unusable)),
        Check("size of the largest piece", reach, largest),
        Check("pieces that cannot be cut as drawn", len(lacking), 0, "; ".join(lacking)),
    ]


def _unusable(body: Body) -> list[str]:
    return [name for name, row in CATALOGUE.items() if not row.low_mm <= body[name] <= row.high_mm]


def _extent(piece: Piece) -> float:
    """The longer side of the box around a piece, mm."""
    rows = piece.ring
    return float(np.ptp(rows, axis=0).max()) if np.isfinite(rows).all() else math.inf


def _lacks(piece: Piece) -> list[str]:
    lacking = []
    if not any(cut.count > 0 for cut in piece.cuts):
        lacking.append("is not cut of any cloth")
    if not distance(*piece.grain) > 10:
        lacking.append("has no grain line")
    if any(not 0 <= edge.allowance <= 200 for edge in piece.edges):
        lacking.append("has an allowance out of 0 to 200 mm")
    if any(not 0 <= notch.at <= piece.edge(notch.edge).length + 1e-6 for notch in piece.notches):
        lacking.append("has a notch beyond its edge")
    return lacking
