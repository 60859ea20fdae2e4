"""What is marked where a wearer's two sides differ: both are cut alike, then one is sewn along the mark."""

from __future__ import annotations

from drafting.blocks.sketch import Sketch
from drafting.geometry import Path, Point
from drafting.making import Making, Phase
from drafting.pattern import MarkKind


def mark_fit(making: Making) -> None:
    """Mark an uneven shoulder on front and back, an uneven hip on the skirt, and say which side is meant."""
    lower = making.body.fit_note("left_shoulder_lower")
    if lower:
        side = "left" if lower > 0 else "right"
        for role in ("front", "back"):
            if f"{role} shoulder" in making.lines:
                _mark_shoulder(making, role, side, abs(lower))
        making.note(
            Phase.SHOULDERS,
            f"The {side} shoulder is {abs(lower):.0f} mm lower: on that side sew the shoulder seam along the "
            "mark.",
        )
    higher = making.body.fit_note("left_hip_higher")
    if higher:
        side = "left" if higher > 0 else "right"
        making.note(
            Phase.WAIST,
            f"The {side} hip is {abs(higher):.0f} mm higher: on that side let the skirt's waist seam rise by "
            "as much at the side, to nothing at the centre, and level the hem on the wearer.",
        )


def _mark_shoulder(making: Making, role: str, side: str, by: float) -> None:
    step = making.lines[f"{role} shoulder"][-1]
    sketch: Sketch = making.sketches[step.piece]
    line = sketch.path(step.edge)
    sketch.mark(
        f"{side} shoulder",
        MarkKind.GUIDE,
        Path.line(line.start, Point(line.end.x, line.end.y - by)),
    )
