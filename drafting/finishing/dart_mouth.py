"""The cut line across the mouth of a dart that is open at the outline: its roof.

Once the dart is sewn and pressed to one side, its take-up lies upon that side, and must end where that side's
cut line ends. So the roof is that cut line, mirrored over the leg as far as the dart's middle, and mirrored
there once more (plane geometry of the fold).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drafting.finishing.polyline import (
    Polyline,
    first_meeting,
    lengthened,
    meeting,
    mirrored_line,
    without_loops,
)
from drafting.geometry import Point, cross, distance, unit


@dataclass(frozen=True, slots=True)
class Mouth:
    """A dart as met along the outline: into it at ``start``, to the ``apex``, out at ``end``."""

    start: Point
    apex: Point
    end: Point

    def turned(self) -> Mouth:
        """The same dart, met the other way round."""
        return Mouth(self.end, self.apex, self.start)


@dataclass(frozen=True, slots=True)
class Roof:
    """The neighbours' cut lines trimmed at the legs, and the roof between them."""

    before: Polyline
    between: Polyline
    after: Polyline

    def turned(self) -> Roof:
        """The same roof, met the other way round."""
        return Roof(self.after[::-1], self.between[::-1], self.before[::-1])


def pressed_to_start(mouth: Mouth, centre: Point) -> bool:
    """Whether the take-up is pressed towards the leg at ``start`` (common practice, no source).

    A dart that runs up or down is pressed to the centre of the garment, one that runs across downward.
    """
    along = mouth.apex - (mouth.start + mouth.end) * 0.5
    if abs(along.x) > abs(along.y):
        return mouth.start.y <= mouth.end.y
    return distance(mouth.start, centre) <= distance(mouth.end, centre)


def roof(
    mouth: Mouth, before: Polyline, after: Polyline, *, to_start: bool, beyond: Sequence[Point] = ()
) -> Roof | None:
    """Return the roof between two cut lines; None where they do not reach the dart's legs.

    ``beyond``: what the cut line on the side that the take-up is pressed to runs on with, away from the dart.
    A take-up wider than that side lies upon it; a next dart's roof repeats there what will be sewn on.
    """
    if not to_start:
        turned = roof(mouth.turned(), after[::-1], before[::-1], to_start=True, beyond=beyond)
        return None if turned is None else turned.turned()
    reach = distance(mouth.start, mouth.apex) + distance(mouth.start, mouth.end)
    near, far = _at_leg(before, mouth.start, mouth.apex), _at_leg(after[::-1], mouth.end, mouth.apex)
    if near is None or far is None:
        return None
    middle = unit(mouth.start - mouth.apex) + unit(mouth.end - mouth.apex)
    ridge = [mouth.apex, mouth.apex + middle * (2 * reach)]
    side = without_loops([*near[::-1], *beyond])
    flap = lengthened(mirrored_line(side, mouth.apex, mouth.start), reach)
    top = meeting(_as_far_as(ridge, flap), ridge, near[-1], 2 * reach)
    if top is None:
        return None
    rising = top.head(flap)
    falling = mirrored_line(rising[-2::-1], ridge[0], ridge[1])
    return Roof(near, [*rising[1:], *falling], far[::-1])


def _as_far_as(ridge: Polyline, flap: Polyline) -> Polyline:
    """The flap up to its first point beyond the ridge: where another roof is part of it, it may come back."""
    apex, along = ridge[0], ridge[1] - ridge[0]
    here = cross(along, flap[0] - apex)
    beyond = (k for k, point in enumerate(flap) if cross(along, point - apex) * here < 0)
    return flap[: next(beyond, len(flap)) + 1]


def _at_leg(arriving: Polyline, mouth: Point, apex: Point) -> Polyline | None:
    """A neighbour's cut line, run on or trimmed to the line of the leg.

    Beside a tight bend it may turn back over that line and cross it again: what is beyond it is the dart's.
    """
    if len(arriving) < 2:
        return None
    # A short dart's allowance may be wider than the dart is long.
    reach = max(distance(mouth, apex), 2 * distance(mouth, arriving[-1]))
    line = lengthened(arriving, reach)
    met = first_meeting(line, apex, mouth + unit(mouth - apex) * reach)
    return None if met is None else met.head(line)
