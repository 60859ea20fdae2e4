"""The lay that a hand makes without trying: every piece in its box, boxes side by side, row after row.

It is the last resort where everything else failed, and the measure of what packing saves.
"""

from __future__ import annotations

from math import ceil

from drafting.layplan.outline import extent
from drafting.layplan.strip import Layout, Position, StripProblem, Tie

#: A box may stand out beyond the strip by this much, mm: the last bits of a float.
FITS = 1e-7


def boxes_in_rows(problem: StripProblem) -> Layout:
    """Boxes across the strip in the order given, a new row where the next does not fit or needs the fold.

    Rows begin behind all that is blocked. The lattice of every tied group begins at 0.
    """
    positions: list[Position] = []
    row_x = max((box.x1 + problem.gap for box in problem.blocked), default=0.0)
    y, row_end = 0.0, row_x
    for part in problem.parts:
        length, width = extent(part.poses[0].outline)
        at_y = _on_lattice(max(y, part.low), part.tie_y, problem.step_y)
        if positions and (part.on_fold or at_y + width > min(problem.width, part.high) + FITS):
            row_x, at_y = row_end + problem.gap, _on_lattice(part.low, part.tie_y, problem.step_y)
        x = _on_lattice(row_x, part.tie_x, problem.step_x)
        positions.append(Position(0, x, at_y))
        y, row_end = at_y + width + problem.gap, max(row_end, x + length)
    return Layout(tuple(positions))


def _on_lattice(value: float, tie: Tie | None, step: float) -> float:
    return tie.offset + ceil((value - tie.offset) / step - 1e-9) * step if tie and step else value
