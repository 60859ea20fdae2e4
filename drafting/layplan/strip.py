"""What a lay packer is given and what it gives back, free of cloth and garments.

A strip is ``width`` wide (y from 0 to ``width``) and as long as it needs to be (x from 0). Each part is put
down in one of its poses, its least x and least y at a position. Boxes may be blocked, a part may be held to a
band across the strip, and parts may be tied to each other on a lattice. A packer reports each better layout
as it comes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import Any, NamedTuple, Protocol

from drafting.layplan.outline import Outline, extent


@dataclass(frozen=True, slots=True)
class Pose:
    """An outline as it may be put down: turned by ``rotation`` degrees, least x and y at 0."""

    rotation: float
    outline: Outline


#: Corners that agree to so many decimals of a mm are the same.
SAME_CORNER = 6


def unlike(poses: Iterable[Pose]) -> list[Pose]:
    """The poses that lay a part differently: a strap turned end to end is the same strap, twice the work."""
    found: dict[frozenset[tuple[float, float]], Pose] = {}
    for pose in poses:
        corners = frozenset((round(x, SAME_CORNER), round(y, SAME_CORNER)) for x, y in pose.outline)
        found.setdefault(corners, pose)
    return list(found.values())


#: The tied group whose lattice begins at 0; the others find their own place.
ABSOLUTE = -1


class Tie(NamedTuple):
    """Holds a part to the others of its group along one axis.

    The positions of all parts of a group, each less its offset, differ by whole steps of the problem;
    those of the group ``ABSOLUTE`` are whole steps.
    """

    group: int
    offset: float


@dataclass(frozen=True, slots=True)
class Part:
    """One thing to put down.

    ``on_fold``: must touch y = 0. ``low``, ``high``: the band across the strip in which it must lie, mm.
    ``tie_x``, ``tie_y``: where it is tied to others; its poses are then the same way up.
    """

    poses: tuple[Pose, ...]
    on_fold: bool = False
    low: float = 0.0
    high: float = inf
    tie_x: Tie | None = None
    tie_y: Tie | None = None


class Box(NamedTuple):
    """A part of the strip where nothing may lie, mm."""

    x0: float
    y0: float
    x1: float
    y1: float

    @property
    def outline(self) -> Outline:
        return ((self.x0, self.y0), (self.x1, self.y0), (self.x1, self.y1), (self.x0, self.y1))


@dataclass(frozen=True, slots=True)
class StripProblem:
    """Parts for a strip. ``gap`` is kept between parts, not to the edges.

    ``step_x``, ``step_y``: tied parts lie whole multiples of these apart (a repeat to match); 0 where none
    are tied. ``blocked``: where nothing may lie.
    """

    width: float
    gap: float
    parts: tuple[Part, ...]
    step_x: float = 0.0
    step_y: float = 0.0
    blocked: tuple[Box, ...] = ()

    @property
    def is_free(self) -> bool:
        """Whether parts may lie anywhere on the strip."""
        bound = any(p.on_fold or p.low > 0 or p.high < self.width or p.tie_x or p.tie_y for p in self.parts)
        return not (bound or self.blocked)

    def one_way(self) -> StripProblem:
        """The same problem with each part in its first pose only: each of its layouts is one of this."""
        return replace(self, parts=tuple(replace(part, poses=part.poses[:1]) for part in self.parts))

    def to_json(self) -> dict[str, Any]:
        """Plain values; what several parts share is written once."""
        known: dict[Part, int] = {}
        rows = [known.setdefault(part, len(known)) for part in self.parts]
        kinds = [
            {
                "poses": [[pose.rotation, pose.outline] for pose in part.poses],
                "on_fold": part.on_fold,
                "band": [part.low, None if part.high == inf else part.high],
                "ties": [part.tie_x, part.tie_y],
            }
            for part in known
        ]
        sizes = {"width": self.width, "gap": self.gap, "step_x": self.step_x, "step_y": self.step_y}
        return {**sizes, "blocked": self.blocked, "kinds": kinds, "parts": rows}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> StripProblem:
        kinds = [_read_part(kind) for kind in data["kinds"]]
        parts = tuple(kinds[kind] for kind in data["parts"])
        blocked = tuple(Box(*box) for box in data["blocked"])
        return cls(data["width"], data["gap"], parts, data["step_x"], data["step_y"], blocked)


def _read_part(kind: Mapping[str, Any]) -> Part:
    poses = tuple(Pose(rotation, tuple((x, y) for x, y in outline)) for rotation, outline in kind["poses"])
    low, high = kind["band"]
    tie_x, tie_y = (None if tie is None else Tie(*tie) for tie in kind["ties"])
    return Part(poses, kind["on_fold"], low, inf if high is None else high, tie_x, tie_y)


@dataclass(frozen=True, slots=True)
class Position:
    """Where a part lies: which pose, and where its least x and least y are, mm."""

    pose: int
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Layout:
    """A position for each part, in the order of the problem's parts."""

    positions: tuple[Position, ...]

    def length(self, problem: StripProblem) -> float:
        """Length of strip that is taken, mm."""
        return max(
            (
                position.x + extent(part.poses[position.pose].outline)[0]
                for part, position in zip(problem.parts, self.positions, strict=True)
            ),
            default=0.0,
        )

    def to_json(self) -> list[list[float]]:
        return [[position.pose, position.x, position.y] for position in self.positions]

    @classmethod
    def from_json(cls, data: Sequence[Sequence[float]]) -> Layout:
        return cls(tuple(Position(int(pose), float(x), float(y)) for pose, x, y in data))


Report = Callable[[Layout], None]
"""Takes each better layout; raises to stop the packer."""


class StripPacker(Protocol):
    """Finds layouts for a strip until its seconds are up or a report raises."""

    def pack(self, problem: StripProblem, *, seconds: float, seed: int, report: Report) -> None:
        """Report better and better layouts. May find none; may not keep to its seconds."""
