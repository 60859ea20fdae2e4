"""Pieces laid beside one another as they are once sewn: darts closed, panels joined."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from drafting.geometry import Path, Point, lerp
from drafting.pattern import Dart, Draft, Edge, EdgeKind, Mark, Piece

Line = tuple[Point, ...]
"""Points of a line in the frame of the figure."""

_PANEL_SEAMS = ("princess", "gore seam")
_INSIDE = 0.3  # mm: a level is read so far inside the ends of a line
_FINE = 1.0  # mm: how near a drawn line keeps to a curve
_STEP = 60.0  # mm: a straight line gets points this close, for it may bend where a dart is closed


@dataclass(frozen=True, slots=True)
class Wedge:
    """An upright dart: what lies beyond it moves, not at all at its apex, by ``shift`` at its mouth.

    ``inner``: one half of a dart that is pointed at both ends.
    """

    mouth: Point
    apex: Point
    shift: Point
    inner: bool

    def moved(self, p: Point) -> Point:
        """How a point moves when the dart is closed, mm."""
        reach = self.mouth.y - self.apex.y
        share = (p[1] - self.apex.y) / reach
        if share <= 0 or (self.inner and (share > 1 or (share == 1 and reach > 0))):
            return Point(0.0, 0.0)
        share = min(share, 1.0)
        axis = self.apex.x + (self.mouth.x - self.apex.x) * share
        return self.shift * share if p[0] > axis else Point(0.0, 0.0)


@dataclass(frozen=True)
class Panel:
    """A piece seen from outside, its centre at x = 0 or inward, whichever way it was drafted."""

    piece: Piece
    darts: tuple[Dart, ...] = ()
    lift: float = 0.0
    """mm by which it is raised to meet what it hangs from."""

    @cached_property
    def turned(self) -> bool:
        """Whether the piece lies left of the centre, as a front does."""
        points = self.piece.outline(2.0)
        return sum(p[0] for p in points) < 0

    @property
    def above(self) -> bool:
        """Whether it lies above the others, as a yoke, and not beside them."""
        return "yoke" in self.piece.name.split()

    def out(self, p: Point) -> Point:
        return Point(-p[0] if self.turned else p[0], p[1] + self.lift)

    @cached_property
    def ring(self) -> Line:
        """The outline as drafted, in the figure's frame."""
        return tuple(self.out(p) for p in self.piece.outline(_FINE))

    @cached_property
    def wedges(self) -> tuple[Wedge, ...]:
        return tuple(self._wedge(dart) for dart in self.darts if upright(dart))

    def _wedge(self, dart: Dart) -> Wedge:
        near, far = sorted((self.out(dart.start), self.out(dart.end)), key=lambda p: p[0])
        return Wedge(lerp(near, far, 0.5), self.out(dart.apex), near - far, dart.leg_edges is None)

    def closed(self, p: Point) -> Point:
        """Where a point of the figure's frame lies once the darts are closed."""
        moved = p
        for wedge in self.wedges:
            moved = moved + wedge.moved(p)
        return moved

    def points(self, path: Path) -> Line:
        """A path of the piece as drawn, darts closed."""
        return tuple(self.closed(self.out(p)) for p in dense(path))

    @property
    def bottom(self) -> float:
        return min(p[1] for p in self.ring)

    @property
    def top(self) -> float:
        return max(p[1] for p in self.ring)

    def width_at(self, y: float) -> tuple[float, float]:
        """Where a level enters and leaves the piece, darts closed; beyond its ends, that of the end."""
        y = min(max(y, self.bottom + _INSIDE), self.top - _INSIDE)
        found = [
            self.closed(lerp(a, b, (y - a[1]) / (b[1] - a[1])))[0]
            for a, b in pairwise((*self.ring, self.ring[0]))
            if (a[1] > y) != (b[1] > y)
        ]
        return (min(found), max(found)) if found else (0.0, 0.0)

    def inner_at(self, y: float) -> float:
        """Where the edge nearest to the centre passes a level, mm; beyond its ends, that of the end."""
        return self.width_at(_within(y, self._upright_reach[0]))[0]

    def outer_at(self, y: float) -> float:
        """Where the edge farthest from the centre passes a level."""
        return self.width_at(_within(y, self._upright_reach[1]))[1]

    def raised_to(self, before: Panel, y: float) -> float:
        """How far a level is lifted so that this panel's seam ends as high as that of the one before it.

        A panel that was turned when its dart was closed lies askew at its top; its lower half lies true.
        """
        low, high = self._upright_reach[0]
        middle = (low + high) / 2
        share = min(max((y - middle) / max(high - middle, 1.0), 0.0), 1.0)
        return (before._upright_reach[1][1] - high) * share

    @cached_property
    def _upright_reach(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Between which heights the seams to its neighbours run, or its steep edges, inner and outer."""
        middle = sum(p[0] for p in self.ring) / len(self.ring)
        sides: tuple[list[float], list[float]] = ([], [])
        for edge in self._steep_edges():
            a, b = self.out(edge.path.start), self.out(edge.path.end)
            sides[(a[0] + b[0]) / 2 > middle].extend((a[1], b[1]))
        inner, outer = (found or [self.bottom, self.top] for found in sides)
        return (min(inner), max(inner)), (min(outer), max(outer))

    def _steep_edges(self) -> list[Edge]:
        edges = [edge for edge in self.piece.edges if edge.kind is not EdgeKind.DART]
        seams = [edge for edge in edges if edge.name.startswith(_PANEL_SEAMS)]
        return seams or [edge for edge in edges if _is_steep(edge)]


class Folded(Panel):
    """A panel whose cloth beyond the centre is folded behind it, in a pleat."""

    def closed(self, p: Point) -> Point:
        """Where a point lies once darts are closed and the pleat is folded."""
        x, y = super().closed(p)
        return Point(max(x, 0.0), y)


def _is_steep(edge: Edge) -> bool:
    a, b = edge.path.start, edge.path.end
    return abs(a.y - b.y) > abs(a.x - b.x)


def _within(y: float, reach: tuple[float, float]) -> float:
    return min(max(y, reach[0] + _INSIDE), reach[1] - _INSIDE)


def upright(dart: Dart) -> bool:
    """Whether a dart takes in width: its mouth is more level than steep."""
    return abs(dart.start[0] - dart.end[0]) > abs(dart.start[1] - dart.end[1])


def dense(path: Path) -> Iterable[Point]:
    points = path.flatten(_FINE)
    yield points[0]
    for a, b in pairwise(points):
        count = int(max(abs(b[0] - a[0]), abs(b[1] - a[1])) / _STEP) + 1
        for k in range(1, count + 1):
            yield lerp(a, b, k / count)


@dataclass(frozen=True)
class Side:
    """Half a front or back: panels from the centre outward, each sewn to the one before; then a yoke."""

    panels: tuple[Panel, ...]

    def place(self, index: int, p: Point) -> Point:
        """Where a point of a panel, already closed, lies in the figure."""
        if index == 0 or self.panels[index].above:
            return p
        panel, before = self.panels[index], self.panels[index - 1]
        y = p[1] + panel.raised_to(before, p[1])
        seam = self.place(index - 1, Point(before.outer_at(y), y))
        return Point(seam[0] + p[0] - panel.inner_at(p[1]), y)

    @cached_property
    def _drawn(self) -> dict[tuple[int, str], Line]:
        """Edges that were asked for, for each is asked for again and again."""
        return {}

    def line(self, index: int, edge: Edge) -> Line:
        """An edge of a panel as drawn."""
        key = index, edge.name
        if key not in self._drawn:
            panel = self.panels[index]
            self._drawn[key] = tuple(self.place(index, p) for p in panel.points(edge.path))
        return self._drawn[key]

    def lines(self, *words: str) -> list[Line]:
        """Every edge whose name begins with one of the words, the legs of darts left out."""
        return [
            self.line(index, edge)
            for index, panel in enumerate(self.panels)
            for edge in panel.piece.edges
            if edge.name.startswith(words) and edge.kind is not EdgeKind.DART
        ]

    def half_width(self, y: float) -> float:
        """Of the closed garment at a level, mm."""
        last = max(index for index, panel in enumerate(self.panels) if not panel.above)
        return self.place(last, Point(self.panels[last].width_at(y)[1], y))[0]

    @property
    def top(self) -> float:
        return max(panel.top for panel in self.panels)

    @property
    def bottom(self) -> float:
        return min(panel.bottom for panel in self.panels)

    @property
    def centre_bottom(self) -> float:
        """Height of the lower edge at the centre."""
        ring = self.panels[0].ring
        near = min(p[0] for p in ring if p[0] > -0.5)
        return min(p[1] for p in ring if p[0] < near + 3.0)


def piece_named(draft: Draft, *names: str) -> Piece | None:
    """The first piece that has one of the names."""
    return next((piece for name in names for piece in draft.pieces if piece.name == name), None)


def edge_named(piece: Piece | None, name: str) -> Edge | None:
    return next((edge for edge in piece.edges if edge.name == name), None) if piece else None


def panel_of(draft: Draft, piece: Piece, lift: float = 0.0) -> Panel:
    """A piece with its darts; fullness that is gathered hangs as if it were one."""
    darts = [dart for dart in draft.darts if dart.piece == piece.name]
    kind = Folded if pleated_at_centre(piece) else Panel
    return kind(piece, (*darts, *(_drawn_up(mark) for mark in fullness_marks(piece))), lift)


def pleated_at_centre(piece: Piece) -> bool:
    """Whether a pleat at its centre is the only one of a panel that else lies flat."""
    return any(mark.name == "front pleat fold" for mark in piece.marks)


def fullness_marks(piece: Piece) -> list[Mark]:
    """Marks of fullness that is gathered at an edge: from its mouth to where it ends and back."""
    return [mark for mark in piece.marks if mark.name.startswith("fullness")]


def _drawn_up(mark: Mark) -> Dart:
    first, second = mark.path.segments
    return Dart("", mark.name, first.start, first.end, second.end, ("", ""))


def beside(panels: Sequence[Panel]) -> Side:
    """The panels from the centre outward, a yoke after them."""

    def order(panel: Panel) -> tuple[bool, bool, float]:
        centred = any(
            edge.kind is EdgeKind.FOLD or edge.name.startswith(("centre ", "front edge"))
            for edge in panel.piece.edges
        )
        return panel.above, not centred, sum(p[0] for p in panel.ring) / len(panel.ring)

    return Side(tuple(sorted(panels, key=order)))
