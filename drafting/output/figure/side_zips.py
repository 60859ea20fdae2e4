"""A zip in the left side: where it ends, and the stitching of one that is lapped."""

from __future__ import annotations

from drafting.geometry import Point, distance, lerp
from drafting.output.figure.ink import stroke, way
from drafting.output.figure.panels import Line, Panel, Side
from drafting.output.shapes import Shape
from drafting.pattern import Draft, Edge, Method

_BAR = 12.0  # mm inward, across an end of the zip (drawing only)
_BESIDE = 10.0  # mm from the side to the stitching of a lapped zip (drawing only)


def zipped_edges(draft: Draft) -> set[tuple[str, str]]:
    """Pieces and edges between which a zip lies in a side; one at the centre closes an edge on itself."""
    return {
        (ref.piece, ref.edge)
        for seam in draft.seams
        if seam.method is Method.ZIP and seam.a != seam.b
        for ref in (*seam.a, *seam.b)
    }


def side_zip_shapes(draft: Draft, side: Side, sign: float) -> list[Shape]:
    """The zip on the panels of one side of the garment: on the wearer's left, which is the half under.

    It is stitched over the front where it is lapped.
    """
    edges = zipped_edges(draft)
    lapped = sign < 0 and draft.choices.get("zip_set") == "lapped"
    shapes = []
    for index, panel in enumerate(side.panels):
        for edge in panel.piece.edges:
            if (panel.piece.name, edge.name) in edges:
                ends = _ends(panel, edge, edges)
                shapes += _drawn(side.line(index, edge), ends, lapped=lapped, sign=sign)
    return shapes


def hung_zip_shapes(draft: Draft, waist: Line, foot: Point, names: set[str], sign: float) -> list[Shape]:
    """The zip of a skirt that hangs in folds: down from the waist along its side, to ``foot`` at the hem.

    ``names``: the pieces of that side of the skirt.
    """
    found = [(piece, edge) for piece, edge in zipped_edges(draft) if piece in names]
    if not found:
        return []
    long = sum(draft.piece(piece).edge(edge).length for piece, edge in found)
    top = max(waist, key=lambda p: p[0])
    end = lerp(top, foot, min(long / distance(top, foot), 1.0))
    lapped = sign < 0 and draft.choices.get("zip_set") == "lapped"
    return _drawn((top, end), (False, True), lapped=lapped, sign=sign)


def _ends(panel: Panel, edge: Edge, zipped: set[tuple[str, str]]) -> tuple[bool, bool]:
    """Whether the side goes on, sewn, beyond the start and beyond the end of a zipped edge."""
    others = [
        end
        for other in panel.piece.edges
        if other.name.startswith("side") and (panel.piece.name, other.name) not in zipped
        for end in (other.path.start, other.path.end)
    ]
    first, last = (any(distance(p, q) < 0.01 for q in others) for p in (edge.path.start, edge.path.end))
    return first, last


def _drawn(line: Line, closed: tuple[bool, bool], *, lapped: bool, sign: float) -> list[Shape]:
    ends = (line[0], line[-1])
    bars = [(p, p - Point(_BAR, 0.0)) for p, here in zip(ends, closed, strict=True) if here]
    shapes = [stroke("seam", way(shown, -sign)) for shown in (line, *bars)]
    if lapped:
        beside = tuple(p - Point(_BESIDE, 0.0) for p in line)
        shapes.append(stroke("fine", way(beside, -sign)))
    return shapes
