"""Printed scale, measured in the PDF itself by a reader that knows nothing of how it was made (pdfplumber).

Source of the sizes: ISO 216 (A4), 8 1/2 by 11 in (Letter), 1 in = 25.4 mm, 72 points to the inch
(ISO 32000-1).
"""

from __future__ import annotations

from io import BytesIO
from math import dist

import pdfplumber
import pikepdf
import pypdfium2
import pytest
import shapely
from shapely import LineString, Polygon

from drafting.geometry import Path, Point
from drafting.output.label import Label
from drafting.output.pdf import sheet_pdf, tiled_pdf, wide_pdf
from drafting.pattern import Cut, Draft, Edge, EdgeKind, Piece
from tests.drafting.output.samples import sample_draft

LABEL = Label("Summer dress", "A. B.", "2026-11-25", "3")
MM = 25.4 / 72
WIDE = {"A0": 841.0, "36 in roll": 914.4}
SIZES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
OVERLAP = 15.0
LEFT, TOP = 10.0, 10.0
FOOT = 14.0


def squares(page: pdfplumber.page.Page) -> list[tuple[float, float]]:
    """Width and height, mm, of every upright rectangle between 95 and 105 mm wide."""
    found = []
    for shape in [*page.rects, *page.curves]:
        xs, ys = [p[0] for p in shape["pts"]], [p[1] for p in shape["pts"]]
        width, height = (max(xs) - min(xs)) * MM, (max(ys) - min(ys)) * MM
        corners = {(round(x, 2), round(y, 2)) for x, y in shape["pts"]}
        if 95 < width < 105 and 95 < height < 105 and len(corners) == 4:
            found.append((width, height))
    return sorted(found)


def pages_of(kind: str, **options: bool) -> bytes:
    draft = sample_draft()
    if kind == "full size":
        return sheet_pdf(draft, LABEL, **options)
    return (wide_pdf if kind in WIDE else tiled_pdf)(draft, kind, LABEL, **options)


@pytest.mark.parametrize("kind", ["A4", "Letter", "full size", *WIDE])
def test_first_page_has_true_test_squares(kind):
    with pdfplumber.open(BytesIO(pages_of(kind))) as pdf:
        found = squares(pdf.pages[0])

    assert len(found) == 2
    assert found[0] == pytest.approx((100.0, 100.0), abs=0.1)
    assert found[1] == pytest.approx((101.6, 101.6), abs=0.1)


@pytest.mark.parametrize("kind", ["A4", "Letter"])
def test_every_tile_is_a_page_of_the_paper(kind):
    with pdfplumber.open(BytesIO(pages_of(kind))) as pdf:
        sizes = {(round(page.width * MM, 2), round(page.height * MM, 2)) for page in pdf.pages}

    assert sizes == {SIZES[kind]}


def placements(data: bytes) -> dict[str, tuple[float, float]]:
    """Name of each tile and the shift at which its page places the sheet, mm; scale must be exactly 1."""
    shifts = {}
    with pikepdf.open(BytesIO(data)) as pdf:
        for page in pdf.pages[1:]:
            matrix, name = None, ""
            for operands, operator in pikepdf.parse_content_stream(page):
                if str(operator) == "cm":
                    matrix = [float(value) for value in operands]
                elif str(operator) == "Do" and str(operands[0]) == "/Sheet":
                    assert matrix[:4] == [1, 0, 0, 1]
                    shifts[name] = (matrix[4] * MM, matrix[5] * MM)
                elif str(operator) == "Tj" and str(operands[0]).startswith("tile "):
                    name = str(operands[0]).split()[1]
    return shifts


def row_and_column(name: str) -> tuple[int, int]:
    return ord(name[0]) - ord("A"), int(name[1:]) - 1


@pytest.mark.parametrize("kind", ["A4", "Letter"])
def test_neighbouring_tiles_place_the_sheet_a_window_less_the_overlap_apart(kind):
    shifts = placements(pages_of(kind))
    step_x = SIZES[kind][0] - 2 * LEFT - OVERLAP
    step_y = SIZES[kind][1] - TOP - FOOT - OVERLAP
    base = next(iter(shifts))
    row, column = row_and_column(base)

    for name, (x, y) in shifts.items():
        r, c = row_and_column(name)
        assert shifts[base][0] - x == pytest.approx((c - column) * step_x, abs=0.002), name
        assert y - shifts[base][1] == pytest.approx((r - row) * step_y, abs=0.002), name


