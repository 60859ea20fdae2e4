"""What is ruled by hand for one piece, every number as a tape shows it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from string import ascii_uppercase

from drafting.geometry import Path, Point, curve_through, perpendicular, unit
from drafting.pattern import EdgeKind, MarkKind


@dataclass(frozen=True, slots=True)
class Station:
    """A point by its distances from the frame's base corner, mm, along its top and down its side."""

    across: float
    down: float


@dataclass(frozen=True, slots=True)
class Corner:
    """A named point of the outline; ``words`` say where it is."""

    name: str
    at: Station
    words: str


@dataclass(frozen=True, slots=True)
class Offset:
    """A point of a curve: ``along`` its base line from where that begins, then squared ``into`` the piece.

    ``into`` is negative where the curve lies outside its base line.
    """

    along: float
    into: float


@dataclass(frozen=True, slots=True)
class Ruled:
    """A line of the outline between two corners; a straight one has no offsets. ``length`` is along it."""

    edge: str
    kind: EdgeKind
    start: str
    end: str
    length: float
    base: float
    offsets: tuple[Offset, ...] = ()


@dataclass(frozen=True, slots=True)
class NotchAt:
    """A notch ``along`` an edge from the corner ``start``."""

    edge: str
    start: str
    along: float
    count: int


@dataclass(frozen=True, slots=True)
class Inside:
    """A mark inside the piece by its points; a single point for a drill hole or a button."""

    name: str
    kind: MarkKind | None
    points: tuple[Station, ...]


@dataclass(frozen=True, slots=True)
class Frame:
    """The rectangle round the stitch line, mm. ``from_right``: its base corner is the top right one."""

    width: float
    height: float
    from_right: bool

    def point(self, at: Station) -> Point:
        """Where a station lies, x to the right and y up, the frame's top left corner at the origin."""
        return Point(self.width - at.across if self.from_right else at.across, -at.down)


@dataclass(frozen=True, slots=True)
class HandPiece:
    """One piece as it is ruled, in the order of the outline (counter-clockwise)."""

    name: str
    cuts: tuple[str, ...]
    frame: Frame
    corners: tuple[Corner, ...]
    lines: tuple[Ruled, ...]
    grain: tuple[Station, Station]
    notches: tuple[NotchAt, ...]
    inside: tuple[Inside, ...]
    allowances: tuple[tuple[float, tuple[str, ...]], ...]
    remarks: tuple[str, ...]
    cut_line: tuple[Point, ...]  # in the frame's coordinates, for the picture only

    def corner(self, name: str) -> Point:
        """Where a corner lies in the frame. Raises: KeyError."""
        return self.frame.point({corner.name: corner.at for corner in self.corners}[name])

    def path(self, line: Ruled) -> Path:
        """The line that these numbers make: a smooth curve through the offsets."""
        return through(self.corner(line.start), self.corner(line.end), line.offsets)


def through(start: Point, end: Point, offsets: tuple[Offset, ...]) -> Path:
    """Return the line through points squared off the base line from ``start`` to ``end``."""
    if not offsets:
        return Path.line(start, end)
    along = unit(end - start)
    # An outline is counter-clockwise: its piece lies to the left of every line.
    into = perpendicular(along)
    points = [start + along * offset.along + into * offset.into for offset in offsets]
    return curve_through([start, *points, end])


def corner_names() -> Iterator[str]:
    """A, B ... Z, A1, B1 ..."""
    yield from ascii_uppercase
    number = 1
    while True:
        yield from (f"{letter}{number}" for letter in ascii_uppercase)
        number += 1
