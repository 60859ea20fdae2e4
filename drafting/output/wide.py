"""Full-size pages for a copy shop or a plotter: whole pieces on wide paper, page after page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from drafting.errors import BadChoice
from drafting.output.arrange import Box, arrange, piece_box
from drafting.output.label import Label
from drafting.output.sheet import GAP, LONGEST_PAGE, PAGE_MARGIN, TITLE, Sheet, page_of
from drafting.output.tiles import Paper
from drafting.pattern import Draft
from drafting.units import Unit


@dataclass(frozen=True, slots=True)
class WidePaper:
    """Paper of a width, mm. A ``cut`` sheet has one length; of a roll, a page is as long as its pieces ask.

    ``length`` is that of a cut sheet, and the longest page of a roll.
    """

    name: str
    width: float
    length: float
    cut: bool

    @property
    def tile(self) -> Paper:
        """The same paper as a tile, for a draft with a piece that is wider than it."""
        return Paper(self.name, self.width, min(self.length, 1189.0))


WIDE = {
    paper.name: paper
    for paper in (
        WidePaper("A0", 841.0, 1189.0, cut=True),
        WidePaper("36 in roll", 914.4, LONGEST_PAGE, cut=False),
    )
}
"""ISO 216 A0; 36 in plotter paper (common practice, no source)."""


def wide_named(name: str) -> WidePaper:
    """Return the paper of a name. Raises: BadChoice."""
    if name not in WIDE:
        raise BadChoice(f"wide paper is {' or '.join(WIDE)}, not {name}", field="sheet")
    return WIDE[name]


def too_wide(draft: Draft, paper: WidePaper) -> bool:
    """Whether a piece is wider than the paper, however it is turned."""
    room = paper.width - 2 * PAGE_MARGIN
    boxes = map(piece_box, draft.pieces)
    return any(min(box.width, box.height) > room for box in boxes)


def wide_pages(draft: Draft, label: Label, paper: WidePaper, *, unit: Unit) -> list[Sheet]:
    """Return the pages, the first with label and test squares; every piece lies whole on one of them.

    A piece longer than a cut sheet gets a page as long as it needs, for a roll of that width. No piece may be
    wider than the paper (``too_wide``) or longer than a page (``sheet.check_pages``).
    """
    groups = _groups([piece_box(piece) for piece in draft.pieces], paper)
    sheets = [
        page_of(
            tuple(draft.pieces[i] for i in group), label, width=paper.width, unit=unit, titled=number == 0
        )
        for number, group in enumerate(groups)
    ]
    return [_on(sheet, paper) for sheet in sheets]


def _on(sheet: Sheet, paper: WidePaper) -> Sheet:
    """The sheet on the paper's whole width, and on the whole length of a cut sheet."""
    height = max(sheet.height, paper.length) if paper.cut else sheet.height
    return Sheet(sheet.drawing, paper.width, height, sheet.pieces)


def _groups(boxes: Sequence[Box], paper: WidePaper) -> list[list[int]]:
    """Which boxes lie on which page: the longest first, each on the first page that has room for it."""
    groups: list[list[int]] = [[]]
    for index in sorted(range(len(boxes)), key=lambda i: (-boxes[i].height, -boxes[i].width, i)):
        for number, group in enumerate(groups):
            if _fits([TITLE] * (number == 0) + [boxes[i] for i in (*group, index)], paper):
                group.append(index)
                break
        else:
            groups.append([index])
    return groups


def _fits(boxes: Sequence[Box], paper: WidePaper) -> bool:
    plan = arrange(boxes, paper.width - 2 * PAGE_MARGIN, GAP)
    return plan is not None and plan.height + 2 * PAGE_MARGIN <= paper.length + 1e-6
