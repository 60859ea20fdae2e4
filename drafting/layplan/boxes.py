"""The lay that a hand makes without trying: every piece in its box, boxes side by side, row after row.

It is the last resort where everything else failed, and the measure of what packing saves.
"""

from __future__ import annotations

from math import ceil

from drafting.layplan.outline import extent
from drafting.layplan.strip import Layout, Position, StripProblem


def boxes_in_rows(problem: StripProblem) -> Layout:
    """Boxes across the strip in the order given, a new row where the next does not fit or needs the fold."""
    positions: list[Position] = []
    row_x = y = row_length = 0.0
    for part in problem.parts:
        length, width = extent(part.poses[0].outline)
        if positions and (part.on_fold or y + width > problem.width):
            row_x, y, row_length = _on_step(row_x + row_length + problem.gap, problem.step_x), 0.0, 0.0
        positions.append(Position(0, row_x, y))
        y = _on_step(y + width + problem.gap, problem.step_y)
        row_length = max(row_length, length)
    return Layout(tuple(positions))


def _on_step(value: float, step: float) -> float:
    return ceil(value / step - 1e-9) * step if step else value
