"""Where style lines and moved darts begin, and what the bust darts of a front take up together."""

from __future__ import annotations

from collections.abc import Sequence

from drafting.blocks.sketch import Sketch
from drafting.details.princess import Turn
from drafting.geometry import angle_between
from drafting.making import Making, Run
from drafting.operations.ring import Place
from drafting.pattern import Dart

_OFF_NOTCH, _OFF_END = 14.0, 3.0  # mm: how far a place keeps from a notch, and from the ends of an edge


def place_on(making: Making, line: Run, share: float) -> Place:
    """The place at a share of a line of one piece, kept off notches and the ends of its edges."""
    lengths = [making.run_length((step,)) for step in line]
    at = share * sum(lengths)
    for step, length in zip(line, lengths, strict=True):
        if at <= length or step is line[-1]:
            break
        at -= length
    sketch = making.sketches[line[0].piece]
    for edge, notch, _ in sketch.notches:
        if edge == step.edge and abs(at - notch) < _OFF_NOTCH:
            at = notch - _OFF_NOTCH if at <= notch and notch > 2 * _OFF_NOTCH else notch + _OFF_NOTCH
    return step.edge, min(max(at, _OFF_END), length - _OFF_END)


def bust_darts(sketch: Sketch) -> tuple[Dart, ...]:
    return tuple(dart for dart in sketch.darts if dart.leg_edges and dart.name.startswith("bust dart"))


def bust_turn(darts: Sequence[Dart]) -> Turn | None:
    """What the bust darts take up together; the first one's point is that of all."""
    if not darts:
        return None
    about = darts[0].apex
    angle = sum(angle_between(dart.start - about, dart.end - about) for dart in darts)
    return Turn(about, angle)


def first_waist_dart(sketch: Sketch) -> Dart | None:
    """The waist dart next to the centre that is open at the outline."""
    return next((d for d in sketch.darts if d.leg_edges and d.name.startswith("waist dart")), None)


def lower_line(making: Making, side: str) -> str:
    """The role of the lower edge: "waist" or "hem"."""
    return "waist" if f"{side} waist" in making.lines else "hem"
