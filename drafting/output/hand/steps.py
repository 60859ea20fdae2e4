"""The words of a hand-drafting sheet: what to rule, step by step, and the numbers in tables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import IntEnum, auto

from drafting.output.hand.plan import HandPiece, Inside, Ruled, Station
from drafting.output.hand.tape import Tape
from drafting.pattern import Draft, EdgeKind, Method

_ON_IT = "none: on the base line"


class Stage(IntEnum):
    """What a step adds to the drawing."""

    FRAME = auto()
    POINTS = auto()
    LINES = auto()
    CURVES = auto()
    INSIDE = auto()
    ALLOWANCE = auto()


@dataclass(frozen=True, slots=True)
class Table:
    """Numbers in rows under a head."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Step:
    """One step: what is done, and the tables for it."""

    stage: Stage
    words: str
    tables: tuple[Table, ...] = ()


def steps_of(piece: HandPiece, tape: Tape) -> tuple[Step, ...]:
    """Return the steps of a piece; one that would add nothing is left out."""
    found = [_frame(piece, tape), _points(piece, tape)]
    straight = [line for line in piece.lines if not line.offsets]
    curved = [line for line in piece.lines if line.offsets]
    if straight:
        found.append(_straight(straight, tape))
    if curved:
        found.append(_curves(curved, tape))
    found += [_inside(piece, tape), _allowance(piece, tape)]
    return tuple(found)


def _frame(piece: HandPiece, tape: Tape) -> Step:
    frame = piece.frame
    side, way = ("right", "left") if frame.from_right else ("left", "right")
    return Step(
        Stage.FRAME,
        f"Rule a frame {tape.words(frame.width)} {tape.unit} wide and {tape.words(frame.height)} {tape.unit} "
        f"high with square corners. Its top {side} corner is 0: measure across to the {way} "
        "and down from it.",
    )


def _points(piece: HandPiece, tape: Tape) -> Step:
    rows = tuple((c.name, tape.words(c.at.across), tape.words(c.at.down), c.words) for c in piece.corners)
    table = Table(("point", "across", "down", "where"), rows)
    return Step(Stage.POINTS, "Mark each point: across from 0 along the top, then squared down.", (table,))


def _straight(lines: list[Ruled], tape: Tape) -> Step:
    rows = tuple((f"{line.start} to {line.end}", line.edge, tape.words(line.length)) for line in lines)
    table = Table(("from, to", "edge", "length"), rows)
    return Step(Stage.LINES, "Rule the straight lines; the length is there to check them by.", (table,))


def _curves(lines: list[Ruled], tape: Tape) -> Step:
    words = (
        "For each curve rule a thin base line from point to point. Measure along it from its first point, "
        "square off it there, and draw one smooth line through the ends. Into the piece, unless it says out."
    )
    rows = tuple(row for line in lines for row in _offset_rows(line, tape))
    return Step(Stage.CURVES, words, (Table(("curve", "along its base line", "square off"), rows),))


def _offset_rows(line: Ruled, tape: Tape) -> Iterator[tuple[str, str, str]]:
    """A curve's offsets, one to a row; the curve is named in the first."""
    name = f"{line.start} to {line.end}, {line.edge} ({tape.words(line.length)} long)"
    for index, offset in enumerate(line.offsets):
        from_start = f"{tape.words(offset.along)} from {line.start}"
        yield (name if index == 0 else "", from_start, _off(offset.into, tape))


def _off(into: float, tape: Tape) -> str:
    if not into:
        return _ON_IT
    return tape.words(into) if into >= 0 else f"out {tape.words(-into)}"


def _inside(piece: HandPiece, tape: Tape) -> Step:
    words = "Rule the grain line, then the marks inside." if piece.inside else "Rule the grain line."
    rows = [
        ("grain line", _stations(piece.grain, tape)),
        *((_name(m), _stations(m.points, tape)) for m in piece.inside),
    ]
    tables = [Table(("mark", "across, down"), tuple(rows))]
    if piece.notches:
        words += " Measure each notch along its edge."
        notches = tuple(
            (n.edge, f"{tape.words(n.along)} from {n.start}", "double" if n.count > 1 else "single")
            for n in piece.notches
        )
        tables.append(Table(("notch on", "along the edge", ""), notches))
    return Step(Stage.INSIDE, words, tuple(tables))


def _name(mark: Inside) -> str:
    kind = mark.kind.value if mark.kind else "dart"
    return mark.name if kind in mark.name or mark.name in kind else f"{mark.name} ({kind})"


def _stations(stations: tuple[Station, ...], tape: Tape) -> str:
    return " to ".join(f"{tape.words(s.across)}, {tape.words(s.down)}" for s in stations)


def _allowance(piece: HandPiece, tape: Tape) -> Step:
    rows = tuple(
        (f"{tape.words(width)} {tape.unit}" if width else "none: cut on the line", ", ".join(edges))
        for width, edges in piece.allowances
    )
    words = "Add the allowances outside the line and cut there: " + "; ".join(piece.cuts) + "."
    if any(line.kind is EdgeKind.HEM for line in piece.lines):
        words += " At the hem's ends the cut line is mirrored over the hem line, so that the hem lies flat."
    if any(line.kind is EdgeKind.FOLD for line in piece.lines):
        words += " The edge on the fold of the cloth has none."
    return Step(Stage.ALLOWANCE, " ".join((words, *piece.remarks)), (Table(("allowance", "edges"), rows),))


def seam_table(draft: Draft, tape: Tape) -> Table:
    """Both sides of every seam, to be held against each other once all pieces are ruled."""
    rows = tuple(
        (
            seam.name,
            tape.words(draft.side_length(seam.a)),
            tape.words(draft.side_length(seam.b)),
            "" if seam.method in (Method.PLAIN, Method.DART) else str(seam.method),
        )
        for seam in draft.seams
        if seam.a != seam.b
    )
    return Table(("seam", "one side", "the other", ""), rows)
