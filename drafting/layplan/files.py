"""A lay plan as files: the full-size PDF that is rolled out on the cloth, and DXF for a cutter.

Same plan, same bytes.
"""

from __future__ import annotations

from io import StringIO
from math import ceil

import shapely
from ezdxf.document import Drawing as Document
from ezdxf.enums import TextEntityAlignment
from shapely.geometry import Polygon

from drafting.layplan.picture import FULL_SIZE_LINE, LayDrawing
from drafting.layplan.plan import LayPlan, Placed
from drafting.output.dxf import BOUNDARY, GRAIN, INTERNAL, MIRROR, TEXT, fixed_metadata, unique_names
from drafting.output.pdf import saved, set_in_type
from drafting.output.sheet import LONGEST_PAGE
from drafting.units import Unit

#: Height of letters in the DXF, mm.
LETTERS = 10.0


def lay_pdf(plan: LayPlan, *, unit: Unit) -> bytes:
    """The lay at its true size on one page, or on several one below the other where it is longer than a page.

    Args:
        plan: the plan. Its picture's x runs down the page; print at 100 %.
        unit: of the tape along its edge.
    """
    drawing = LayDrawing(plan, Unit(unit), FULL_SIZE_LINE, scale=1)
    pages = ceil(drawing.height / LONGEST_PAGE)
    step = drawing.height / pages
    rule = f"@page{{size:{drawing.width:.1f}mm {step:.1f}mm;margin:0}}body{{margin:0}}svg{{display:block}}"
    parts = "".join(drawing.svg(begin=n * step, end=(n + 1) * step) for n in range(pages))
    title = f"<title>Lay plan of {plan.cloth.name}</title>"
    return saved(
        set_in_type(f'<!doctype html><html lang="en"><head>{title}<style>{rule}</style></head>{parts}')
    )


def lay_dxf(plan: LayPlan) -> bytes:
    """The lay in mm: a block a piece, in its place; x along the cloth, y across it.

    Layers as in the pattern's DXF: 1 cut line, 7 grain, 15 text; and the cloth's edges on 8, its fold on 6.
    """
    names = unique_names(f"{number} {placed.piece}" for number, placed in enumerate(plan.placed, 1))
    with fixed_metadata():
        document = Document.new("R12")
        for layer in (BOUNDARY, MIRROR, GRAIN, INTERNAL, TEXT):
            document.layers.add(layer)
        _add_cloth(document, plan)
        for name, placed in zip(names, plan.placed, strict=True):
            _add_piece(document, name, placed)
            document.modelspace().add_blockref(name, (0.0, 0.0))
        out = StringIO()
        document.write(out)
    return out.getvalue().encode(document.output_encoding, errors="dxfreplace")


def _add_cloth(document: Document, plan: LayPlan) -> None:
    """The edges of each length that is laid on, with its name where there are several."""
    space, width = document.modelspace(), plan.usable_width
    for span in plan.under:
        corners = [(span.start, 0.0), (span.end, 0.0), (span.end, width), (span.start, width)]
        space.add_polyline2d(corners, close=True, dxfattribs={"layer": INTERNAL})
        if plan.cloth.stretches:
            name = space.add_text(span.name, height=LETTERS, dxfattribs={"layer": TEXT})
            name.set_placement((span.start, width + LETTERS))
        if plan.cloth.has_lengthwise_fold:
            space.add_line((span.start, 0.0), (span.end, 0.0), dxfattribs={"layer": MIRROR})


def _add_piece(document: Document, name: str, placed: Placed) -> None:
    block = document.blocks.new(name)
    block.add_polyline2d(placed.outline, close=True, dxfattribs={"layer": BOUNDARY})
    spot = shapely.maximum_inscribed_circle(Polygon(placed.outline), tolerance=LETTERS)
    (x, y), half = spot.coords[0], spot.length / 2
    way = -half if round(placed.rotation) % 360 == 180 else half
    block.add_line((x - way, y), (x + way, y), dxfattribs={"layer": GRAIN})
    words = f"{placed.piece} {placed.copy}, {placed.layer.value}{', face down' if placed.mirrored else ''}"
    text = block.add_text(words, height=LETTERS, dxfattribs={"layer": TEXT})
    text.set_placement((x, y), align=TextEntityAlignment.MIDDLE_CENTER)
