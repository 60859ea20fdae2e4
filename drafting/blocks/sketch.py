"""A piece while it is being drawn: named lines, each in the direction in which a dressmaker thinks of it.

A sketch is drawn with x from the centre of the body outward and turned into a ``Piece`` at the end: its lines
become a counter-clockwise ring, mirrored where the piece is a front (the wearer's right front, seen from
outside, lies left of the centre; the right back lies right of it).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from drafting.geometry import Path, Point, distance
from drafting.geometry.vector import made
from drafting.pattern import (
    Chord,
    Corner,
    CornerRef,
    Cut,
    Dart,
    Edge,
    EdgeKind,
    EdgeRef,
    Mark,
    MarkKind,
    Notch,
    Piece,
    RollLine,
)

_CLOSED = 1e-6  # mm; neighbouring lines of a sketch meet within this


@dataclass(frozen=True, slots=True)
class Stroke:
    """One line of the outline, in its own direction (shoulder from the neck, side downward, ...)."""

    name: str
    path: Path
    kind: EdgeKind = EdgeKind.SEAM
    allowance: float = 0.0


def _as_drawn(point: Point) -> Point:
    return point


def _mirror(point: Point) -> Point:
    return made(Point, (-point[0], point[1]))


@dataclass(slots=True)
class Sketch:
    """Outline strokes in ring order, and what lies inside."""

    name: str
    strokes: list[Stroke]
    cuts: tuple[Cut, ...]
    grain: tuple[Point, Point]
    is_front: bool = False
    marks: list[Mark] = field(default_factory=list)
    darts: list[Dart] = field(default_factory=list)
    notches: list[tuple[str, float, int]] = field(default_factory=list)
    remarks: tuple[str, ...] = ()
    turned: tuple[str, ...] = ()  # hem edges whose corners turn up
    _reversed: dict[str, bool] = field(default_factory=dict)
    _order: list[str] = field(default_factory=list)

    @property
    def _move(self) -> Callable[[Point], Point]:
        return _mirror if self.is_front else _as_drawn

    def stroke(self, name: str) -> Stroke:
        """The stroke of that name. Raises: KeyError."""
        for stroke in self.strokes:
            if stroke.name == name:
                return stroke
        raise KeyError(f"{self.name} has no line {name}")

    def path(self, name: str) -> Path:
        """The path of a stroke, in its own direction. Raises: KeyError."""
        return self.stroke(name).path

    def put(self, name: str, *strokes: Stroke) -> None:
        """Put other strokes, in ring order, in the place of one. Raises: KeyError."""
        at = self.strokes.index(self.stroke(name))
        self.strokes[at : at + 1] = strokes

    def adjoin(self, one: str, other: str) -> bool:
        """Whether there are two such lines and they are neighbours in the ring."""
        names = [stroke.name for stroke in self.strokes]
        if one not in names or other not in names:
            return False
        return abs(names.index(one) - names.index(other)) in {1, len(names) - 1}

    def mark(self, name: str, kind: MarkKind, path: Path, *, arrow: bool = False) -> None:
        """Add an internal mark, given in the sketch's own frame."""
        self.marks.append(Mark(name, kind, path, arrow))

    def notch(self, edge: str, at: float, count: int = 1) -> None:
        """Add a notch ``at`` mm along an edge in its own direction."""
        self.notches.append((edge, at, count))

    def chord(self, start: Point, end: Point, times: int) -> Chord:
        """A width of the finished piece."""
        return Chord(self.name, self._move(start), self._move(end), times)

    def roll_line(self, start: Point, end: Point, outer: tuple[str, ...]) -> RollLine:
        """The roll line in the finished piece's frame."""
        return RollLine(self.name, self._move(start), self._move(end), outer)

    def piece(self) -> Piece:
        """Return the piece. Raises: ValueError where the strokes do not close."""
        directed = chained(self.strokes)
        if (_area(directed) < 0) != self.is_front:
            directed = [(stroke, not backward) for stroke, backward in directed[::-1]]
        self._reversed = {stroke.name: backward for stroke, backward in directed}
        self._order = [stroke.name for stroke, _ in directed]
        move = self._move
        edges = tuple(self._edge(stroke, backward, i) for i, (stroke, backward) in enumerate(directed))
        lengths = {edge.name: edge.length for edge in edges}
        notches = tuple(
            Notch(edge, lengths[edge] - at if self._reversed[edge] else at, count)
            for edge, at, count in self.notches
        )
        marks = tuple(Mark(m.name, m.kind, m.path.moved(move), m.arrow) for m in self.marks)
        grain = (move(self.grain[0]), move(self.grain[1]))
        return Piece(self.name, edges, self.cuts, grain, notches, marks, (), self.remarks)

    def _edge(self, stroke: Stroke, backward: bool, index: int) -> Edge:
        path = stroke.path.moved(_mirror) if self.is_front else stroke.path
        following = self._order[(index + 1) % len(self._order)]
        at_hem = stroke.name in self.turned or following in self.turned
        corner = Corner.TURNED if at_hem else Corner.MITRE
        return Edge(stroke.name, stroke.kind, path.reversed() if backward else path, stroke.allowance, corner)

    def finished_darts(self) -> list[Dart]:
        """The darts in the finished piece's frame."""
        move = self._move
        return [
            Dart(self.name, d.name, move(d.start), move(d.apex), move(d.end), d.leg_edges) for d in self.darts
        ]

    def ref(self, edge: str, *, backward: bool = False) -> EdgeRef:
        """The edge walked in its own direction (or against it); only after ``piece()``."""
        return EdgeRef(self.name, edge, self._reversed[edge] != backward)

    def refs(self, *edges: str) -> tuple[EdgeRef, ...]:
        """Several edges, each in its own direction."""
        return tuple(self.ref(edge) for edge in edges)

    def corner(self, one: str, other: str) -> CornerRef:
        """The corner between two neighbouring edges, in whichever order the outline meets them."""
        here = self._order.index(one)
        if self._order[(here + 1) % len(self._order)] == other:
            return CornerRef(self.name, one, other)
        return CornerRef(self.name, other, one)


def chained(strokes: Sequence[Stroke]) -> list[tuple[Stroke, bool]]:
    """Each stroke with whether it is walked backward, so that each begins where the last ended."""
    first, second = strokes[0].path, strokes[1].path
    forward = min(distance(first.end, second.start), distance(first.end, second.end)) <= _CLOSED
    directed = [(strokes[0], not forward)]
    at = first.end if forward else first.start
    for stroke in strokes[1:]:
        backward = distance(stroke.path.start, at) > _CLOSED
        start, end = (
            (stroke.path.end, stroke.path.start) if backward else (stroke.path.start, stroke.path.end)
        )
        if distance(start, at) > _CLOSED:
            raise ValueError(f"{stroke.name} does not begin where the line before it ends")
        directed.append((stroke, backward))
        at = end
    return directed


def _area(directed: Sequence[tuple[Stroke, bool]]) -> float:
    """Signed area of the ring, mm2. Raises: ValueError where its last stroke does not end where it begins."""
    (first, back), (last, turned) = directed[0], directed[-1]
    start = first.path.end if back else first.path.start
    end = last.path.start if turned else last.path.end
    if distance(start, end) > _CLOSED:
        raise ValueError("the outline is not closed")
    return sum(-stroke.path.swept if backward else stroke.path.swept for stroke, backward in directed)
