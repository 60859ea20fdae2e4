"""Where style lines and moved darts begin, and what the bust darts of a front take up together."""

from __future__ import annotations

from collections.abc import Sequence
from math import radians, sin

from drafting.blocks.sketch import Sketch, Stroke
from drafting.details.princess import Turn
from drafting.errors import BadChoice
from drafting.geometry import NEAR, Path, Point, angle_between, distance, dot, unit
from drafting.making import Making, Run
from drafting.operations.ring import Place
from drafting.pattern import Dart

_AWAY = (0.0, 0.08, -0.08, 0.16, -0.16, 0.24, -0.24, 0.32)  # of a line, from the wished place
_MOUTH = 20.0  # mm to either side of a place: where the cut line is folded with a dart
_SLANT = sin(radians(40.0))
_OFF_NOTCH, _OFF_END = 14.0, 3.0  # mm: how far a place keeps from a notch, and from the ends of an edge


def place_on(making: Making, line: Run, share: float, aim: Point | None = None) -> Place:
    """The place at a share of a line of one piece, kept off notches and the ends of its edges.

    A dart that opens there towards ``aim`` must not slant across the line: the nearest place is taken where
    it meets the line squarely enough. Raises: BadChoice where there is none.
    """
    if aim is None:
        return _at(making, line, share)
    for place in (_at(making, line, share + away) for away in _AWAY):
        if _squarely(making, line, place, aim):
            return place
    raise BadChoice(
        "there the bust dart would slant across its edge and could not be folded under it; choose another "
        "place for it",
        field="bust_dart",
    )


def _at(making: Making, line: Run, share: float) -> Place:
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


def _squarely(making: Making, line: Run, place: Place, aim: Point) -> bool:
    """Whether a dart's middle stays within 40 degrees of square to the line, on both sides of its mouth."""
    path = making.sketches[line[0].piece].path(place[0])
    towards = unit(aim - path.point_at(place[1]))
    around = (min(max(place[1] + by, 0.0), path.length) for by in (-_MOUTH, 0.0, _MOUTH))
    return all(abs(dot(path.tangent_at(at), towards)) <= _SLANT for at in around)


def bust_darts(sketch: Sketch) -> tuple[Dart, ...]:
    """The bust darts that are open at the side, from above downward."""
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


def reached(path: Path, height: float) -> float:
    """How far along a line that falls a height is reached, mm.

    Nothing where it starts below it, its whole length where it ends above.
    """
    low, high = 0.0, path.length
    if path.start.y <= height:
        return 0.0
    if path.end.y >= height:
        return path.length
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if path.point_at(middle).y > height else (low, middle)
    return low


def put_along(sketch: Sketch, edge: str, parts: Sequence[Stroke]) -> None:
    """Put the parts of a line in its place, whichever way round the ring runs."""
    at = sketch.strokes.index(sketch.stroke(edge))
    before = sketch.strokes[at - 1].path
    start = parts[0].path.start
    forward = min(distance(start, before.start), distance(start, before.end)) <= NEAR
    sketch.put(edge, *(parts if forward else parts[::-1]))
