"""The printed sheet: its paper, its words, its superseded mark, the same bytes every time."""

from __future__ import annotations

from io import BytesIO

import pdfplumber
import pytest

from drafting.output.hand.pdf import hand_html, hand_pdf
from drafting.output.label import Label
from drafting.units import Unit
from tests.drafting.output.samples import sample_draft

LABEL = Label('Summer <dress> & "Łucja’s"', "A. B.", "2026-11-25", "3")
MM = 25.4 / 72


@pytest.mark.parametrize(("unit", "size"), [(Unit.IN, (215.9, 279.4)), (Unit.CM, (210.0, 297.0))])
def test_hand_pdf_is_on_the_workshops_paper_with_its_label_on_every_page(unit, size):
    with pdfplumber.open(BytesIO(hand_pdf(sample_draft(), LABEL, unit=unit))) as pdf:
        sizes = {(round(page.width * MM, 1), round(page.height * MM, 1)) for page in pdf.pages}
        texts = [page.extract_text() for page in pdf.pages]

    assert sizes == {size}
    assert all("A. B. · 2026-11-25 · version 3" in text for text in texts)
    assert all(f"page {n} of {len(texts)}" in text for n, text in enumerate(texts, start=1))


def test_hand_pdf_has_a_picture_for_every_step():
    html = hand_html(sample_draft(), LABEL)

    assert html.count("<h3>") == html.count("<svg ")
    assert html.count("<h3>front bodice, step") == 6


def test_hand_pdf_says_on_every_page_that_it_is_superseded_and_only_then():
    for superseded in (True, False):
        with pdfplumber.open(BytesIO(hand_pdf(sample_draft(), LABEL, superseded=superseded))) as pdf:
            texts = ["".join(char["text"] for char in page.chars) for page in pdf.pages]
        assert [text.count("SUPERSEDED - do not cut") for text in texts] == [int(superseded)] * len(texts)


def test_hand_pdf_of_the_same_draft_is_the_same_bytes():
    assert hand_pdf(sample_draft(), LABEL) == hand_pdf(sample_draft(), LABEL)
