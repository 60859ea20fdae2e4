"""PDF bytes, paper names, tiles left out, and words that come from users."""

from __future__ import annotations

from io import BytesIO

import pdfplumber
import pytest

from drafting.errors import BadChoice
from drafting.geometry import Point
from drafting.output.label import Label
from drafting.output.pdf import sheet_pdf, tiled_pdf
from drafting.output.shapes import Drawing
from drafting.output.sheet import CannotPrint, Sheet
from drafting.output.tiles import PAPERS, tile_name, tiling
from tests.drafting.output.samples import facing, sample_draft

LABEL = Label("Summer <dress> & Łucja’s", "A. B.", "2026-11-25", "3")


def test_tiled_pdf_of_the_same_draft_is_the_same_bytes():
    assert tiled_pdf(sample_draft(), "A4", LABEL) == tiled_pdf(sample_draft(), "A4", LABEL)
    assert sheet_pdf(sample_draft(), LABEL) == sheet_pdf(sample_draft(), LABEL)


def test_tiled_pdf_refuses_other_paper():
    with pytest.raises(BadChoice, match="A4 or Letter") as refusal:
        tiled_pdf(sample_draft(), "A5", LABEL)

    assert refusal.value.field == "sheet"


def test_tiled_pdf_prints_label_and_page_number_on_every_page():
    with pdfplumber.open(BytesIO(tiled_pdf(sample_draft(), "A4", LABEL))) as pdf:
        texts = [page.extract_text() for page in pdf.pages]

    assert all("A. B. · 2026-11-25 · version 3" in text for text in texts)
    assert [f"page {n} of {len(texts)}" in text for n, text in enumerate(texts, start=1)] == [True] * len(
        texts
    )


def test_tiling_leaves_out_empty_tiles():
    paper = PAPERS["A4"]
    # A facing alone in the top left corner of a sheet of three rows and three columns.
    piece = facing()
    down = Point(10.0, -140.0)
    moved = piece.with_(cut_line=tuple(p + down for p in piece.cut_line))
    sheet = Sheet(Drawing(), 500.0, 700.0, (moved,))

    tiles = tiling(sheet, paper)

    assert (tiles.rows, tiles.columns) == (3, 3)
    assert [tile.name for tile in tiles.tiles] == ["A1", "A2"]


def test_tile_name_goes_on_after_z():
    assert [tile_name(0, 0), tile_name(25, 1), tile_name(26, 11)] == ["A1", "Z2", "AA12"]


def test_sheet_pdf_refuses_a_piece_longer_than_a_page():
    piece = facing()
    long = (Point(0, 0), Point(6000.0, 0), Point(6000.0, 50.0), Point(0, 50.0))
    draft = sample_draft()
    grown = type(draft)("long", {}, draft.body, {}, "1", (piece.with_(cut_line=long),), ())

    with pytest.raises(CannotPrint, match="back neck facing is 6000 mm long"):
        sheet_pdf(grown, LABEL)
    with pytest.raises(CannotPrint):
        tiled_pdf(grown, "A4", LABEL)


def test_label_cuts_long_texts_and_drops_control_characters():
    label = Label("a\x00b\n" + "x" * 90, "", "2026-11-25", "")

    assert label.garment == "a b " + "x" * 55 + "…"
    assert label.line == f"{label.garment} · 2026-11-25"
