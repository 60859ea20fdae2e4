"""All pieces of a draft laid on one sheet of paper at true size."""

from __future__ import annotations

from dataclasses import dataclass, replace

from drafting.errors import DraftingError
from drafting.geometry import Point
from drafting.output.arrange import Box, PaperPlan, Place, arrange, laid, piece_box
from drafting.output.drawing import cut_ring, piece_drawing
from drafting.output.label import Label
from drafting.output.shapes import Drawing, Shape, Words, number
from drafting.pattern import Draft, Piece
from drafting.units import Unit

LONGEST_PAGE = 5080.0
"""mm: 14,400 units of 1/72 in, the largest side of a page that every reader opens (ISO 32000-1, annex C)."""

ROLLS = (610.0, 762.0, 914.0, 1067.0, 1118.0, 1372.0, 1524.0)
"""Widths of plotter paper, mm (24, 30, 36, 42, 44, 54 and 60 in; common practice, no source)."""

SQUARE_MM = 100.0
SQUARE_IN = 101.6
PAGE_MARGIN = 15.0
_EDGE = 3.0
"""mm round the pieces of a tiled sheet, so that no cut line runs along the edge of a tile's window."""
GAP = 12.0
TITLE = Box(SQUARE_MM + SQUARE_IN + 10.0, SQUARE_IN + 26.0)


class CannotPrint(DraftingError):
    """A piece that no page can hold; the message says how large it is and what a page holds."""

    def __init__(self, message: str, *, field: str = "") -> None:
        super().__init__(message)
        self.field = field


@dataclass(frozen=True, slots=True)
class Sheet:
    """A drawing on paper of a size, mm, and the pieces where they lie (y up, the paper's top at y = 0)."""

    drawing: Drawing
    width: float
    height: float
    pieces: tuple[Piece, ...]


def bare_sheet(draft: Draft, *, width: float) -> Sheet | None:
    """Return the pieces alone on paper of a width, not yet drawn; None where one is too wide."""
    plan = arrange([piece_box(piece) for piece in draft.pieces], width - 2 * _EDGE, GAP)
    if plan is None:
        return None
    pieces = _laid_pieces(draft.pieces, plan.places, _EDGE)
    return Sheet(Drawing(), plan.width + 2 * _EDGE, plan.height + 2 * _EDGE, pieces)


def drawn(sheet: Sheet, label: Label, *, unit: Unit) -> Sheet:
    """Return the sheet with its pieces drawn on it, each with the label's line."""
    return replace(sheet, drawing=sheet.drawing + _drawn(sheet.pieces, label, unit))


def titled_sheet(draft: Draft, label: Label, *, unit: Unit) -> Sheet:
    """Return the pieces with label and test squares on the narrowest roll on which they fit a page's length.

    Raises: CannotPrint where a piece is longer than a page.
    """
    check_pages(draft)
    plan = _roll_plan([TITLE, *(piece_box(piece) for piece in draft.pieces)])
    return _page(draft.pieces, plan, label, unit, titled=True)


def page_of(pieces: tuple[Piece, ...], label: Label, *, width: float, unit: Unit, titled: bool) -> Sheet:
    """Return pieces on a page of a width, beside label and test squares where it is ``titled``.

    Raises: CannotPrint where a piece is wider than the page.
    """
    boxes = [*([TITLE] if titled else []), *(piece_box(piece) for piece in pieces)]
    plan = arrange(boxes, width - 2 * PAGE_MARGIN, GAP)
    if plan is None:
        raise CannotPrint(f"a piece is wider than {width - 2 * PAGE_MARGIN:.0f} mm: print it as tiles")
    return _page(pieces, plan, label, unit, titled=titled)


def _page(pieces: tuple[Piece, ...], plan: PaperPlan, label: Label, unit: Unit, *, titled: bool) -> Sheet:
    """The planned page; the title's place is the plan's first."""
    places = plan.places
    drawing = Drawing()
    if titled:
        drawing = title_block(label, places[0].x + PAGE_MARGIN, places[0].y + PAGE_MARGIN)
        places = places[1:]
    lying = _laid_pieces(pieces, places, PAGE_MARGIN)
    drawing += _drawn(lying, label, unit)
    return Sheet(drawing, plan.width + 2 * PAGE_MARGIN, plan.height + 2 * PAGE_MARGIN, lying)


def check_pages(draft: Draft) -> None:
    """Refuse a piece that no page holds. Raises: CannotPrint."""
    for piece in draft.pieces:
        box = piece_box(piece)
        longest = max(box.width, box.height)
        if longest > LONGEST_PAGE - 2 * PAGE_MARGIN:
            raise CannotPrint(
                f"{piece.name} is {longest:.0f} mm long and a page holds "
                f"{LONGEST_PAGE - 2 * PAGE_MARGIN:.0f} mm: shorten it, or give it a seam"
            )


def _roll_plan(boxes: list[Box]) -> PaperPlan:
    for roll in (*ROLLS, LONGEST_PAGE):
        plan = arrange(boxes, roll - 2 * PAGE_MARGIN, GAP)
        if plan is not None and plan.height + 2 * PAGE_MARGIN <= LONGEST_PAGE:
            return plan
    raise CannotPrint("the pieces together are larger than a page: print them as tiles")


def _laid_pieces(pieces: tuple[Piece, ...], places: tuple[Place, ...], shift: float) -> tuple[Piece, ...]:
    moved = (Place(place.x + shift, place.y + shift, place.turned) for place in places)
    return tuple(laid(piece, place) for piece, place in zip(pieces, moved, strict=True))


def _drawn(pieces: tuple[Piece, ...], label: Label, unit: Unit) -> Drawing:
    remarks = (label.line,) if label.line else ()
    return Drawing.together(piece_drawing(piece, unit=unit, remarks=remarks) for piece in pieces)


def title_block(label: Label, x: float, y: float) -> Drawing:
    """The label and both test squares, with its left top corner at a point of the paper (y down)."""
    top = y + 24.0
    heading = (
        Words(x, y + 8.0, 8.0, label.garment or "Pattern", "start", bold=True),
        Words(x, y + 17.0, 4.5, label_rest(label), "start"),
    )
    squares = test_square(x, top, SQUARE_MM, "100 mm") + test_square(
        x + SQUARE_MM + 10.0, top, SQUARE_IN, "4 in"
    )
    return Drawing(words=heading) + squares


def label_rest(label: Label) -> str:
    """The label without the garment's name."""
    return Label("", label.wearer_initials, label.date, label.version).line


def test_square(x: float, y: float, side: float, name: str) -> Drawing:
    """A square to be measured before anything is cut."""
    s = number(side)
    data = f"M{number(x)} {number(y)}h{s}v{s}h-{s}Z"
    words = (
        Words(x + side / 2, y + 12.0, 7.0, name, bold=True),
        Words(x + side / 2, y + 19.0, 3.4, f"Each side must measure {name}."),
        Words(x + side / 2, y + 24.0, 3.4, "If it does not, print again at 100 %."),
    )
    return Drawing((Shape("square", data),), words)


def piece_ring(piece: Piece) -> tuple[Point, ...]:
    """The line along which a laid piece is cut."""
    return cut_ring(piece)
