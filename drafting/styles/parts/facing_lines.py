"""What facings are drawn from: necklines, shoulders, widths, and edges parted where a facing ends."""

from __future__ import annotations

from dataclasses import replace

from drafting.blocks.sketch import Stroke
from drafting.details.neck_facings import Allowances, faced_shoulder
from drafting.geometry import Path, distance
from drafting.making import Making, Step, run
from drafting.styles.parts.armholes import child_share

_MEETS = 1e-6  # mm


def allowances(making: Making) -> Allowances:
    """Of a facing's edges, by the house."""
    house = making.house
    return Allowances(house["seam_allowance"], house["enclosed_allowance"], house["enclosed_allowance"])


def neck_and_shoulder(making: Making, side: str) -> tuple[Path, Path]:
    """The neckline as one path, and the first edge of the shoulder: a facing ends within it."""
    first = making.lines[f"{side} shoulder"][0]
    return making.run_path(f"{side} neck"), making.sketches[first.piece].path(first.edge)


def facing_widths(making: Making) -> tuple[float, float]:
    """Of the facings at the centre and on the shoulder, mm; alike on front and back."""
    width = making.house["facing_width"] * child_share(making)
    shoulders = [neck_and_shoulder(making, side)[1] for side in ("front", "back")]
    return width, min(faced_shoulder(shoulder, width) for shoulder in shoulders)


def part_edge(making: Making, step: Step, at: float, names: tuple[str, str]) -> Stroke:
    """Split an edge ``at`` mm from its start, and call its two parts so. Returns the first part."""
    sketch = making.sketches[step.piece]
    stroke = sketch.stroke(step.edge)
    head, tail = stroke.path.split_at(at)
    first, rest = (replace(stroke, name=n, path=p) for n, p in zip(names, (head, tail), strict=True))
    before = sketch.strokes[sketch.strokes.index(stroke) - 1].path
    from_start = min(distance(end, head.start) for end in (before.start, before.end)) <= _MEETS
    sketch.put(step.edge, *((first, rest) if from_start else (rest, first)))
    making.renamed(step, run(step.piece, *names))
    return first
