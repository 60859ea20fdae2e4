"""What is marked where a wearer's two sides differ: both are cut alike, then one is trimmed along the marks.

Pieces stay halves, one for both sides: the cloth is cut double by the fuller side, and the other side is
trimmed to its marks on one layer, as is usual at the cutting table (common practice, no source).
"""

from __future__ import annotations

from drafting.geometry import Path, Point
from drafting.making import Making, Phase
from drafting.pattern import MarkKind

_OVER_THE_HIP = (
    "The {side} hip is {by:.0f} mm higher: on that side cut {by:.0f} mm more above the skirt's waist at the "
    "side seam, front and back, to nothing at the centre, so that the waist seam rises there, and level the "
    "hem on the wearer."
)
_PAST_THE_HIP = (
    "The {side} hip is {by:.0f} mm higher, and this garment has no waist seam to rise there: at the fitting "
    "pin out at that side's waist what the hip pushes up, and level the hem on the wearer."
)


def mark_fit(making: Making) -> None:
    """Mark an uneven shoulder on front and back, and say which side is meant, there and at an uneven hip."""
    lower = making.body.fit_note("left_shoulder_lower")
    if lower and "front shoulder" in making.lines:
        side = "left" if lower > 0 else "right"
        for role in ("front", "back"):
            _mark_shoulder(making, role, side, abs(lower))
            _mark_armhole(making, role, side, abs(lower))
        making.note(
            Phase.SHOULDERS,
            f"The {side} shoulder is {abs(lower):.0f} mm lower: trim that side of front and back to "
            "the marked shoulder and armhole with their allowances. The armhole keeps its length, so that "
            "sleeve, facing or binding is the same for both sides.",
        )
    higher = making.body.fit_note("left_hip_higher")
    if higher:
        side = "left" if higher > 0 else "right"
        told = _OVER_THE_HIP if "front waist" in making.lines else _PAST_THE_HIP
        making.note(Phase.WAIST, told.format(side=side, by=abs(higher)))


def _mark_shoulder(making: Making, role: str, side: str, by: float) -> None:
    """The shoulder lowered by nothing at the neck and by all at its end, on each piece that it crosses."""
    whole, walked = making.run_length(making.lines[f"{role} shoulder"]), 0.0
    for step in making.lines[f"{role} shoulder"]:
        sketch = making.sketches[step.piece]
        path = sketch.path(step.edge)
        ends = ((path.start, walked), (path.end, walked := walked + path.length))
        lowered = [Point(point.x, point.y - by * at / whole) for point, at in ends]
        sketch.mark(f"{side} shoulder", MarkKind.GUIDE, Path.line(*lowered))


def _mark_armhole(making: Making, role: str, side: str, by: float) -> None:
    """The armhole lowered as a whole."""
    for step in making.lines[f"{role} armhole"]:
        sketch = making.sketches[step.piece]
        sketch.mark(f"{side} armhole", MarkKind.GUIDE, sketch.path(step.edge).translated(0.0, -by))
