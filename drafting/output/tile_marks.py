"""What is printed on a tile besides its part of the sheet: edges, match marks, names, page number.

Written as PDF operators, in millimetres from the page's bottom left corner.
"""

from __future__ import annotations

from drafting.output.tiles import FOOT, MARGIN, OVERLAP, Tile, Tiling, tile_name

_POINTS = 72 / 25.4
_MARK = 5.0
_DIGIT = 0.556
"""Width of a Helvetica digit, and about the mean of its letters, of the font size (its AFM file)."""


def tile_content(tiles: Tiling, tile: Tile, sheet_height: float, *, page: int, pages: int) -> bytes:
    """Return the content stream of one tile.

    It uses the resources ``/Sheet`` (the whole drawing), ``/Common`` (what all tiles have), the font ``/F``.
    """
    paper = tiles.paper
    left, foot = MARGIN, FOOT
    x, y = tiles.corner(tile)
    parts = [
        f"q {_n(_POINTS)} 0 0 {_n(_POINTS)} 0 0 cm",
        _big_name(tiles, tile),
        _edges(tiles, tile),
        _marks(tiles, tile),
        _margin_words(tiles, tile),
        _foot(tile, page, pages),
        "Q",
        # The sheet's own coordinates are points: only the window is clipped, nothing is scaled.
        f"q {_p(left)} {_p(foot)} {_p(paper.window_width)} {_p(paper.window_height)} re W n",
        f"1 0 0 1 {_p(left - x)} {_p(foot + paper.window_height + y - sheet_height)} cm /Sheet Do Q",
        "q /Common Do Q",
    ]
    return "\n".join(parts).encode("ascii")


def _n(value: float) -> str:
    return f"{value:.5f}".rstrip("0").rstrip(".")


def _p(mm: float) -> str:
    return _n(mm * _POINTS)


def _line(x1: float, y1: float, x2: float, y2: float) -> str:
    return f"{_n(x1)} {_n(y1)} m {_n(x2)} {_n(y2)} l S"


def _text(x: float, y: float, size: float, text: str, *, upright: bool = False) -> str:
    """Text that begins at a point; ``upright`` reads from the foot to the top."""
    safe = "".join(c if " " <= c <= "~" else "?" for c in text)
    safe = safe.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")
    matrix = "0 1 -1 0" if upright else "1 0 0 1"
    return f"BT /F {_n(size)} Tf {matrix} {_n(x)} {_n(y)} Tm ({safe}) Tj ET"


def _width(text: str, size: float) -> float:
    return len(text) * size * _DIGIT


def _big_name(tiles: Tiling, tile: Tile) -> str:
    """The tile's name, pale, in the middle: the drawing is printed over it."""
    size = 30.0
    x = MARGIN + tiles.paper.step_x / 2 - _width(tile.name, size) / 2
    y = FOOT + OVERLAP + tiles.paper.step_y / 2 - size * 0.36
    return f"q 0.9 g {_text(x, y, size, tile.name)} Q"


def _edges(tiles: Tiling, tile: Tile) -> str:
    """Solid where the tile is cut, dashed where a neighbour's cut edge will lie, pale elsewhere."""
    paper = tiles.paper
    left, foot = MARGIN, FOOT
    right, top = left + paper.window_width, foot + paper.window_height
    pale, solid, dashed = "0.15 w 0.75 G [] 0 d", "0.25 w 0.35 G [] 0 d", "0.25 w 0.45 G [2 1.5] 0 d"
    has_left, has_up, has_right, has_down = _neighbours(tiles, tile)
    parts = [
        "q",
        solid if has_left else pale,
        _line(left, foot, left, top),
        solid if has_up else pale,
        _line(left, top, right, top),
        pale,
        _line(right, foot, right, top),
        _line(left, foot, right, foot),
    ]
    if has_right:
        parts += [dashed, _line(right - OVERLAP, foot, right - OVERLAP, top)]
    if has_down:
        parts += [dashed, _line(left, foot + OVERLAP, right, foot + OVERLAP)]
    return " ".join([*parts, "Q"])


