"""Cutting a sheet into tiles that are printed on ordinary paper and glued together.

Neighbouring tiles share a strip of 15 mm. A tile is cut along its left and top edge and laid over the strip
of its neighbour, up to the line where that neighbour's own part ends.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from string import ascii_uppercase

import shapely
from shapely import Polygon

from drafting.errors import BadChoice
from drafting.output.sheet import Sheet, piece_ring

OVERLAP = 15.0
MARGIN = 10.0
FOOT = 14.0
"""Bottom margin, mm: it holds the label."""


@dataclass(frozen=True, slots=True)
class Paper:
    """Printer paper, upright, mm."""

    name: str
    width: float
    height: float

    @property
    def window_width(self) -> float:
        """Width of the part of the sheet that a tile shows."""
        return self.width - 2 * MARGIN

    @property
    def window_height(self) -> float:
        return self.height - MARGIN - FOOT

    @property
    def step_x(self) -> float:
        """Distance from a tile to the next one of its row."""
        return self.window_width - OVERLAP

    @property
    def step_y(self) -> float:
        return self.window_height - OVERLAP


PAPERS = {paper.name: paper for paper in (Paper("A4", 210.0, 297.0), Paper("Letter", 215.9, 279.4))}
"""ISO 216 A4, and 8 1/2 by 11 in."""


def paper_named(name: str) -> Paper:
    """Return the paper of a name. Raises: BadChoice."""
    if name not in PAPERS:
        raise BadChoice(f"tiles are printed on {' or '.join(PAPERS)}, not on {name}", field="sheet")
    return PAPERS[name]


@dataclass(frozen=True, slots=True)
class Tile:
    """One page of the tiling: row A is the top, column 1 the left; ``pieces`` has what can be seen on it."""

    row: int
    column: int
    pieces: tuple[str, ...]

    @property
    def name(self) -> str:
        return tile_name(self.row, self.column)


@dataclass(frozen=True, slots=True)
class Tiling:
    """The tiles of a sheet, in reading order; those on which nothing lies are left out."""

    paper: Paper
    rows: int
    columns: int
    tiles: tuple[Tile, ...]

    def has(self, row: int, column: int) -> bool:
        return any(tile.row == row and tile.column == column for tile in self.tiles)

    def corner(self, tile: Tile) -> tuple[float, float]:
        """Where the tile's window begins on the sheet: mm from its left and its top."""
        return tile.column * self.paper.step_x, tile.row * self.paper.step_y


def tile_name(row: int, column: int) -> str:
    """``A1``, ``B3``; the row after Z is AA."""
    letters = ascii_uppercase[row % 26]
    return (ascii_uppercase[row // 26 - 1] if row >= 26 else "") + letters + str(column + 1)


def tiling(sheet: Sheet, paper: Paper) -> Tiling:
    """Return the tiles that hold the pieces of a sheet.

    A tile is needed where a piece lies on its own part: what lies on its glue strips, its neighbours show.
    """
    columns = max(1, ceil((sheet.width - OVERLAP) / paper.step_x - 1e-9))
    rows = max(1, ceil((sheet.height - OVERLAP) / paper.step_y - 1e-9))
    areas = [
        (piece.name, Polygon([(x, -y) for x, y in piece_ring(piece)]).buffer(1.0)) for piece in sheet.pieces
    ]
    for _, area in areas:
        shapely.prepare(area)
    tiles = []
    for row in range(rows):
        for column in range(columns):
            x, y = column * paper.step_x, row * paper.step_y
            window = shapely.box(x, y, x + paper.window_width, y + paper.window_height)
            own = shapely.box(
                x,
                y,
                x + (paper.step_x if column < columns - 1 else paper.window_width),
                y + (paper.step_y if row < rows - 1 else paper.window_height),
            )
            if any(area.intersects(own) for _, area in areas):
                tiles.append(
                    Tile(row, column, tuple(name for name, area in areas if area.intersects(window)))
                )
    return Tiling(paper, rows, columns, tuple(tiles))
