"""How the cut lines of two neighbouring edges are brought together.

Each function takes the two offset polylines as they come (``before`` arrives at the corner, ``after``
leaves it) and returns them trimmed or lengthened, with the points between them.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sin
from typing import Final

from drafting.finishing.polyline import (
    Polyline,
    lengthened,
    lengthened_back,
    meeting,
    mirrored_line,
    outward,
)
from drafting.geometry import Point, angle_between, dot, line_meeting, unit
from drafting.pattern import Corner, Edge, EdgeKind

MITRE_LIMIT: Final = 3.0
"""A mitre further than this many allowances from its corner is cut off (common practice, no source)."""

STRAIGHT: Final = 0.02
"""Radians: edges that turn less than this run on into one another."""


@dataclass(frozen=True, slots=True)
class Turn:
    """Where two edges meet: the corner point, the edges, their directions there and the turn between."""

    point: Point
    before: Edge
    after: Edge
    arriving: Point
    leaving: Point
    angle: float  # radians, positive where the outline is convex

    @property
    def reach(self) -> float:
        """How far from the corner a meeting of the cut lines is looked for, mm."""
        return 12.0 * max(self.before.allowance, self.after.allowance, 1.0)

    @property
    def convex(self) -> bool:
        return self.angle > STRAIGHT


@dataclass(frozen=True, slots=True)
class Joined:
    """The two cut lines after the corner was made."""

    before: Polyline
    between: Polyline
    after: Polyline


def turn_between(before: Edge, after: Edge) -> Turn:
    """Describe the corner at which ``before`` ends and ``after`` starts."""
    arriving, leaving = before.path.end_tangent, after.path.start_tangent
    return Turn(before.path.end, before, after, arriving, leaving, angle_between(arriving, leaving))


def joined(turn: Turn, before: Polyline, after: Polyline) -> Joined:
    """Bring two cut lines together by the rule of the edge that ends at the corner."""
    if turn.before.allowance == 0 and turn.after.allowance == 0:
        return Joined(before, [], after)
    rule = turn.before.end_corner
    made: Joined | None = None
    if rule is Corner.TURNED:
        made = _turned(turn, before, after)
    elif rule is Corner.SQUARED and turn.convex:
        made = _squared(turn, before, after)
    return made or _mitred(turn, before, after)


def _mitred(turn: Turn, before: Polyline, after: Polyline) -> Joined:
    """Both run on until they meet; they step where the outline runs on, and a sharp tip is cut off."""
    if abs(turn.angle) <= STRAIGHT:
        return Joined(before, [], after)
    # At a fold there is no tip to cut off: the other cut line ends on the fold's own line.
    at_fold = EdgeKind.FOLD in {turn.before.kind, turn.after.kind}
    limit = MITRE_LIMIT * max(turn.before.allowance, turn.after.allowance)
    if turn.convex and not at_fold and _mitre_distance(turn) > limit:
        return _bevelled(turn, before, after) if turn.angle > pi / 2 else Joined(before, [], after)
    if turn.convex:
        point = line_meeting(before[-1], turn.arriving, after[0], turn.leaving)
        if dot(point - before[-1], turn.arriving) >= 0 and dot(after[0] - point, turn.leaving) >= 0:
            return Joined(before, [point], after)
    # Most meetings lie close by; looking there first spares the many points of a curve.
    for reach in (turn.reach / 4, turn.reach):
        first, second = lengthened(before, reach), lengthened_back(after, reach)
        met = meeting(first, second, turn.point, reach)
        if met is not None:
            return Joined(met.head(first), [], met.tail(second))
    # Edges too short for their allowance: the ring is cleaned afterwards.
    return Joined(before, [], after)


def _mitre_distance(turn: Turn) -> float:
    """Distance of the mitre point from the corner, mm. Source: plane geometry, two lines at their offsets."""
    across = abs(sin(turn.angle))
    if across < 1e-9:
        return float("inf")
    a, b = turn.before.allowance, turn.after.allowance
    opposite = a * a + b * b - 2 * a * b * dot(turn.arriving, turn.leaving)
    return float(opposite**0.5) / across


def _bevelled(turn: Turn, before: Polyline, after: Polyline) -> Joined:
    """Cut a sharp tip off square to its bisector, at the mitre limit."""
    bisector = unit(turn.arriving - turn.leaving)
    far = MITRE_LIMIT * max(turn.before.allowance, turn.after.allowance)

    def run_on(point: Point, direction: Point) -> Point:
        return point + direction * ((far - dot(point - turn.point, bisector)) / dot(direction, bisector))

    ends = [run_on(before[-1], turn.arriving), run_on(after[0], turn.leaving * -1.0)]
    return Joined(before, ends, after)


def _squared(turn: Turn, before: Polyline, after: Polyline) -> Joined | None:
    """The first seam's line runs on to the other's cut line; there its allowance ends square to it."""
    first_seam = [turn.point, turn.point + turn.arriving * turn.reach]
    second = lengthened_back(after, turn.reach)
    limit = MITRE_LIMIT * max(turn.before.allowance, turn.after.allowance)
    met = meeting(first_seam, second, turn.point, limit)
    if met is None:
        return None
    square = met.point + outward(turn.arriving) * turn.before.allowance
    return Joined(before, [square], met.tail(second))


def _turned(turn: Turn, before: Polyline, after: Polyline) -> Joined | None:
    """The side's cut line is mirrored over the hem's fold, so that the turned-up hem lies on the garment."""
    if (turn.before.kind is EdgeKind.HEM) == (turn.after.kind is EdgeKind.HEM):
        return None
    if turn.after.kind is EdgeKind.HEM:
        side, between, hem = _turn_up(turn, before, after, turn.leaving) or ([], [], [])
        return Joined(side, between, hem) if side else None
    side, between, hem = _turn_up(turn, after[::-1], before[::-1], turn.arriving * -1.0) or ([], [], [])
    return Joined(hem[::-1], between[::-1], side[::-1]) if side else None


def _turn_up(
    turn: Turn, side: Polyline, hem: Polyline, along: Point
) -> tuple[Polyline, Polyline, Polyline] | None:
    """Side arriving at the corner, hem leaving it; ``along`` is the hem's direction away from the corner."""
    reach = turn.reach
    fold = [turn.point - along * reach, turn.point + along * reach]
    long_side = lengthened(side, reach)
    at_fold = meeting(long_side, fold, turn.point, reach)
    if at_fold is None:
        return None
    to_fold = at_fold.head(long_side)
    beyond = lengthened(mirrored_line(to_fold[::-1], fold[0], fold[1]), reach)
    long_hem = lengthened_back(hem, reach)
    at_hem = meeting(beyond, long_hem, turn.point, reach)
    if at_hem is None:
        return None
    return to_fold, at_hem.head(beyond)[1:-1], at_hem.tail(long_hem)
