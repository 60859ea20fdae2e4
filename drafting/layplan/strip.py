"""What a lay packer is given and what it gives back, free of cloth and garments.

A strip is ``width`` wide (y from 0 to ``width``) and as long as it needs to be (x from 0). Each part is put
down in one of its poses, its least x and least y at a position. A packer reports each better layout as it
comes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from drafting.layplan.outline import Outline, extent


@dataclass(frozen=True, slots=True)
class Pose:
    """An outline as it may be put down: turned by ``rotation`` degrees, least x and y at 0."""

    rotation: float
    outline: Outline


@dataclass(frozen=True, slots=True)
class Part:
    """One thing to put down. ``on_fold``: must touch y = 0."""

    poses: tuple[Pose, ...]
    on_fold: bool = False


@dataclass(frozen=True, slots=True)
class StripProblem:
    """Parts for a strip. ``gap`` is kept between parts, not to the edges.

    ``step_x``, ``step_y``: positions are whole multiples of these (a repeat to match); 0 where any will do.
    """

    width: float
    gap: float
    parts: tuple[Part, ...]
    step_x: float = 0.0
    step_y: float = 0.0

    def to_json(self) -> dict[str, Any]:
        """Plain values; poses that several parts share are written once."""
        known: dict[tuple[Pose, ...], int] = {}
        rows = [[known.setdefault(part.poses, len(known)), part.on_fold] for part in self.parts]
        poses = [[[pose.rotation, pose.outline] for pose in group] for group in known]
        sizes = {"width": self.width, "gap": self.gap, "step_x": self.step_x, "step_y": self.step_y}
        return {**sizes, "poses": poses, "parts": rows}

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> StripProblem:
        groups = [
            tuple(Pose(rotation, tuple((x, y) for x, y in outline)) for rotation, outline in group)
            for group in data["poses"]
        ]
        parts = tuple(Part(groups[group], on_fold) for group, on_fold in data["parts"])
        return cls(data["width"], data["gap"], parts, data["step_x"], data["step_y"])


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
