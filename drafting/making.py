"""A garment while its recipe composes it: sketches, and what belongs together.

Parts (``drafting.styles.parts``) add to one ``Making`` after another; ``draft()`` turns all of it into the
frozen ``Draft``. What a part says about edges is kept by name until then, so that a later part may still
reshape a sketch or split it in two.

Frame: that of the blocks, x from the centre of the body outward, y from the natural waist at the centre
upward; bodices, skirts and dresses in one share it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import IntEnum, auto

from drafting.blocks.centre import Centre
from drafting.blocks.rules import House
from drafting.blocks.sketch import Sketch
from drafting.body import Body
from drafting.geometry import Path, Point
from drafting.pattern import (
    Continuation,
    Draft,
    EdgeKind,
    EdgeRef,
    Finished,
    Level,
    Method,
    NotionNeed,
    PleatRun,
    RollLine,
    Seam,
)

_UNEASED = 0.05  # mm: edges that differ by less are sewn as equals


class Phase(IntEnum):
    """When a seam is sewn. Seams of one phase keep the order in which they were said."""

    DARTS = auto()
    PANELS = auto()  # seams inside a front, a back or a skirt: princess lines, yokes, gores
    POCKETS = auto()
    SHOULDERS = auto()
    FACINGS = auto()  # facings and collars made up, before they meet the garment
    NECK = auto()
    SLEEVES = auto()  # made up before they are set in
    ARMHOLES = auto()
    SIDES = auto()
    SKIRT = auto()
    WAIST = auto()
    LINING = auto()
    CLOSURE = auto()
    HEM = auto()


@dataclass(frozen=True, slots=True)
class Step:
    """An edge of a sketch as it is met when a line is walked; ``backward`` against its stroke's direction."""

    piece: str
    edge: str
    backward: bool = False


Run = tuple[Step, ...]
"""A line across one or more edges, directed: one side of a seam."""


def run(piece: str, *edges: str) -> Run:
    """The edges of a piece, each in its own direction."""
    return tuple(Step(piece, edge) for edge in edges)


def back_along(line: Run) -> Run:
    """The same line walked from its end."""
    return tuple(Step(step.piece, step.edge, not step.backward) for step in line[::-1])


@dataclass(frozen=True, slots=True)
class Corner:
    """The corner of a sketch between two neighbouring edges."""

    piece: str
    one: str
    other: str


@dataclass(frozen=True, slots=True)
class Width:
    """A straight width at a level, in its sketch's frame, counted ``times`` on the whole garment."""

    piece: str
    start: Point
    end: Point
    times: int = 2


@dataclass(frozen=True, slots=True)
class _Sewn:
    phase: Phase
    name: str
    a: Run
    b: Run
    method: Method
    times: int
    ease: float


@dataclass(frozen=True, slots=True)
class _Smooth:
    name: str
    corners: tuple[Corner, ...]
    total_deg: float


@dataclass(slots=True)
class _Girth:
    body: float
    ease: float
    widths: list[Width] = field(default_factory=list)


