"""A path: lines and curves joined end to end."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from drafting.geometry.lazy import lazy
from drafting.geometry.segment import Cubic, Line, Segment
from drafting.geometry.vector import NEAR, Point, distance, mirrored, rotated


@dataclass(frozen=True)
class Path:
    """Segments joined end to end; ``s`` is the length travelled from the start, mm.

    Raises: ValueError where it has no segment, or where a segment does not begin where the last ended.
    """

    segments: tuple[Segment, ...]

    def __post_init__(self) -> None:
        if not self.segments:
            raise ValueError("a path needs at least one segment")
        for before, after in pairwise(self.segments):
            gap = distance(before.end, after.start)
            if not gap <= NEAR:
                raise ValueError(f"a path with a gap of {gap:g} mm")

    @staticmethod
    def line(a: Point, b: Point) -> Path:
        """A straight path."""
        return Path((Line(a, b),))

    @staticmethod
    def polyline(points: Sequence[Point]) -> Path:
        """Straight lines from point to point. Raises: ValueError for fewer than two points."""
        return Path(tuple(Line(a, b) for a, b in pairwise(points)))

    @staticmethod
    def cubic(p0: Point, p1: Point, p2: Point, p3: Point) -> Path:
        """A single curve with handles ``p1`` and ``p2``."""
        return Path((Cubic(p0, p1, p2, p3),))

    @property
    def start(self) -> Point:
        return self.segments[0].start

    @property
    def end(self) -> Point:
        return self.segments[-1].end

    @lazy
    def _ends(self) -> tuple[float, ...]:
        """Length travelled at the end of each segment."""
        return tuple(accumulate(segment.length for segment in self.segments))

    @property
    def length(self) -> float:
        """mm."""
        return self._ends[-1]

    def _locate(self, s: float) -> tuple[int, float]:
        """Which segment holds ``s``, and the length travelled on it."""
        if not -NEAR <= s <= self.length + NEAR:
            raise ValueError(f"{s:g} mm is not on a path of {self.length:g} mm")
        s = min(max(s, 0.0), self.length)
        index = min(bisect_left(self._ends, s), len(self.segments) - 1)
        before = self._ends[index - 1] if index else 0.0
        return index, min(max(s - before, 0.0), self.segments[index].length)

    def point_at(self, s: float) -> Point:
        """The point ``s`` mm from the start. Raises: ValueError where ``s`` is not on the path."""
        index, rest = self._locate(s)
        return self.segments[index].point_at(rest)

    def along(self, point: Point) -> float:
        """How far along the path a point of it lies, mm; of a point beside it, what is nearest to that."""
        found = [segment.along(point) for segment in self.segments]
        nearest = min(range(len(found)), key=lambda k: found[k][1])
        return (self._ends[nearest - 1] if nearest else 0.0) + found[nearest][0]

    def tangent_at(self, s: float) -> Point:
        """Unit direction of travel; at a corner, that of the segment which ends there."""
        index, rest = self._locate(s)
        return self.segments[index].tangent_at(rest)

    @lazy
    def start_tangent(self) -> Point:
        """Unit direction in which the path leaves its start."""
        return next(filter(_has_length, self.segments), self.segments[0]).start_tangent

    @lazy
    def end_tangent(self) -> Point:
        """Unit direction in which the path arrives at its end."""
        return next(filter(_has_length, self.segments[::-1]), self.segments[-1]).end_tangent

    def split_at(self, s: float) -> tuple[Path, Path]:
        """The path in two, the first ``s`` mm long. Raises: ValueError where a part would have no length."""
        if not NEAR < s < self.length - NEAR:
            raise ValueError(f"a path of {self.length:g} mm cannot be split at {s:g} mm")
        index, rest = self._locate(s)
        segment = self.segments[index]
        if rest > segment.length - NEAR:
            return Path(self.segments[: index + 1]), Path(self.segments[index + 1 :])
        if rest < NEAR:
            return Path(self.segments[:index]), Path(self.segments[index:])
        head, tail = segment.split_at(rest)
        return Path((*self.segments[:index], head)), Path((tail, *self.segments[index + 1 :]))

    def flatten(self, tolerance: float = 0.05) -> tuple[Point, ...]:
        """Points on the path, ends and corners included, whose chords stay within ``tolerance`` mm of it."""
        if tolerance not in self._flat:
            points = [self.start]
            for segment in self.segments:
                points.extend(segment.flatten(tolerance)[1:])
            self._flat[tolerance] = tuple(points)
        return self._flat[tolerance]

    @lazy
    def _flat(self) -> dict[float, tuple[Point, ...]]:
        """What ``flatten`` made, by tolerance: finishing and every check ask for the same lines again."""
        return {}

    def mapped(self, move: Callable[[Point], Point]) -> Path:
        """The path with its points moved by an affine ``move``."""
        return Path(tuple(segment.mapped(move) for segment in self.segments))

    @property
    def swept(self) -> float:
        """Signed area of what a ray from the origin sweeps along it, mm2; of a ring, the area inside."""
        return sum(segment.swept for segment in self.segments)

    def moved(self, move: Callable[[Point], Point]) -> Path:
        """The path turned, shifted or mirrored by ``move``: exactly as long, to the last digit."""
        return Path(tuple(segment.moved(move) for segment in self.segments))

    def reversed(self) -> Path:
        """The same path travelled from its end."""
        return Path(tuple(segment.reversed() for segment in self.segments[::-1]))

    def translated(self, dx: float, dy: float) -> Path:
        """The path moved."""
        return self.moved(lambda p: Point(p[0] + dx, p[1] + dy))

    def rotated(self, angle: float, about: Point) -> Path:
        """The path turned by ``angle`` radians, counter-clockwise, about a point."""
        return self.moved(lambda p: rotated(p, angle, about))

    def mirrored(self, a: Point, b: Point) -> Path:
        """The path mirrored over the line through two points; it is travelled in the same order."""
        return self.moved(lambda p: mirrored(p, a, b))

    def joined(self, other: Path) -> Path:
        """This path and then the other. Raises: ValueError where the other begins elsewhere."""
        return Path(self.segments + other.segments)


def _has_length(segment: Segment) -> bool:
    """Whether it is longer than nothing; most are by their ends alone, unmeasured."""
    return distance(segment.start, segment.end) > NEAR or segment.length > NEAR
