"""The vocabulary that every other room speaks: edges, pieces, seams, and the draft they make.

All values are frozen. Lengths are millimetres, x to the right and y up, outlines counter-clockwise.
A piece is drawn as it lies on the cloth, right side up, the wearer's right half where it is a half.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from itertools import chain
from typing import Final

from drafting.body import Body
from drafting.geometry import Path, Point
from drafting.geometry.lazy import lazy
from drafting.geometry.rings import Rows, as_array

FINE: Final = 0.04
"""mm within which finishing and truing flatten a curve: the same, so that each line is flattened once."""


class EdgeKind(StrEnum):
    """What becomes of an edge when the garment is made."""

    SEAM = "seam"
    HEM = "hem"
    FOLD = "fold"  # lies on the fold of the cloth; never has an allowance
    OPENING = "opening"  # closes with a zip or buttons
    DART = "dart"  # a leg of a dart that is open at the outline


class Corner(StrEnum):
    """How the cut line turns where an edge meets the next one."""

    MITRE = "mitre"  # both cut lines run on until they meet
    TURNED = "turned"  # the side is mirrored over the hem, so that the turned-up hem lies flat
    SQUARED = "squared"  # cut square across the end of this edge's seam, which is sewn first


@dataclass(frozen=True, slots=True)
class Edge:
    """A named part of the stitch line, from corner to corner."""

    name: str
    kind: EdgeKind
    path: Path
    allowance: float = 0.0
    end_corner: Corner = Corner.MITRE

    @property
    def length(self) -> float:
        return self.path.length


@dataclass(frozen=True, slots=True)
class Notch:
    """A mark on an edge that meets its like on the edge it is sewn to.

    ``at`` is the distance along the edge from its start. ``count`` is 1, or 2 for a double notch
    (the back of an armhole, say).
    """

    edge: str
    at: float
    count: int = 1


class MarkKind(StrEnum):
    """What an internal mark asks of the one who cuts or sews."""

    ROLL_LINE = "roll line"
    PLEAT_FOLD = "pleat fold"
    PLEAT_PLACEMENT = "pleat placement"
    DART = "dart"
    DRILL = "drill hole"
    BUTTON = "button"
    BUTTONHOLE = "buttonhole"
    CENTRE_LINE = "centre line"
    LENGTHEN = "lengthen or shorten here"
    GUIDE = "guide line"


@dataclass(frozen=True, slots=True)
class Mark:
    """A line or a point inside a piece. ``arrow`` is True where the path's direction matters (a pleat)."""

    name: str
    kind: MarkKind
    path: Path
    arrow: bool = False


@dataclass(frozen=True, slots=True)
class Cut:
    """How often a piece is cut, of which cloth: ``shell``, ``lining`` or ``interfacing``.

    ``mirrored``: half of the count is cut face down (a left and a right). ``on_fold``: the FOLD edge
    lies on a fold of the cloth and the piece opens to twice its width.
    """

    cloth: str
    count: int = 1
    mirrored: bool = False
    on_fold: bool = False


@dataclass(frozen=True)
class Piece:
    """One pattern piece. ``cut_line`` is empty until the piece is finished (``drafting.finishing``)."""

    name: str
    edges: tuple[Edge, ...]
    cuts: tuple[Cut, ...]
    grain: tuple[Point, Point]
    notches: tuple[Notch, ...] = ()
    marks: tuple[Mark, ...] = ()
    cut_line: tuple[Point, ...] = ()
    remarks: tuple[str, ...] = ()

    def edge(self, name: str) -> Edge:
        """Return the edge of that name. Raises: KeyError."""
        try:
            return self._by_name[name]
        except KeyError:
            raise KeyError(f"{self.name} has no edge {name}") from None

    def outline(self, tolerance: float = 0.05) -> tuple[Point, ...]:
        """The stitch line as a ring, the first point not repeated; within ``tolerance`` mm of the curve."""
        if tolerance not in self._outlines:
            paths = (edge.path.flatten(tolerance) for edge in self.edges)
            self._outlines[tolerance] = tuple(chain.from_iterable(points[:-1] for points in paths))
        return self._outlines[tolerance]

    @lazy
    def _by_name(self) -> dict[str, Edge]:
        return {edge.name: edge for edge in self.edges[::-1]}

    @lazy
    def ring(self) -> Rows:
        """The stitch line as ``outline`` gives it within ``FINE``, a row a point."""
        return as_array(self.outline(FINE))

    @lazy
    def _outlines(self) -> dict[float, tuple[Point, ...]]:
        """What ``outline`` made, by tolerance: several checks ask for the same ring."""
        return {}

    @property
    def on_fold(self) -> bool:
        return any(cut.on_fold for cut in self.cuts)

    def with_(self, **changes: object) -> Piece:
        """The piece with other values; with the same edges what was made of them is kept."""
        other: Piece = replace(self, **changes)  # type: ignore[arg-type]  # not typed by field
        if other.edges is self.edges:
            kept = ((name, self.__dict__[name]) for name in _OF_EDGES if name in self.__dict__)
            other.__dict__.update(kept)
        return other


_OF_EDGES: Final = ("_by_name", "_outlines", "ring")


@dataclass(frozen=True, slots=True)
class EdgeRef:
    """An edge of a piece as it is met when a seam is walked; ``reverse`` walks it from its end."""

    piece: str
    edge: str
    reverse: bool = False