@dataclass(slots=True)
class Making:
    """What the parts of a style have drawn and said so far.

    ``lines`` are lines by role, which parts use to find one another's edges whatever pieces they lie on:
    "front neck" (neck point to centre), "front shoulder" (outward), "front armhole" (downward), "front side"
    (downward), "front waist" (outward, darts left out), "front hem" (outward), "skirt front waist" ... and
    the same with "back". ``centres`` say how "front" and "back" meet their other half; ``shells`` name the
    piece of the shell that is the "front" and the "back" of the upper garment, and "skirt front" and "skirt
    back". ``waist_height`` is how far above the natural waist the seam to the skirt lies at the centre, mm;
    below 0 where it is dropped.
    """

    body: Body
    house: House
    choices: Mapping[str, str | float | int | bool]
    sketches: dict[str, Sketch] = field(default_factory=dict)
    lines: dict[str, Run] = field(default_factory=dict)
    centres: dict[str, Centre] = field(default_factory=lambda: {"front": Centre(), "back": Centre()})
    shells: dict[str, str] = field(default_factory=dict)
    waist_height: float = 0.0
    pleats: list[PleatRun] = field(default_factory=list)
    roll_lines: list[RollLine] = field(default_factory=list)
    notions: list[NotionNeed] = field(default_factory=list)
    finished: list[Finished] = field(default_factory=list)
    _sewn: list[_Sewn] = field(default_factory=list)
    _smooth: list[_Smooth] = field(default_factory=list)
    _girths: dict[str, _Girth] = field(default_factory=dict)
    _notes: list[tuple[Phase, str]] = field(default_factory=list)

    # Choices

    def chosen(self, name: str, otherwise: str = "") -> str:
        """The option chosen, or ``otherwise`` where the style has no such choice."""
        return str(self.choices.get(name, otherwise))

    def length(self, name: str, otherwise: float) -> float:
        """A length chosen, mm; 0 or no such choice leaves it to ``otherwise``."""
        value = self.choices.get(name, 0.0)
        return float(value) if value else otherwise

    # What parts say

    def add(self, sketch: Sketch) -> Sketch:
        """Add a piece. Raises: ValueError where there is one of its name."""
        if sketch.name in self.sketches:
            raise ValueError(f"there is a piece {sketch.name} already")
        self.sketches[sketch.name] = sketch
        return sketch

    def shell(self, role: str) -> Sketch:
        """The shell piece of a role: "front", "back", "skirt front" ... Raises: KeyError."""
        return self.sketches[self.shells[role]]

    def sew(
        self,
        phase: Phase,
        name: str,
        a: Run,
        b: Run,
        method: Method = Method.PLAIN,
        *,
        times: int = 2,
        ease: float = 0.0,
    ) -> None:
        """Say that ``a`` is sewn to ``b``; ``ease`` = length a - length b as intended, mm."""
        self._sewn.append(_Sewn(phase, name, a, b, method, times, ease))

    def smooth(self, name: str, *corners: Corner, total_deg: float = 180.0) -> None:
        """Say that a line runs on across these corners, once sewn."""
        self._smooth.append(_Smooth(name, corners, total_deg))

    def square(self, name: str, corner: Corner) -> None:
        """Say that a line crosses the centre squarely there."""
        self._smooth.append(_Smooth(name, (corner,), 90.0))

    def girth(self, name: str, body: float, ease: float, *widths: Width) -> None:
        """Say widths that make up a girth of the closed garment; several parts may add to one."""
        self._girths.setdefault(name, _Girth(body, ease)).widths.extend(widths)

    def note(self, phase: Phase, text: str) -> None:
        """Add a sewing note, in the workshop's words."""
        self._notes.append((phase, text))

    # What parts ask

    def centre(self, role: str) -> Centre:
        """How a half meets its other half: as said of "skirt front" itself, else as said of the "front"."""
        return self.centres.get(role) or self.centres[role.rsplit(" ", 1)[-1]]

    def at_zip(self, piece: str) -> bool:
        """Whether a piece has an edge that a zip opens."""
        return any(stroke.kind is EdgeKind.OPENING for stroke in self.sketches[piece].strokes)

    def height_of(self, girth: str) -> float | None:
        """The height at which a girth is measured at the centre, in its piece's frame; None without it."""
        said = self._girths.get(girth)
        return said.widths[0].start.y if said and said.widths else None

    def widths(self, girth: str, piece: str) -> list[Width]:
        """The widths of a piece that were said of a girth, from the centre outward."""
        found = self._girths.get(girth)
        return [width for width in found.widths if width.piece == piece] if found else []

    def run_length(self, line: Run) -> float:
        """Length of a line, mm."""
        return sum(self.sketches[step.piece].path(step.edge).length for step in line)

    def run_path(self, name: str) -> Path:
        """The joined path of a line by role, in the blocks' frame. Raises: KeyError, ValueError (a gap)."""
        found: Path | None = None
        for step in self.lines[name]:
            path = self.sketches[step.piece].path(step.edge)
            path = path.reversed() if step.backward else path
            found = path if found is None else found.joined(path)
        if found is None:
            raise KeyError(name)
        return found

    # What operations change

    def renamed(self, old: Step, new: Run) -> None:
        """Let ``new``, walked in the direction of the old edge's stroke, stand for an edge that was split."""
        assert not old.backward
        self._follow(old.piece, lambda step: new if step.edge == old.edge else (step,))

    def sewn_once(self, name: str, called: str) -> None:
        """Let a seam that was said of left and right be sewn on one side alone, and call it so."""
        self._sewn = [
            replace(sewn, name=called, times=1) if sewn.name == name else sewn for sewn in self._sewn
        ]

    def lengthened(self, piece: str, edge: str, by: float) -> None:
        """Let each seam of an edge that has become longer (or shorter: less than 0) reckon with it, mm.

        A seam that was eased and has no ease left is sewn plain.
        """
        for i, sewn in enumerate(self._sewn):
            on_a, on_b = (
                sum((step.piece, step.edge) == (piece, edge) for step in side) for side in (sewn.a, sewn.b)
            )
            if on_a == on_b:
                continue
            ease = sewn.ease + (on_a - on_b) * by
            ease = 0.0 if abs(ease) < _UNEASED else ease
            plain = sewn.method is Method.EASED and ease == 0.0
            self._sewn[i] = replace(sewn, ease=ease, method=Method.PLAIN if plain else sewn.method)

    def replaced(
        self,
        piece: str,
        sketches: Sequence[Sketch],
        edges: Mapping[str, Run],
        widths: Callable[[Width], Sequence[Width]],
    ) -> None:
        """Let other sketches stand for a piece, and let all that was said of it follow.

        Args:
            piece: the piece as it was named.
            sketches: what it has become: itself in another shape, or the pieces that it was parted into. The
                one of its name, else the first, is the shell of its roles; others get a role of their name.
            edges: for an edge by its old name what stands for it now, walked in the direction of the old
                stroke; what is not named is on the first sketch as it was.
            widths: what has become of a width of the piece.

        Raises: ValueError where a corner that was said is no more.
        """
        at = list(self.sketches)
        new = [s for name in at for s in (sketches if name == piece else (self.sketches[name],))]
        self.sketches = {sketch.name: sketch for sketch in new}
        heir = next((s.name for s in sketches if s.name == piece), sketches[0].name)
        if piece in self.shells.values():
            self.shells = {role: heir if name == piece else name for role, name in self.shells.items()}
            self.shells |= {sketch.name: sketch.name for sketch in sketches if sketch.name != heir}
        first = sketches[0].name

        self._follow(piece, lambda step: edges.get(step.edge, (Step(first, step.edge),)))
        for girth in self._girths.values():
            girth.widths = [
                w for old in girth.widths for w in (widths(old) if old.piece == piece else (old,))
            ]

    def _follow(self, piece: str, stands: Callable[[Step], Run]) -> None:
        """Let all that names an edge of a piece name what stands for it, given for its own direction."""

        def now(step: Step) -> Run:
            return stands(step) if step.piece == piece else (step,)

        def other(line: Run) -> Run:
            if all(step.piece != piece for step in line):
                return line
            parts = (
                (back_along(now(Step(step.piece, step.edge))) if step.backward else now(step))
                for step in line
            )
            return tuple(step for part in parts for step in part)

        self.lines = {name: other(line) for name, line in self.lines.items()}
        for i, sewn in enumerate(self._sewn):
            a, b = other(sewn.a), other(sewn.b)
            if a is not sewn.a or b is not sewn.b:
                self._sewn[i] = replace(sewn, a=a, b=b)
        for i, smooth in enumerate(self._smooth):
            if any(corner.piece == piece for corner in smooth.corners):
                corners = tuple(self._corner_now(corner, now) for corner in smooth.corners)
                self._smooth[i] = replace(smooth, corners=corners)
        for i, pleats in enumerate(self.pleats):
            (step,) = now(Step(pleats.piece, pleats.edge))  # pleats are not parted
            self.pleats[i] = replace(pleats, piece=step.piece, edge=step.edge)
        for i, line in enumerate(self.roll_lines):
            outer = tuple(step for edge in line.outer for step in now(Step(line.piece, edge)))
            self.roll_lines[i] = replace(line, piece=outer[0].piece, outer=tuple(s.edge for s in outer))

    def _corner_now(self, corner: Corner, stands: Callable[[Step], Run]) -> Corner:
        """Where the corner lies now: of what stands for its edges, the two that adjoin."""
        for one in stands(Step(corner.piece, corner.one)):
            for other in stands(Step(corner.piece, corner.other)):
                if one.piece == other.piece and self.sketches[one.piece].adjoin(one.edge, other.edge):
                    return Corner(one.piece, one.edge, other.edge)
        raise ValueError(f"{corner.piece} has no corner of {corner.one} and {corner.other} any more")

    # The draft

    def draft(self, style: str) -> Draft:
        """Return what was composed, not yet finished and checked."""
        self._sew_darts()
        pieces = tuple(sketch.piece() for sketch in self.sketches.values())
        return Draft(
            style,
            dict(self.choices),
            self.body,
            dict(self.house),
            "",
            pieces,
            tuple(self._seam(sewn) for sewn in sorted(self._sewn, key=lambda sewn: sewn.phase)),
            tuple(self._continuation(smooth) for smooth in self._smooth),
            tuple(self._level(name, girth) for name, girth in self._girths.items()),
            tuple(self.pleats),
            tuple(dart for sketch in self.sketches.values() for dart in sketch.finished_darts()),
            tuple(self.roll_lines),
            tuple(self.notions),
            tuple(self.finished),
            notes=tuple(text for _, text in sorted(self._notes, key=lambda note: note[0])),
        )

    def _sew_darts(self) -> None:
        """Every dart that is open at an outline is sewn, and the outline runs on across it."""
        for sketch in self.sketches.values():
            for dart in sketch.darts:
                if dart.leg_edges is None:
                    continue
                one, other = dart.leg_edges
                name = f"{sketch.name} {dart.name}"
                self.sew(Phase.DARTS, name, run(sketch.name, one), run(sketch.name, other), Method.DART)
                before, after = _neighbours(sketch, one, other)
                self.smooth(
                    f"{sketch.name} across {dart.name}",
                    Corner(sketch.name, before, one),
                    Corner(sketch.name, other, after),
                )

    def _refs(self, line: Run) -> tuple[EdgeRef, ...]:
        return tuple(self.sketches[step.piece].ref(step.edge, backward=step.backward) for step in line)

    def _seam(self, sewn: _Sewn) -> Seam:
        times = sewn.times
        return Seam(sewn.name, self._refs(sewn.a), self._refs(sewn.b), sewn.ease, sewn.method, times)

    def _continuation(self, smooth: _Smooth) -> Continuation:
        corners = tuple(self.sketches[c.piece].corner(c.one, c.other) for c in smooth.corners)
        return Continuation(smooth.name, corners, smooth.total_deg)

    def _level(self, name: str, girth: _Girth) -> Level:
        chords = tuple(self.sketches[w.piece].chord(w.start, w.end, w.times) for w in girth.widths)
        return Level(name, girth.body, girth.ease, chords)


def _neighbours(sketch: Sketch, one: str, other: str) -> tuple[str, str]:
    """The edge next to leg ``one`` and the edge next to leg ``other``, away from the dart."""
    names = [stroke.name for stroke in sketch.strokes]
    at = names.index(one)
    before, after = names[at - 1], names[(at + 1) % len(names)]
    if after == other:
        return before, names[(at + 2) % len(names)]
    return after, names[at - 2]