def cut_lines(page: pdfplumber.page.Page) -> list[dict]:
    """The cut lines of the whole sheet, as every page holds them: the only lines 0.7 mm wide."""
    shapes = [*page.rects, *page.curves, *page.lines]
    return [shape for shape in shapes if shape["linewidth"] * MM == pytest.approx(0.7, abs=0.02)]


def closed(points: list) -> list:
    return [*points, points[0]]


def bar_draft() -> Draft:
    """One piece 1000 mm by 300 mm, cut on its outline: its corners lie on different tiles."""
    corners = (Point(0.0, 0.0), Point(1000.0, 0.0), Point(1000.0, 300.0), Point(0.0, 300.0))
    edges = tuple(
        Edge(name, EdgeKind.SEAM, Path.line(a, b))
        for name, a, b in zip(
            ("foot", "right", "top", "left"), corners, (*corners[1:], corners[0]), strict=True
        )
    )
    bar = Piece("bar", edges, (Cut("shell"),), (Point(500.0, 50.0), Point(500.0, 250.0)), cut_line=corners)
    sample = sample_draft()
    return Draft("bar", {}, sample.body, {}, "1", (bar,), ())


@pytest.mark.parametrize("kind", ["A4", "Letter"])
def test_piece_measured_across_tiles_has_its_true_size(kind):
    data = tiled_pdf(bar_draft(), kind, LABEL)
    shifts = placements(data)
    corners = []
    with pdfplumber.open(BytesIO(data)) as pdf:
        for page, shift in zip(pdf.pages[1:], shifts.values(), strict=True):
            # All of the shared drawing is found on each page; what lies in the window is what is printed.
            points = {
                (round(x * MM, 4), round(page.height * MM - y * MM, 4))
                for shape in cut_lines(page)
                for x, y in shape["pts"]
            }
            width, height = SIZES[kind]
            seen = [p for p in points if LEFT < p[0] < width - LEFT and FOOT < p[1] < height - TOP]
            corners += [(x - shift[0], y - shift[1]) for x, y in seen]
    across = max(dist(p, q) for p in corners for q in corners)

    assert across == pytest.approx(dist((0, 0), (1000, 300)), abs=0.1)


def rendered(data: bytes, page: int, dpi: int = 75):
    return pypdfium2.PdfDocument(data)[page].render(scale=dpi / 72, grayscale=True).to_numpy()


def dark_share(strip, other) -> float:
    """Share of the dark pixels of a strip that are dark, within one pixel, on the other."""
    dark = strip < 110
    near = other < 190
    grown = near.copy()
    for dy in (-1, 0, 1):
        for dx in (-1, 0, 1):
            grown[max(dy, 0) : near.shape[0] + min(dy, 0), max(dx, 0) : near.shape[1] + min(dx, 0)] |= near[
                max(-dy, 0) : near.shape[0] + min(-dy, 0), max(-dx, 0) : near.shape[1] + min(-dx, 0)
            ]
    return float((dark & grown).sum() / dark.sum())


@pytest.mark.parametrize("kind", ["A4", "Letter"])
def test_overlap_strips_show_the_same_drawing(kind):
    data = pages_of(kind)
    names = list(placements(data))
    dpi = 75
    px = dpi / 25.4
    width, height = SIZES[kind]
    compared = 0
    for name in names:
        _, column = row_and_column(name)
        right = f"{name[0]}{column + 2}"
        if right not in names:
            continue
        here, there = (rendered(data, names.index(n) + 1, dpi) for n in (name, right))
        # 2 mm inside the strip, so that the frame and the dashed line of one tile are left out.
        top, foot = round((TOP + 2) * px), round((height - FOOT - 2) * px)
        strip, inner = round((OVERLAP - 4) * px), round((width - LEFT - OVERLAP + 2) * px)
        mine = here[top:foot, inner : inner + strip]
        theirs = there[top:foot, round((LEFT + 2) * px) : round((LEFT + 2) * px) + strip]
        if (mine < 110).sum() > 40:
            assert dark_share(mine, theirs) > 0.97, (name, right)
            compared += 1

    assert compared >= 3


