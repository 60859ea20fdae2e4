"""Panels as they are drawn: cloth with its edges, seams and closed darts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from drafting.geometry import Path, Point, distance
from drafting.output.figure.ink import area, stroke, way
from drafting.output.figure.panels import Line, Panel, Side, upright
from drafting.output.shapes import Shape
from drafting.pattern import Dart, Draft, Edge, EdgeKind, RollLine

_TURNED = ("collar", "lapel")
_HUNG = ("skirt", "sleeve")
_ON = 0.5  # mm: a mark this near to a leg lies on it
_FALLS = 0.6  # of what is left open below a tuck: so far its fold is seen (drawing only)


def cloth_shapes(
    draft: Draft, side: Side, sign: float, roll: RollLine | None = None, between: Sequence[Shape] = ()
) -> list[Shape]:
    """One side of a garment: first the half that lies under, then ``between``, then that at ``sign``.

    What lies beyond a ``roll`` line is left out.
    """
    rings = [_ring(side, index, panel, roll) for index, panel in enumerate(side.panels)]
    lines = [pair for i, panel in enumerate(side.panels) for pair in _lines(draft, side, i, panel, roll)]

    def half(here: float) -> list[Shape]:
        filled = [area("cloth", way(ring, here)) for ring in rings]
        return filled + [stroke(style, way(line, here)) for style, line in lines]

    return [*half(-sign), *between, *half(sign)]


def _ring(side: Side, index: int, panel: Panel, roll: RollLine | None) -> Line:
    """The outline as drawn: straight across a dart at the side, and along a roll line."""
    skipped = _skipped(panel, roll)
    points: list[Point] = []
    for edge in panel.piece.edges:
        if edge.name not in skipped:
            points += side.line(index, edge)
    return tuple(points)


def _skipped(panel: Panel, roll: RollLine | None) -> set[str]:
    names = {name for dart in panel.darts if not upright(dart) for name in dart.leg_edges or ()}
    edges = {edge.name for edge in panel.piece.edges}
    if "placket edge" in edges:  # folded back: what lies beyond the fold is not seen
        names |= {name for name in edges if name.startswith("placket")}
    if roll is not None and roll.piece == panel.piece.name:
        names |= {edge.name for edge in panel.piece.edges if any(word in edge.name for word in _TURNED)}
        names |= {edge.name for edge in panel.piece.edges if edge.name.startswith("neck")}
    return names


def _lines(
    draft: Draft, side: Side, index: int, panel: Panel, roll: RollLine | None
) -> Iterator[tuple[str, Line]]:
    skipped = _skipped(panel, roll)
    for edge in panel.piece.edges:
        style = _style(draft, side, panel, edge)
        if not style or edge.name in skipped:
            continue
        tuck = _tuck(panel, edge) if edge.kind is EdgeKind.DART else None
        if tuck is None:
            yield style, side.line(index, edge)
        else:
            for shown, path in zip(("seam", "fold"), tuck, strict=True):
                yield shown, tuple(side.place(index, p) for p in panel.points(path))
    for dart in panel.darts:
        if not upright(dart):
            yield "seam", _side_dart(side, index, panel, dart)
            yield "edge", tuple(side.place(index, panel.closed(panel.out(p))) for p in (dart.start, dart.end))
        elif dart.leg_edges is None:
            legs = (panel.out(dart.start), panel.out(dart.apex))
            yield "seam", tuple(side.place(index, panel.closed(p)) for p in legs)


def _tuck(panel: Panel, edge: Edge) -> tuple[Path, Path] | None:
    """The part of a dart's leg that is sewn as a tuck, and the fold below it; None where it is no tuck."""
    for mark in panel.piece.marks:
        if mark.name.startswith("sew the tuck"):
            at = distance(edge.path.start, mark.path.start)
            if at < edge.length and distance(edge.path.point_at(at), mark.path.start) < _ON:
                one, other = edge.path.split_at(at)
                return (one, _begun(other)) if one.length < other.length else (other, _begun(one.reversed()))
    return None


def _begun(path: Path) -> Path:
    return path.split_at(_FALLS * path.length)[0]


def _side_dart(side: Side, index: int, panel: Panel, dart: Dart) -> Line:
    mouth = Point((dart.start[0] + dart.end[0]) / 2, (dart.start[1] + dart.end[1]) / 2)
    return tuple(side.place(index, panel.closed(panel.out(p))) for p in (mouth, dart.apex))


def _style(draft: Draft, side: Side, panel: Panel, edge: Edge) -> str:
    """How an edge is drawn: not at all on a fold, thinly where more cloth is joined to it."""
    if edge.kind is EdgeKind.FOLD:
        return ""
    if edge.kind in (EdgeKind.DART, EdgeKind.OPENING) or edge.name.startswith("centre "):
        return "seam"
    others = {other.piece.name for other in side.panels if other is not panel}
    hung = () if panel.piece.name.startswith(_HUNG) else _HUNG
    for seam in draft.seams:
        for mine, theirs in ((seam.a, seam.b), (seam.b, seam.a)):
            if any(ref.piece == panel.piece.name and ref.edge == edge.name for ref in mine) and any(
                ref.piece in others or ref.piece.startswith(hung) for ref in theirs
            ):
                return "seam"
    return "edge"


def hem_lines(side: Side) -> list[Line]:
    """How deep the hem is turned: a line above each hem edge."""
    found = []
    for index, panel in enumerate(side.panels):
        for edge in panel.piece.edges:
            if edge.kind is EdgeKind.HEM and edge.name == "hem" and edge.allowance > 8.0:
                up = Point(0.0, edge.allowance)
                line = (p + up for p in side.line(index, edge))
                found.append(tuple(Point(min(p[0], side.half_width(p[1])), p[1]) for p in line))
    return found