def _neighbours(tiles: Tiling, tile: Tile) -> tuple[bool, bool, bool, bool]:
    """Whether there is a tile to the left, above, to the right, below."""
    row, column = tile.row, tile.column
    return (
        tiles.has(row, column - 1),
        tiles.has(row - 1, column),
        tiles.has(row, column + 1),
        tiles.has(row + 1, column),
    )


def _marks(tiles: Tiling, tile: Tile) -> str:
    """A diamond twice on each joined edge, with the names of both tiles beside it; clipped to the window."""
    paper = tiles.paper
    left, foot = MARGIN, FOOT
    right, top = left + paper.window_width, foot + paper.window_height
    has_left, has_up, has_right, has_down = _neighbours(tiles, tile)
    here, row, column = tile.name, tile.row, tile.column
    parts = [
        f"q {_n(left)} {_n(foot)} {_n(paper.window_width)} {_n(paper.window_height)} re W n",
        "0.3 w 0.35 G 0.35 g",
    ]
    for share in (0.25, 0.75):
        x = left + paper.step_x * share
        y = top - paper.step_y * share
        if has_left:
            parts.append(_side_mark(left, y, tile_name(row, column - 1), here))
        if has_right:
            parts.append(_side_mark(right - OVERLAP, y, here, tile_name(row, column + 1)))
        if has_up:
            parts.append(_level_mark(x, top, tile_name(row - 1, column), here))
        if has_down:
            parts.append(_level_mark(x, foot + OVERLAP, here, tile_name(row + 1, column)))
    return " ".join([*parts, "Q"])


def _diamond(x: float, y: float) -> str:
    m = _MARK
    return (
        f"{_n(x - m)} {_n(y)} m {_n(x)} {_n(y + m)} l {_n(x + m)} {_n(y)} l {_n(x)} {_n(y - m)} l h S "
        f"{_line(x - m, y, x + m, y)} {_line(x, y - m, x, y + m)}"
    )


def _side_mark(x: float, y: float, left: str, right: str) -> str:
    size = 2.6
    names = (
        _text(x - _MARK - 0.8 - _width(left, size), y - 0.9, size, left)
        + " "
        + _text(x + _MARK + 0.8, y - 0.9, size, right)
    )
    return f"{_diamond(x, y)} {names}"


def _level_mark(x: float, y: float, above: str, below: str) -> str:
    size = 2.6
    names = (
        _text(x - _width(above, size) / 2, y + _MARK + 0.9, size, above)
        + " "
        + _text(x - _width(below, size) / 2, y - _MARK - 2.8, size, below)
    )
    return f"{_diamond(x, y)} {names}"


def _margin_words(tiles: Tiling, tile: Tile) -> str:
    """What is done with each joined edge, in the margin beside it."""
    paper = tiles.paper
    has_left, has_up, has_right, _ = _neighbours(tiles, tile)
    row, column = tile.row, tile.column
    size = 2.5
    middle_x, middle_y = paper.width / 2, FOOT + paper.window_height / 2
    parts = ["q 0.35 g"]
    if has_left:
        text = f"cut here, lay over {tile_name(row, column - 1)}"
        parts.append(_text(MARGIN - 1.8, middle_y - _width(text, size) / 2, size, text, upright=True))
    if has_up:
        text = f"cut here, lay over {tile_name(row - 1, column)}"
        parts.append(_text(middle_x - _width(text, size) / 2, FOOT + paper.window_height + 1.5, size, text))
    if has_right:
        text = f"{tile_name(row, column + 1)} is laid over this strip"
        x = MARGIN + paper.window_width + 3.4
        parts.append(_text(x, middle_y - _width(text, size) / 2, size, text, upright=True))
    return " ".join([*parts, "Q"])


def _foot(tile: Tile, page: int, pages: int) -> str:
    """The tile's own line under the label: name, page, pieces."""
    text = f"tile {tile.name} - page {page} of {pages} - {', '.join(tile.pieces)}"
    longest = 118
    if len(text) > longest:
        text = text[: longest - 3] + "..."
    return f"0 g {_text(MARGIN, FOOT - 8.6, 2.8, text)}"
