"""The pattern as DXF, in the manner of ASTM D6673: one BLOCK a piece, mm, each kind of line on its layer.

The layer numbers and the text keys are from memory of the standard. Release 12 of the format is written,
because every cutting system reads it. Same input, same bytes: the file's dates and identifiers are fixed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from io import StringIO
from itertools import pairwise

from ezdxf._options import options
from ezdxf.document import Drawing as Document
from ezdxf.layouts.blocklayout import BlockLayout

from drafting.geometry import Path, Point, perpendicular
from drafting.output.arrange import Box, Place, arrange, piece_box, ring_bounds
from drafting.output.cutting import piece_cutting
from drafting.output.drawing import cut_ring
from drafting.output.label import Label
from drafting.pattern import Draft, EdgeKind, MarkKind, Piece

BOUNDARY, NOTCH, MIRROR, GRAIN, INTERNAL, DRILL, SEW, TEXT = "1", "4", "6", "7", "8", "13", "14", "15"
LAYERS = (BOUNDARY, NOTCH, MIRROR, GRAIN, INTERNAL, DRILL, SEW, TEXT)
_NAME_LENGTH = 31
"""Longest block name of release 12."""
_POINTS = {MarkKind.DRILL, MarkKind.BUTTON}


def pattern_dxf(draft: Draft, label: Label) -> bytes:
    """Return all pieces as blocks, inserted side by side, mm.

    Layers: 1 cut line, 4 notches (points on the cut line), 6 fold, 7 grain, 8 lines inside, 13 drill holes
    and buttons, 14 stitch line, 15 text. A piece on the fold is given as its half, the fold as mirror line.
    """
    with fixed_metadata():
        document = Document.new("R12")
        for layer in LAYERS:
            document.layers.add(layer)
        boxes = [piece_box(piece) for piece in draft.pieces]
        width = max([2000.0, *(box.width for box in boxes)])
        plan = arrange(boxes, width, 50.0)
        places = plan.places if plan else tuple(Place(0.0, 0.0) for _ in boxes)
        for piece, name, place, box in zip(
            draft.pieces, block_names(draft.pieces), places, boxes, strict=True
        ):
            _add_block(document, piece, name, draft, label)
            document.modelspace().add_blockref(name, _seat(piece, place, box))
        out = StringIO()
        document.write(out)
    # Release 12 holds no character outside its code page: the library has written those as escapes.
    return out.getvalue().encode(document.output_encoding, errors="dxfreplace")


@contextmanager
def fixed_metadata() -> Iterator[None]:
    """Have the library write fixed dates and identifiers instead of the clock's."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def block_names(pieces: Sequence[Piece]) -> tuple[str, ...]:
    """A name for the block of each piece (``unique_names``)."""
    return unique_names(piece.name for piece in pieces)


def unique_names(wished: Iterable[str]) -> tuple[str, ...]:
    """Names that release 12 allows: capitals, digits and ``_``, at most 31, no two the same."""
    names: list[str] = []
    for wish in wished:
        plain = "".join(c if c.isascii() and c.isalnum() else "_" for c in wish.upper()) or "PIECE"
        name, number = plain[:_NAME_LENGTH], 1
        while name in names:
            number += 1
            name = f"{plain[: _NAME_LENGTH - len(str(number)) - 1]}_{number}"
        names.append(name)
    return tuple(names)


def _seat(piece: Piece, place: Place, box: Box) -> tuple[float, float]:
    left, bottom, _, _ = ring_bounds(cut_ring(piece))
    return place.x - left, -place.y - box.height - bottom


def _add_block(document: Document, piece: Piece, name: str, draft: Draft, label: Label) -> None:
    block = document.blocks.new(name)
    _polyline(block, cut_ring(piece), BOUNDARY, closed=True)
    _polyline(block, piece.outline(), SEW, closed=True)
    _line(block, piece.grain, GRAIN)
    for edge in piece.edges:
        if edge.kind is EdgeKind.FOLD:
            _line(block, (edge.path.start, edge.path.end), MIRROR)
    for point in notch_points(piece):
        block.add_point(point, dxfattribs={"layer": NOTCH})
    for mark in piece.marks:
        if mark.kind in _POINTS or mark.path.length < 0.5:
            block.add_point(_middle(mark.path), dxfattribs={"layer": DRILL})
        else:
            _polyline(block, mark.path.flatten(), INTERNAL, closed=False)
    _texts(block, piece, draft, label)


def notch_points(piece: Piece) -> Iterator[Point]:
    """Where each notch meets the cut line; a double notch gives two points, 5 mm apart."""
    for notch in piece.notches:
        edge = piece.edge(notch.edge)
        for index in range(notch.count):
            s = min(max(notch.at + (index - (notch.count - 1) / 2) * 5.0, 0.0), edge.length)
            outward = -perpendicular(edge.path.tangent_at(s))
            yield edge.path.point_at(s) + outward * edge.allowance


def _middle(path: Path) -> Point:
    return (path.start + path.end) * 0.5


def _polyline(block: BlockLayout, points: Sequence[Point], layer: str, *, closed: bool) -> None:
    kept = [points[0], *(b for a, b in pairwise(points) if a != b)]
    block.add_polyline2d(kept, close=closed, dxfattribs={"layer": layer})


def _line(block: BlockLayout, ends: tuple[Point, Point], layer: str) -> None:
    block.add_line(ends[0], ends[1], dxfattribs={"layer": layer})


def _texts(block: BlockLayout, piece: Piece, draft: Draft, label: Label) -> None:
    """One line of text for each thing that is said of a piece, from the middle of the piece down."""
    left, bottom, right, top = ring_bounds(cut_ring(piece))
    rows = [
        f"STYLE NAME: {label.garment or draft.style}",
        f"PIECE NAME: {piece.name}",
        f"SIZE: {label.wearer_initials}",
        f"VERSION: {label.version} {label.date}",
        "UNITS: METRIC",
        *(f"QUANTITY: {line.cloth} {line.words}" for line in piece_cutting(piece)),
        *(f"ANNOTATION: {remark}" for remark in piece.remarks),
    ]
    for index, row in enumerate(rows):
        seat = ((left + right) / 2, (bottom + top) / 2 - 7.0 * index)
        block.add_text(row, height=4.0, dxfattribs={"layer": TEXT, "insert": seat})
