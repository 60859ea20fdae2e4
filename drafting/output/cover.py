"""The first page of a tiled pattern: test squares, a map of the tiles, the pieces, how to put it together."""

from __future__ import annotations

from shapely import Polygon

from drafting.output.arrange import Box
from drafting.output.cutting import piece_cutting
from drafting.output.label import Label
from drafting.output.lettering import SMALLEST
from drafting.output.shapes import Drawing, Shape, Words, number, text_width
from drafting.output.sheet import SQUARE_IN, SQUARE_MM, Sheet, label_rest, piece_ring, test_square
from drafting.output.tiles import FOOT, MARGIN, Paper, Tiling
from drafting.pattern import Piece

_STEPS = (
    "1  Print at 100 % (actual size), never “fit to page”.",
    "2  Measure the squares. Print again if they differ.",
    "3  Cut each tile along its solid left and top edge.",
    "4  Lay it over the strip of its neighbour: the cut",
    "    edge on the dashed line, half marks make a whole.",
    "5  Glue row by row, then the rows together.",
)
_COLUMN_GAP = 8.0
_TOP = 24.0


def cover(sheet: Sheet, tiles: Tiling, label: Label) -> Drawing:
    """Return the first page, in the coordinates of the whole paper."""
    paper = tiles.paper
    left, top = MARGIN, MARGIN + _TOP
    right = left + SQUARE_IN + _COLUMN_GAP
    width = paper.width - MARGIN - right
    return Drawing.together(
        [
            _heading(label, len(tiles.tiles) + 1, paper),
            test_square(left, top, SQUARE_MM, "100 mm"),
            test_square(left, top + SQUARE_MM + 5.0, SQUARE_IN, "4 in"),
            _steps(left + 7.0, top + 38.0),
            _piece_list(sheet, left + 7.0, top + SQUARE_MM + 5.0 + 40.0, SQUARE_IN - 14.0),
            _map(sheet, tiles, (right, top), Box(width, paper.height - FOOT - top)),
        ]
    )


def _heading(label: Label, pages: int, paper: Paper) -> Drawing:
    size = 8.0
    room = paper.width - 2 * MARGIN
    garment = label.garment or "Pattern"
    garment = garment[:1].upper() + garment[1:]
    while text_width(garment, size, bold=True) > room and size > SMALLEST:
        size *= 0.9
    rest = " · ".join(part for part in (label_rest(label), f"page 1 of {pages}") if part)
    return Drawing(
        words=(
            Words(MARGIN, MARGIN + 7.0, size, garment, "start", bold=True),
            Words(MARGIN, MARGIN + 15.0, 4.0, rest, "start"),
        )
    )


def _steps(x: float, y: float) -> Drawing:
    return Drawing(words=tuple(Words(x, y + 6.2 * i, 3.2, step, "start") for i, step in enumerate(_STEPS)))


def _piece_list(sheet: Sheet, x: float, y: float, width: float) -> Drawing:
    """Every piece with its number on the map, in lines as large as the square leaves room for."""
    rows = [f"{n}  {piece.name}: {_cuts(piece)}" for n, piece in enumerate(sheet.pieces, start=1)]
    room = SQUARE_IN - 48.0
    widest = max((text_width(row, 1.0) for row in rows), default=1.0)
    size = min(3.2, width / widest, room / max(len(rows), 1) / 1.45)
    heading = Words(x, y - 6.0, 3.4, "To cut, by the numbers of the map", "start", bold=True)
    lines = (Words(x, y + size * 1.45 * i, size, row, "start") for i, row in enumerate(rows))
    return Drawing(words=(heading, *lines))


def _cuts(piece: Piece) -> str:
    return "; ".join(f"{line.cloth} {line.words.removeprefix('cut ')}" for line in piece_cutting(piece))


def _map(sheet: Sheet, tiles: Tiling, corner: tuple[float, float], room: Box) -> Drawing:
    """The sheet made small, with the tiles' own parts and names, and each piece's number where it lies."""
    paper = tiles.paper
    left, top = corner
    scale = min(
        room.width / (tiles.columns * paper.step_x + paper.window_width - paper.step_x),
        (room.height - 8.0) / (tiles.rows * paper.step_y + paper.window_height - paper.step_y),
    )
    top += 8.0

    def data(points: list[tuple[float, float]]) -> str:
        return (
            "M" + "L".join(f"{number(left + x * scale)} {number(top + y * scale)}" for x, y in points) + "Z"
        )

    shapes = [Shape("map-piece", data([(x, -y) for x, y in piece_ring(piece)])) for piece in sheet.pieces]
    words = [Words(left, top - 4.0, 3.4, "Map of the tiles", "start", bold=True)]
    for tile in tiles.tiles:
        x, y = tiles.corner(tile)
        right = x + (paper.step_x if tiles.has(tile.row, tile.column + 1) else paper.window_width)
        foot = y + (paper.step_y if tiles.has(tile.row + 1, tile.column) else paper.window_height)
        shapes.append(Shape("map-tile", data([(x, y), (right, y), (right, foot), (x, foot)])))
        size = min(3.2, paper.step_x * scale * 0.3)
        words.append(
            Words(
                left + x * scale + 0.7, top + y * scale + size * 0.95, size, tile.name, "start", style="pale"
            )
        )
    for n, piece in enumerate(sheet.pieces, start=1):
        x, y = label_point(piece)
        words.append(
            Words(left + x * scale, top + y * scale + 1.4, 4.0, str(n), bold=True),
        )
    return Drawing(tuple(shapes), tuple(words))


def label_point(piece: Piece) -> tuple[float, float]:
    """A point inside a laid piece, mm from the paper's left and top."""
    point = Polygon([(x, -y) for x, y in piece_ring(piece)]).buffer(0).representative_point()
    return float(point.x), float(point.y)
