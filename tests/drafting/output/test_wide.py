"""Pages of wide paper: which paper there is, every piece once, the same bytes every time."""

from __future__ import annotations

import pytest

from drafting import make_draft
from drafting.body.sizes import size_of
from drafting.errors import BadChoice
from drafting.output.arrange import piece_box
from drafting.output.label import Label
from drafting.output.pdf import wide_pdf
from drafting.output.wide import WIDE, too_wide, wide_named, wide_pages
from drafting.units import Unit
from tests.drafting.output.samples import sample_draft

LABEL = Label("Summer dress", "A. B.", "2026-11-25", "3")


def test_wide_paper_of_another_name_is_refused():
    with pytest.raises(BadChoice, match="A0 or 36 in roll, not A7") as refusal:
        wide_named("A7")

    assert refusal.value.field == "sheet"


@pytest.mark.parametrize("name", WIDE)
@pytest.mark.parametrize("style", ["princess-dress", "circle-skirt", "trousers"])
def test_every_piece_lies_once_on_pages_no_longer_than_they_may_be(style, name):
    draft, paper = make_draft(style, size_of("woman-92-168").body()), WIDE[name]
    pages = wide_pages(draft, LABEL, paper, unit=Unit.CM)
    longest = max(max(piece_box(piece).height for piece in draft.pieces) + 30.0, paper.length)

    assert sorted(piece.name for page in pages for piece in page.pieces) == sorted(
        piece.name for piece in draft.pieces
    )
    assert all(page.width == paper.width and page.height <= longest for page in pages)


def test_piece_wider_than_the_paper_is_found():
    draft = make_draft(
        "circle-skirt", size_of("woman-92-168").body(), {"circle": "full", "skirt_length": 900}
    )

    assert too_wide(draft, WIDE["A0"])
    assert not too_wide(sample_draft(), WIDE["A0"])


def test_wide_pdf_of_the_same_draft_is_the_same_bytes():
    assert wide_pdf(sample_draft(), "A0", LABEL) == wide_pdf(sample_draft(), "A0", LABEL)