class Method(StrEnum):
    """How two sets of edges are brought together. The costing room derives operations from it."""

    PLAIN = "plain"  # sewn, pressed open or to one side, neatened
    EASED = "eased"
    GATHERED = "gathered"
    PLEATED = "pleated"  # one side is pleated down to the other
    DART = "dart"
    FACED = "faced"  # a facing is joined to an edge, graded, turned and pressed
    ENCLOSED = "enclosed"  # a collar's outer edge: sewn, graded, turned
    ZIP = "zip"
    LINED = "lined"  # a lining is joined to the shell
    TOPSTITCHED = "topstitched"  # folded in and sewn down from the right side


@dataclass(frozen=True, slots=True)
class Seam:
    """Edges sewn to edges. Both sides are listed and directed so that they start and end together.

    ``ease`` = length of ``a`` - length of ``b`` as intended. ``times`` counts how often the seam is sewn on
    the whole garment (2 for a left and a right).
    """

    name: str
    a: tuple[EdgeRef, ...]
    b: tuple[EdgeRef, ...]
    ease: float = 0.0
    method: Method = Method.PLAIN
    times: int = 1


@dataclass(frozen=True, slots=True)
class CornerRef:
    """The inner angle of a piece between the edge ``before`` and the edge ``after`` it in the outline."""

    piece: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Continuation:
    """Corners that lie side by side once sewn, so that a line runs smoothly across them.

    Their angles sum to ``total_deg``: 180 across a seam, 90 at a centre fold.
    """

    name: str
    corners: tuple[CornerRef, ...]
    total_deg: float = 180.0


@dataclass(frozen=True, slots=True)
class Chord:
    """A straight width of a piece at a level, counted ``times`` on the whole garment."""

    piece: str
    start: Point
    end: Point
    times: int


@dataclass(frozen=True, slots=True)
class Level:
    """A girth of the closed garment: sum of chords x times = body + ease, mm."""

    name: str
    body: float
    ease: float
    chords: tuple[Chord, ...]


@dataclass(frozen=True, slots=True)
class PleatRun:
    """Pleats folded into one edge of one piece (a half piece is counted as the half that is drawn).

    finished width + sum of underlays = cloth width; each pleat's underlay is twice its depth.
    """

    piece: str
    edge: str
    kind: str  # knife, box, inverted
    cloth_width: float
    finished_width: float
    underlays: tuple[float, ...]
    pitch: float  # distance between neighbouring pleats once folded, mm
    greatest_overlap: float  # of neighbouring underlays, mm
    overlap_limit: float


@dataclass(frozen=True, slots=True)
class Dart:
    """A dart: two legs of equal length to a point. ``leg_edges`` names its legs in the outline, if open."""

    piece: str
    name: str
    start: Point
    apex: Point
    end: Point
    leg_edges: tuple[str, str] | None = None


@dataclass(frozen=True, slots=True)
class RollLine:
    """The line over which a grown-on lapel and collar turn; ``outer`` names the edges beyond it."""

    piece: str
    start: Point
    end: Point
    outer: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NotionNeed:
    """What is bought by the piece for this garment: ``kind`` is zip, button, hook, tape ..."""

    kind: str
    count: float
    size_mm: float | None = None  # length of a zip or tape, diameter of a button
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Finished:
    """A measurement of the finished garment beside the body's own, mm; ``body`` None where there is none."""

    name: str
    garment: float
    body: float | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """One truing check: passes where ``value`` <= ``limit``."""

    name: str
    value: float
    limit: float
    remark: str = ""

    @property
    def ok(self) -> bool:
        return self.value <= self.limit


@dataclass(frozen=True)
class Draft:
    """A garment's pattern with everything the other rooms read from it."""

    style: str
    choices: Mapping[str, str | float | int | bool]
    body: Body
    house: Mapping[str, float]
    engine: str
    pieces: tuple[Piece, ...]
    seams: tuple[Seam, ...]
    continuations: tuple[Continuation, ...] = ()
    levels: tuple[Level, ...] = ()
    pleats: tuple[PleatRun, ...] = ()
    darts: tuple[Dart, ...] = ()
    roll_lines: tuple[RollLine, ...] = ()
    notions: tuple[NotionNeed, ...] = ()
    finished: tuple[Finished, ...] = ()
    checks: tuple[Check, ...] = ()
    cautions: tuple[str, ...] = ()
    notes: tuple[str, ...] = field(default=())  # sewing notes in order, in the workshop's words

    def piece(self, name: str) -> Piece:
        """Return the piece of that name. Raises: KeyError."""
        try:
            return self._by_name[name]
        except KeyError:
            raise KeyError(f"{self.style} has no piece {name}") from None

    @lazy
    def _by_name(self) -> dict[str, Piece]:
        return {piece.name: piece for piece in self.pieces[::-1]}

    def walk(self, refs: tuple[EdgeRef, ...]) -> Iterator[Path]:
        """The paths of one side of a seam, each directed as it is met."""
        for ref in refs:
            path = self.piece(ref.piece).edge(ref.edge).path
            yield path.reversed() if ref.reverse else path

    def side_length(self, refs: tuple[EdgeRef, ...]) -> float:
        """Length of one side of a seam, mm."""
        return sum(self.piece(ref.piece).edge(ref.edge).length for ref in refs)

    @property
    def passed(self) -> bool:
        return all(check.ok for check in self.checks)