@pytest.mark.parametrize("kind", ["A4", "Letter"])
def test_tiles_together_cover_every_cut_line(kind):
    data = pages_of(kind)
    width, height = SIZES[kind]
    window = (width - 2 * LEFT, height - TOP - FOOT)
    windows = [
        shapely.box(LEFT - x, FOOT - y, LEFT - x + window[0], FOOT - y + window[1])
        for x, y in placements(data).values()
    ]
    with pikepdf.open(BytesIO(data)) as pdf:
        sheet = pdf.pages[1].Resources.XObject.Sheet
        box = [float(value) * MM for value in sheet.BBox]
    with pdfplumber.open(BytesIO(data)) as pdf:
        shift = next(iter(placements(data).values()))
        page = pdf.pages[1]
        lines = [
            LineString(
                [(x * MM - shift[0], (page.height - y) * MM - shift[1]) for x, y in closed(shape["pts"])]
            )
            for shape in cut_lines(page)
        ]
    cut = shapely.union_all(lines)

    assert len(lines) == len(sample_draft().pieces)
    assert Polygon([(box[0], box[1]), (box[2], box[1]), (box[2], box[3]), (box[0], box[3])]).covers(cut)
    assert cut.difference(shapely.union_all(windows)).length == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize("kind", ["A4", "Letter", "full size", *WIDE])
def test_superseded_mark_is_on_every_page_and_only_then(kind):
    counts = {}
    for superseded in (True, False):
        with pdfplumber.open(BytesIO(pages_of(kind, superseded=superseded))) as pdf:
            # The mark is slanted: its letters are read in the order in which they were set.
            texts = ["".join(char["text"] for char in page.chars) for page in pdf.pages]
        counts[superseded] = [text.count("SUPERSEDED - do not cut") > 0 for text in texts]

    assert all(counts[True])
    assert not any(counts[False])


def test_page_stays_within_the_largest_page_of_the_format():
    with pdfplumber.open(BytesIO(pages_of("full size"))) as pdf:
        page = pdf.pages[0]

    assert max(page.width, page.height) <= 14400


def cloths(count: int, width: float, height: float) -> Draft:
    """Rectangles of a size, cut on their outline."""
    sample = sample_draft()
    corners = (Point(0.0, 0.0), Point(width, 0.0), Point(width, height), Point(0.0, height))
    edges = tuple(
        Edge(str(n), EdgeKind.SEAM, Path.line(a, b))
        for n, (a, b) in enumerate(zip(corners, (*corners[1:], corners[0]), strict=True))
    )
    grain = (Point(width / 2, height * 0.2), Point(width / 2, height * 0.8))
    pieces = tuple(Piece(f"cloth {n}", edges, (Cut("shell"),), grain, cut_line=corners) for n in range(count))
    return Draft("cloths", {}, sample.body, {}, "1", pieces, ())


def bounds(shape: dict) -> tuple[float, float, float, float]:
    xs, ys = [p[0] * MM for p in shape["pts"]], [p[1] * MM for p in shape["pts"]]
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize(("kind", "pages"), [("A0", 4), ("36 in roll", 1)])
def test_wide_pages_hold_every_piece_whole_and_at_its_size(kind, pages):
    found = []
    with pdfplumber.open(BytesIO(wide_pdf(cloths(6, 380.0, 1100.0), kind, LABEL))) as pdf:
        sizes = [(page.width * MM, page.height * MM) for page in pdf.pages]
        for page, (width, height) in zip(pdf.pages, sizes, strict=True):
            for left, top, right, foot in map(bounds, cut_lines(page)):
                assert left + 0.01 >= 15.0
                assert right <= width - 15.0 + 0.01
                assert top + 0.01 >= 15.0
                assert foot <= height - 15.0 + 0.01
                found.append((right - left, foot - top))

    assert found == [pytest.approx((380.0, 1100.0), abs=0.1)] * 6
    assert {round(width, 1) for width, _ in sizes} == {WIDE[kind]}
    assert max(height for _, height in sizes) <= 5080.0
    assert len(sizes) == pages
    assert kind != "A0" or {round(height, 1) for _, height in sizes} == {1189.0}


def test_piece_wider_than_the_paper_is_printed_as_tiles_of_it():
    data = wide_pdf(cloths(1, 1000.0, 900.0), "A0", LABEL)

    with pdfplumber.open(BytesIO(data)) as pdf:
        sizes = {(round(page.width * MM, 1), round(page.height * MM, 1)) for page in pdf.pages}
        found = [bounds(shape) for shape in cut_lines(pdf.pages[1])]
    assert sizes == {(841.0, 1189.0)}
    assert set(placements(data)) == {"A1", "A2"}
    assert [(right - left, foot - top) for left, top, right, foot in found] == [
        pytest.approx((1000.0, 900.0), abs=0.1)
    ]
