"""The ring of a sketch: what lies between two darts, and what of the inside goes with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from drafting.blocks.sketch import Sketch, Stroke, chained
from drafting.geometry import Line, Path, Point
from drafting.operations.change import Move, Region, region_of, stay
from drafting.pattern import Dart, EdgeKind, Mark

_BESIDE = 0.5  # mm: a mark no further outside a region lies in it

Place = tuple[str, float]
"""A place on the outline: an edge, and how far along it, mm."""

Directed = tuple[Stroke, bool]
"""A stroke, and whether the ring meets it against its own direction."""


@dataclass(frozen=True, slots=True)
class Arc:
    """The ring from one dart's point over its leg, along the outline, over the other's leg to its point."""

    strokes: tuple[Directed, ...]

    @property
    def names(self) -> frozenset[str]:
        return frozenset(stroke.name for stroke, _ in self.strokes)

    @property
    def between(self) -> tuple[Stroke, ...]:
        """The strokes without the two legs."""
        return tuple(stroke for stroke, _ in self.strokes[1:-1])

    @property
    def mouths(self) -> tuple[Point, Point]:
        """Where the first leg leaves the outline and where the last leg does."""
        (first, back), (last, turned) = self.strokes[0], self.strokes[-1]
        return (first.path.start if back else first.path.end), (last.path.end if turned else last.path.start)

    @property
    def cut(self) -> tuple[Point, ...]:
        """The line that parts it from the rest, from its last mouth over both darts' points to its first."""
        (first, back), (last, turned) = self.strokes[0], self.strokes[-1]
        start = first.path.end if back else first.path.start
        end = last.path.start if turned else last.path.end
        return self.mouths[1], end, start, self.mouths[0]

    @property
    def ring(self) -> tuple[Point, ...]:
        """All round; straight across the mouths of further darts."""
        paths = (
            stroke.path.reversed() if back else stroke.path
            for stroke, back in self.strokes[1:-1]
            if stroke.kind is not EdgeKind.DART
        )
        return *(point for path in paths for point in path.flatten(0.02)), *self.cut

    def region(self, piece: str, move: Move = stay) -> Region:
        """It as a region, of the piece that it belongs to now and as it was moved."""
        return Region(piece, self.ring, self.cut, move)

    @property
    def length(self) -> float:
        return sum(stroke.path.length for stroke in self.between)

    @property
    def at_centre(self) -> bool:
        """Whether the garment's centre is part of it."""
        return any(
            stroke.kind in {EdgeKind.FOLD, EdgeKind.OPENING}
            or stroke.name.startswith(("centre ", "front edge", "back edge", "placket edge"))
            for stroke in self.between
        )


def dart_named(sketch: Sketch, name: str) -> Dart:
    """The dart of that name. Raises: KeyError."""
    for dart in sketch.darts:
        if dart.name == name:
            return dart
    raise KeyError(f"{sketch.name} has no dart {name}")


def legs_of(dart: Dart) -> tuple[str, str]:
    """The edges that are its legs. Raises: ValueError for a dart inside the piece."""
    if dart.leg_edges is None:
        raise ValueError(f"{dart.name} is not open at the outline")
    return dart.leg_edges


def arcs(sketch: Sketch, first: Dart, second: Dart) -> tuple[Arc, Arc]:
    """The ring from the first dart to the second, and from the second to the first."""
    ring = chained(sketch.strokes)
    names = [stroke.name for stroke, _ in ring]
    one, other = _entered(names, first), _entered(names, second)
    return Arc(_cyclic(ring, one + 1, other)), Arc(_cyclic(ring, other + 1, one))


def _entered(names: Sequence[str], dart: Dart) -> int:
    """Where the ring enters a dart: the index of the leg met first."""
    legs = set(legs_of(dart))
    return next(i for i, name in enumerate(names) if {name, names[(i + 1) % len(names)]} == legs)


def _cyclic(ring: Sequence[Directed], start: int, last: int) -> tuple[Directed, ...]:
    count = len(ring)
    return tuple(ring[(start + i) % count] for i in range((last - start) % count + 1))


def still_first(one: Arc, other: Arc) -> tuple[Arc, Arc]:
    """The arc that stays first: the one at the garment's centre, else the longer."""
    if (other.at_centre, other.length) > (one.at_centre, one.length):
        return other, one
    return one, other


def moved(stroke: Stroke, move: Move) -> Stroke:
    """The stroke elsewhere."""
    return stroke if move is stay else replace(stroke, path=stroke.path.moved(move))


def begun_as(sketch: Sketch, strokes: Sequence[Stroke]) -> list[Stroke]:
    """A ring of strokes begun where the sketch begins, so that neighbours stay neighbours in the list."""
    names = [stroke.name for stroke in strokes]
    first = next((s.name for s in sketch.strokes if s.name in names), names[0])
    at = names.index(first)
    return [*strokes[at:], *strokes[:at]]


def marks_in(sketch: Sketch, regions: Sequence[Region], region: Region) -> list[Mark]:
    """The marks that lie in a region, moved with it; a straight one that crosses to another is parted."""
    return [replace(mark, path=path) for mark in sketch.marks for path in _marked(mark.path, regions, region)]


def _marked(path: Path, regions: Sequence[Region], region: Region) -> list[Path]:
    nearest = region_of(regions, path.start, path.end)
    if nearest.distance(path.start, path.end) > _BESIDE and is_straight(path):
        ends = region.stretch(path.start, path.end)
        return [] if ends is None else [Path.line(*ends)]
    if nearest is not region:
        return []
    return [path if region.move is stay else path.moved(region.move)]


def is_straight(path: Path) -> bool:
    """Whether a path is one straight line."""
    return len(path.segments) == 1 and isinstance(path.segments[0], Line)


def darts_in(sketch: Sketch, regions: Sequence[Region], region: Region, arc: Arc) -> list[Dart]:
    """The darts that open in an arc, or lie inside its region, moved with it."""
    found = []
    for dart in sketch.darts:
        if dart.leg_edges is None:
            inside = region_of(regions, dart.start, dart.apex, dart.end) is region
        else:
            inside = set(dart.leg_edges) <= arc.names
        if inside:
            start, apex, end = (region.move(point) for point in (dart.start, dart.apex, dart.end))
            found.append(replace(dart, start=start, apex=apex, end=end))
    return found
