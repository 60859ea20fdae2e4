"""A draft as plain JSON that a program knowing nothing of this code can check, and back again.

Besides the keys that the contract names, everything else of a draft is kept under further keys, so that
``read_contract`` gives back the same draft with its curves as polylines. All lengths are mm; points are
rounded to a ten-thousandth, and the lengths of seams are those of the lines as written.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, Final

from drafting.geometry import Path, Point, distance
from drafting.output.contract_reader import Reader
from drafting.pattern import (
    Check,
    Chord,
    Continuation,
    Corner,
    CornerRef,
    Cut,
    Dart,
    Draft,
    Edge,
    EdgeKind,
    EdgeRef,
    Finished,
    Level,
    Mark,
    MarkKind,
    Method,
    Notch,
    NotionNeed,
    Piece,
    PleatRun,
    RollLine,
    Seam,
)

CONTRACT: Final = 1
TOLERANCE: Final = 0.02
"""Lines are written within this of the true curve, mm; the contract asks for 0.05."""

_DIGITS: Final = 4

Json = dict[str, Any]
Lengths = dict[tuple[str, str], float]


def to_contract(draft: Draft) -> Json:
    """Return the draft as JSON values. The same draft gives the same values in the same order."""
    pieces = [_piece(piece) for piece in draft.pieces]
    lengths = {
        (piece["name"], edge["name"]): _length(edge["line"]) for piece in pieces for edge in piece["edges"]
    }
    return {
        "contract": CONTRACT,
        "style": draft.style,
        "choices": dict(sorted(draft.choices.items())),
        "house": {name: float(value) for name, value in sorted(draft.house.items())},
        "engine": draft.engine,
        "unit": "mm",
        "age_years": draft.body.age_years,
        "fit": {name: float(amount) for name, amount in sorted(draft.body.fit.items())},
        "body": {
            name: {"value": measure.value, "given": measure.given, "error": measure.error}
            for name, measure in draft.body.measures.items()
        },
        "pieces": pieces,
        "seams": [_seam(seam, lengths) for seam in draft.seams],
        "continuations": [_continuation(line) for line in draft.continuations],
        "levels": {level.name: _level(level) for level in draft.levels},
        "pleats": [_pleats(run) for run in draft.pleats],
        "darts": [_dart(dart) for dart in draft.darts],
        "roll_lines": [_roll_line(line) for line in draft.roll_lines],
        "notions": [
            {"kind": need.kind, "count": float(need.count), "size": need.size_mm, "remark": need.remark}
            for need in draft.notions
        ],
        "finished": [
            {"name": row.name, "garment": float(row.garment), "body": row.body} for row in draft.finished
        ],
        "checks": [
            {
                "name": check.name,
                "value": float(check.value),
                "limit": float(check.limit),
                "ok": check.ok,
                "remark": check.remark,
            }
            for check in draft.checks
        ],
        "cautions": list(draft.cautions),
        "notes": list(draft.notes),
    }


def contract_text(draft: Draft) -> str:
    """Return the draft as JSON text, ending in a line feed; the same draft gives the same bytes."""
    written = json.dumps(to_contract(draft), ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return written + "\n"


def _number(value: float) -> float:
    # Adding nothing turns -0.0 into 0.0.
    return round(float(value), _DIGITS) + 0.0


def _point(point: Point) -> list[float]:
    return [_number(point.x), _number(point.y)]


def _line(path: Path) -> list[list[float]]:
    return [_point(point) for point in path.flatten(TOLERANCE)]


def _length(line: Sequence[Sequence[float]]) -> float:
    return sum(distance(Point(*a), Point(*b)) for a, b in pairwise(line))


def _piece(piece: Piece) -> Json:
    return {
        "name": piece.name,
        "cut": [
            {"cloth": cut.cloth, "count": cut.count, "mirrored": cut.mirrored, "on_fold": cut.on_fold}
            for cut in piece.cuts
        ],
        "edges": [
            {
                "name": edge.name,
                "kind": edge.kind.value,
                "line": _line(edge.path),
                "allowance": float(edge.allowance),
                "end_corner": edge.end_corner.value,
            }
            for edge in piece.edges
        ],
        "cut_line": [_point(point) for point in piece.cut_line],
        "grain": [_point(point) for point in piece.grain],
        "notches": [
            {"edge": notch.edge, "at": _number(notch.at), "count": notch.count} for notch in piece.notches
        ],
        "internal": [
            {"name": mark.name, "line": _line(mark.path), "kind": mark.kind.value, "arrow": mark.arrow}
            for mark in piece.marks
        ],
        "remarks": list(piece.remarks),
    }


def _seam(seam: Seam, lengths: Lengths) -> Json:
    return {
        "name": seam.name,
        "a": [[ref.piece, ref.edge] for ref in seam.a],
        "b": [[ref.piece, ref.edge] for ref in seam.b],
        "ease": float(seam.ease),
        "length_a": _number(sum(lengths[ref.piece, ref.edge] for ref in seam.a)),
        "length_b": _number(sum(lengths[ref.piece, ref.edge] for ref in seam.b)),
        "reverse_a": [ref.reverse for ref in seam.a],
        "reverse_b": [ref.reverse for ref in seam.b],
        "method": seam.method.value,
        "times": seam.times,
    }


def _continuation(line: Continuation) -> Json:
    return {
        "name": line.name,
        "corners": [[corner.piece, corner.before, corner.after] for corner in line.corners],
        "total": float(line.total_deg),
    }


def _level(level: Level) -> Json:
    return {
        "body": float(level.body),
        "ease": float(level.ease),
        "chords": [
            {"piece": chord.piece, "from": _point(chord.start), "to": _point(chord.end), "times": chord.times}
            for chord in level.chords
        ],
    }


def _pleats(run: PleatRun) -> Json:
    return {
        "piece": run.piece,
        "edge": run.edge,
        "kind": run.kind,
        "cloth_width": float(run.cloth_width),
        "finished_width": float(run.finished_width),
        "underlays": [float(underlay) for underlay in run.underlays],
        "pitch": float(run.pitch),
        "greatest_overlap": float(run.greatest_overlap),
        "overlap_limit": float(run.overlap_limit),
    }


def _dart(dart: Dart) -> Json:
    return {
        "piece": dart.piece,
        "name": dart.name,
        "start": _point(dart.start),
        "apex": _point(dart.apex),
        "end": _point(dart.end),
        "leg_edges": None if dart.leg_edges is None else list(dart.leg_edges),
    }


def _roll_line(line: RollLine) -> Json:
    return {
        "piece": line.piece,
        "from": _point(line.start),
        "to": _point(line.end),
        "outer": list(line.outer),
    }


def read_contract(data: object) -> Draft:
    """Return the draft that ``to_contract`` wrote; its paths are polylines.

    Reading needs the contract's own keys; those that this project adds may be missing (a draft written by
    another program has none of them). Writing what was read gives the same values again.

    Raises:
        CannotDraft: a key is missing, of the wrong kind, or not finite, or one part names another that is
            not there; ``field`` is its place, as ``pieces[0].edges[1].line``.
    """
    top = Reader(data)
    if top.whole("contract") != CONTRACT:
        raise top.child("contract").refused(f"is not {CONTRACT}")
    draft = Draft(
        style=top.text("style"),
        choices=top.choices("choices"),
        body=top.body("body", "age_years", "fit"),
        house=top.numbers("house"),
        engine=top.text("engine"),
        pieces=tuple(map(_read_piece, top.items("pieces"))),
        seams=tuple(map(_read_seam, top.items("seams"))),
        continuations=tuple(map(_read_continuation, top.items("continuations", optional=True))),
        levels=tuple(_read_level(name, row) for name, row in top.named("levels")),
        pleats=tuple(map(_read_pleats, top.items("pleats", optional=True))),
        darts=tuple(map(_read_dart, top.items("darts", optional=True))),
        roll_lines=tuple(map(_read_roll_line, top.items("roll_lines", optional=True))),
        notions=tuple(map(_read_notion, top.items("notions", optional=True))),
        finished=tuple(map(_read_finished, top.items("finished", optional=True))),
        checks=tuple(map(_read_check, top.items("checks"))),
        cautions=top.texts("cautions"),
        notes=top.texts("notes", optional=True),
    )
    _refuse_loose_ends(top, draft)
    return draft


def _refuse_loose_ends(top: Reader, draft: Draft) -> None:
    """Every edge that a seam, a notch or a corner names must be there."""
    edges = {(piece.name, edge.name) for piece in draft.pieces for edge in piece.edges}
    if len(edges) != sum(len(piece.edges) for piece in draft.pieces):
        raise top.child("pieces").refused("name a piece or an edge twice")
    named = [("seams", ref.piece, ref.edge) for seam in draft.seams for ref in (*seam.a, *seam.b)]
    named += [("pieces", piece.name, notch.edge) for piece in draft.pieces for notch in piece.notches]
    named += [
        ("continuations", corner.piece, edge)
        for line in draft.continuations
        for corner in line.corners
        for edge in (corner.before, corner.after)
    ]
    named += [("pleats", run.piece, run.edge) for run in draft.pleats]
    for field, piece, edge in named:
        if (piece, edge) not in edges:
            raise top.child(field).refused(f"name an edge {edge!r} of a piece {piece!r} that is not there")
    pieces = {piece.name for piece in draft.pieces}
    for level in draft.levels:
        for chord in level.chords:
            if chord.piece not in pieces:
                raise top.child("levels").refused(f"name a piece {chord.piece!r} that is not there")


def _read_piece(row: Reader) -> Piece:
    grain = row.points("grain", least=2)
    return Piece(
        name=row.text("name"),
        edges=tuple(map(_read_edge, row.items("edges"))),
        cuts=tuple(map(_read_cut, row.items("cut"))),
        grain=(grain[0], grain[-1]),
        notches=tuple(
            Notch(notch.text("edge"), notch.number("at"), notch.whole("count", 1))
            for notch in row.items("notches")
        ),
        marks=tuple(map(_read_mark, row.items("internal"))),
        cut_line=row.points("cut_line"),
        remarks=row.texts("remarks", optional=True),
    )


def _read_edge(row: Reader) -> Edge:
    return Edge(
        name=row.text("name"),
        kind=row.one_of("kind", EdgeKind),
        path=Path.polyline(row.points("line", least=2)),
        allowance=row.number("allowance"),
        end_corner=row.one_of("end_corner", Corner, Corner.MITRE),
    )


def _read_cut(row: Reader) -> Cut:
    return Cut(row.text("cloth"), row.whole("count"), row.flag("mirrored"), row.flag("on_fold"))


def _read_mark(row: Reader) -> Mark:
    return Mark(
        row.text("name"),
        row.one_of("kind", MarkKind, MarkKind.GUIDE),
        Path.polyline(row.points("line", least=2)),
        row.flag("arrow", False),
    )


def _read_seam(row: Reader) -> Seam:
    return Seam(
        name=row.text("name"),
        a=_read_refs(row, "a"),
        b=_read_refs(row, "b"),
        ease=row.number("ease"),
        method=row.one_of("method", Method, Method.PLAIN),
        times=row.whole("times", 1),
    )


def _read_refs(row: Reader, side: str) -> tuple[EdgeRef, ...]:
    names = row.text_rows(side, 2)
    turned = row.flags(f"reverse_{side}", len(names))
    return tuple(EdgeRef(piece, edge, reverse) for (piece, edge), reverse in zip(names, turned, strict=True))


def _read_continuation(row: Reader) -> Continuation:
    corners = tuple(CornerRef(*names) for names in row.text_rows("corners", 3))
    return Continuation(row.text("name"), corners, row.number("total"))


def _read_level(name: str, row: Reader) -> Level:
    chords = tuple(
        Chord(chord.text("piece"), chord.point("from"), chord.point("to"), chord.whole("times"))
        for chord in row.items("chords")
    )
    return Level(name, row.number("body"), row.number("ease"), chords)


def _read_pleats(row: Reader) -> PleatRun:
    return PleatRun(
        piece=row.text("piece"),
        edge=row.text("edge"),
        kind=row.text("kind"),
        cloth_width=row.number("cloth_width"),
        finished_width=row.number("finished_width"),
        underlays=row.number_list("underlays"),
        pitch=row.number("pitch"),
        greatest_overlap=row.number("greatest_overlap"),
        overlap_limit=row.number("overlap_limit"),
    )


def _read_dart(row: Reader) -> Dart:
    legs = row.texts("leg_edges", optional=True)
    if len(legs) not in (0, 2):
        raise row.child("leg_edges").refused("must name two edges, or none")
    return Dart(
        piece=row.text("piece"),
        name=row.text("name"),
        start=row.point("start"),
        apex=row.point("apex"),
        end=row.point("end"),
        leg_edges=(legs[0], legs[1]) if legs else None,
    )


def _read_roll_line(row: Reader) -> RollLine:
    return RollLine(row.text("piece"), row.point("from"), row.point("to"), row.texts("outer"))


def _read_notion(row: Reader) -> NotionNeed:
    return NotionNeed(row.text("kind"), row.number("count"), row.number_or_none("size"), row.text("remark"))


def _read_finished(row: Reader) -> Finished:
    return Finished(row.text("name"), row.number("garment"), row.number_or_none("body"))


def _read_check(row: Reader) -> Check:
    return Check(row.text("name"), row.number("value"), row.number("limit"), row.text("remark", ""))
