"""The ten checks of a draft, each with its measured value and its limit.

1 outlines, 2 seams and notches, 3 lines that run on, 4 girths, 5 collars, 6 sleeves, 7 pleats, 8 facings,
linings and darts, 9 cut lines, 10 the body and the size of what was drawn. The names of the rows begin with
the subject (``seam: shoulder``), so that a failing row says where to look.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Final

from drafting.pattern import Check, Draft
from drafting.truing.bodies import body_checks
from drafting.truing.collars import collar_checks
from drafting.truing.continuations import continuation_checks
from drafting.truing.cut_lines import cut_line_checks
from drafting.truing.girths import girth_checks
from drafting.truing.joined import facing_and_dart_checks
from drafting.truing.outlines import outline_checks
from drafting.truing.pleats import pleat_checks
from drafting.truing.seams import seam_checks
from drafting.truing.sleeves import sleeve_checks

__all__ = ["TEN", "check"]

TEN: Final[tuple[Callable[[Draft], list[Check]], ...]] = (
    outline_checks,
    seam_checks,
    continuation_checks,
    girth_checks,
    collar_checks,
    sleeve_checks,
    pleat_checks,
    facing_and_dart_checks,
    cut_line_checks,
    body_checks,
)

_BEYOND: Final = 1e9  # stands for a value that could not be measured; it fails every limit


def check(draft: Draft) -> tuple[Check, ...]:
    """Return every row of the ten checks, in their order; a value that is not finite is given as 1e9."""
    return tuple(_finite(row) for checks in TEN for row in checks(draft))


def _finite(row: Check) -> Check:
    if math.isfinite(row.value):
        return row
    return Check(row.name, _BEYOND, row.limit, row.remark or "could not be measured")
