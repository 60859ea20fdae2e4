"""Patterns as PDF: one full-size sheet, or tiles for an ordinary printer.

The words and lines are set once, by WeasyPrint, on a page as large as the sheet. A tile does not repeat the
drawing: it shows a part of that page, which all tiles share as one form object. Same input, same bytes: the
file has no dates, and its identifier follows from its content.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from io import BytesIO

import pikepdf

from drafting.output.arrange import piece_box
from drafting.output.cover import cover, label_point
from drafting.output.drawing import STYLE
from drafting.output.label import Label
from drafting.output.shapes import Drawing, Words, html_words, number, svg_shape
from drafting.output.sheet import (
    LONGEST_PAGE,
    CannotPrint,
    Sheet,
    bare_sheet,
    check_pages,
    drawn,
    titled_sheet,
)
from drafting.output.tile_marks import tile_content
from drafting.output.tiles import FOOT, MARGIN, Paper, Tiling, paper_named, tiling
from drafting.output.wide import too_wide, wide_named, wide_pages
from drafting.pattern import Draft
from drafting.units import Unit

SUPERSEDED = "SUPERSEDED - do not cut"

_PAGE_STYLE = """
body{margin:0;font-family:DejaVu Sans,sans-serif}
.page{position:relative;break-after:page}
.page:last-child{break-after:auto}
svg{display:block}
.w{position:absolute;margin:0;white-space:nowrap;line-height:1}
.pale{color:#555}
.superseded{color:#b3261e;opacity:.45}
"""
_DRAWING_STYLE = (
    STYLE.replace(".pattern .paper{fill:#fffdf8;stroke:none}", ".pattern .paper{fill:none;stroke:none}")
    .replace(".pattern .paper.lining{fill:#eef4f7}", "")
    .replace(".pattern .paper.interfacing{fill:#f5f1f6}", "")
    + ".pattern .map-piece{fill:#eee;stroke-width:.3}.pattern .map-tile{stroke:#777;stroke-width:.15}"
)


@dataclass(frozen=True, slots=True)
class _Page:
    """A drawing on a page of a size, mm."""

    drawing: Drawing
    width: float
    height: float


def sheet_pdf(draft: Draft, label: Label, *, superseded: bool = False, unit: Unit = Unit.MM) -> bytes:
    """Return the whole pattern on one page of its true size, with label and test squares.

    The page is as wide as the narrowest usual roll of plotter paper on which it is no longer than 5080 mm.

    Raises: CannotPrint where a piece is longer than a page.
    """
    sheet = titled_sheet(draft, label, unit=unit)
    drawing = sheet.drawing
    if superseded:
        drawing += _superseded_pieces(sheet)
    pdf = _open_set([_Page(drawing, sheet.width, sheet.height)], label)
    return saved(pdf)


def tiled_pdf(
    draft: Draft, sheet: str, label: Label, *, superseded: bool = False, unit: Unit = Unit.MM
) -> bytes:
    """Return the pattern in tiles for A4 or Letter paper, with a first page of test squares and map.

    Raises:
        BadChoice: paper of another name.
        CannotPrint: a piece is longer than 5080 mm.
    """
    return _tiled(draft, paper_named(sheet), label, superseded, unit)


def wide_pdf(
    draft: Draft, paper: str, label: Label, *, superseded: bool = False, unit: Unit = Unit.MM
) -> bytes:
    """Return the pattern on A0 sheets or on pages of a 36 in roll (``WIDE``), each piece whole on one.

    A draft with a piece wider than the paper is printed as tiles of that paper.

    Raises:
        BadChoice: paper of another name.
        CannotPrint: a piece is longer than 5080 mm.
    """
    wide = wide_named(paper)
    check_pages(draft)
    if too_wide(draft, wide):
        return _tiled(draft, wide.tile, label, superseded, unit)
    sheets = wide_pages(draft, label, wide, unit=unit)
    marks = [_superseded_pieces(sheet) if superseded else Drawing() for sheet in sheets]
    pages = [
        _Page(sheet.drawing + mark, sheet.width, sheet.height)
        for sheet, mark in zip(sheets, marks, strict=True)
    ]
    return saved(_open_set(pages, label))


def _tiled(draft: Draft, paper: Paper, label: Label, superseded: bool, unit: Unit) -> bytes:
    bare, tiles = _least_paper(draft, paper)
    laid = drawn(bare, label, unit=unit)
    common = _foot_words(label, paper)
    first = cover(laid, tiles, label)
    if superseded:
        common += _superseded_once(paper)
        first += _superseded_once(paper)
    pdf = _open_set(
        [
            _Page(first, paper.width, paper.height),
            _Page(laid.drawing, laid.width, laid.height),
            _Page(common, paper.width, paper.height),
        ],
        label,
    )
    _put_tiles(pdf, laid, tiles)
    return saved(pdf)


def _least_paper(draft: Draft, paper: Paper) -> tuple[Sheet, Tiling]:
    """The arrangement that needs the fewest tiles, of sheets 2, 3, 4 ... tiles wide."""
    check_pages(draft)
    best: tuple[int, float, Sheet, Tiling] | None = None
    for columns in range(2, 15):
        width = (columns - 1) * paper.step_x + paper.window_width
        sheet = bare_sheet(draft, width=width)
        if sheet is None or sheet.height > LONGEST_PAGE:
            continue
        tiles = tiling(sheet, paper)
        if best is None or len(tiles.tiles) < best[0]:
            best = len(tiles.tiles), width, sheet, tiles
    if best is None:
        raise CannotPrint("the pieces together are larger than 5080 mm by 2600 mm: draft a smaller garment")
    return best[2], best[3]


def _foot_words(label: Label, paper: Paper) -> Drawing:
    """The label in the bottom margin; the tile's own line stands under it."""
    y = paper.height - FOOT + 4.6
    return Drawing(words=(Words(MARGIN, y, 2.9, label.line, "start"),))


def _superseded_once(paper: Paper) -> Drawing:
    middle = Words(
        paper.width / 2, paper.height / 2, 17.0, SUPERSEDED, angle=-52.0, style="superseded", bold=True
    )
    return Drawing(words=(middle,))


def _superseded_pieces(sheet: Sheet) -> Drawing:
    """The mark across every piece, so that none is cut out without it."""
    words = []
    for piece in sheet.pieces:
        x, y = label_point(piece)
        box = piece_box(piece)
        size = min(max(max(box.width, box.height) / 16, 4.0), 30.0)
        words.append(Words(x, y, size, SUPERSEDED, angle=-52.0, style="superseded", bold=True))
    return Drawing(words=tuple(words))


def _open_set(pages: Sequence[_Page], label: Label) -> pikepdf.Pdf:
    """The pages set in type, as an open PDF."""
    return set_in_type(page_html(pages, label))


def set_in_type(html: str) -> pikepdf.Pdf:
    """A document set in type, as an open PDF."""
    # Imported here because it takes a second to load, and most of what imports this module prints nothing.
    from weasyprint import HTML  # noqa: PLC0415  # see above

    return pikepdf.open(BytesIO(HTML(string=html).write_pdf(pdf_identifier=b"pattern")))


def page_html(pages: Sequence[_Page], label: Label) -> str:
    """The pages as one HTML document, each of its own size."""
    rules = "".join(
        f"@page p{i}{{size:{number(page.width)}mm {number(page.height)}mm;margin:0}}.p{i}{{page:p{i};"
        f"width:{number(page.width)}mm;height:{number(page.height)}mm}}"
        for i, page in enumerate(pages)
    )
    bodies = "".join(
        f'<div class="page p{i}">{_svg(page)}{"".join(map(html_words, page.drawing.words))}</div>'
        for i, page in enumerate(pages)
    )
    return (
        f'<!doctype html><html lang="en"><head><title>{escape(label.line or "Pattern")}</title>'
        f"<style>{_PAGE_STYLE}{rules}</style></head><body>{bodies}</body></html>"
    )


def _svg(page: _Page) -> str:
    if not page.drawing.shapes:
        return ""
    w, h = number(page.width), number(page.height)
    shapes = "".join(map(svg_shape, page.drawing.shapes))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="pattern" width="{w}mm" height="{h}mm"'
        f' viewBox="0 0 {w} {h}"><style>{_DRAWING_STYLE}</style>{shapes}</svg>'
    )


def _put_tiles(pdf: pikepdf.Pdf, sheet: Sheet, tiles: Tiling) -> None:
    """Replace the sheet's page and the common page by the tiles, which show both."""
    drawing = pdf.make_indirect(pdf.pages[1].as_form_xobject())
    common = pdf.make_indirect(pdf.pages[2].as_form_xobject())
    del pdf.pages[1:3]
    resources = pdf.make_indirect(
        pikepdf.Dictionary(
            XObject=pikepdf.Dictionary(Sheet=drawing, Common=common),
            # Tile names and page numbers are ASCII, in a font that every reader has (ISO 32000-1, 9.6.2.2).
            Font=pikepdf.Dictionary(
                F=pikepdf.Dictionary(
                    Type=pikepdf.Name.Font,
                    Subtype=pikepdf.Name.Type1,
                    BaseFont=pikepdf.Name.Helvetica,
                    Encoding=pikepdf.Name.WinAnsiEncoding,
                )
            ),
        )
    )
    pages = len(tiles.tiles) + 1
    for index, tile in enumerate(tiles.tiles):
        page = pdf.add_blank_page(page_size=(_points(tiles.paper.width), _points(tiles.paper.height)))
        page.obj.Resources = resources
        content = tile_content(tiles, tile, sheet.height, page=index + 2, pages=pages)
        page.obj.Contents = pdf.make_stream(content)


def _points(mm: float) -> float:
    return round(mm * 72 / 25.4, 4)


def saved(pdf: pikepdf.Pdf) -> bytes:
    """The file: the same bytes for the same pages."""
    out = BytesIO()
    pdf.remove_unreferenced_resources()
    pdf.save(
        out,
        deterministic_id=True,
        object_stream_mode=pikepdf.ObjectStreamMode.generate,
        compress_streams=True,
        recompress_flate=True,
    )
    return out.getvalue()
