"""SVG pictures: well formed, true to scale, labels inside their piece, the same every time."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from shapely import Polygon

from drafting import make_draft
from drafting.body import Body
from drafting.output.drawing import label_lines, piece_drawing
from drafting.output.lettering import text_box
from drafting.output.svg import draft_svg, garment_svg, piece_svg
from drafting.units import Unit
from tests.drafting.output.samples import BODY, front, sample_draft

NS = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def dress():
    return make_draft("notched-collar-dress", Body.of(BODY))


def test_piece_svg_is_true_to_scale():
    root = ElementTree.fromstring(piece_svg(front(), unit=Unit.MM))

    # The cut line spans 258 by 464 mm; 10 mm margin on each side.
    assert root.get("width") == "278mm"
    assert root.get("height") == "484mm"
    assert root.get("viewBox") == "0 0 278 484"


def test_piece_svg_says_what_it_shows_to_those_who_do_not_see_it():
    root = ElementTree.fromstring(piece_svg(front(), unit=Unit.CM))

    assert root.get("role") == "img"
    assert root.findtext(f"{NS}title") == "front bodice"
    assert root.findtext(f"{NS}desc") == (
        "Pattern piece, 25.8 by 46.4 cm. shell: cut 1 on the fold, lining: cut 1 on the fold."
    )


def test_a_small_picture_of_a_piece_is_drawn_without_words():
    words, bare = (piece_svg(front(), unit=Unit.CM, lettered=lettered) for lettered in (True, False))

    assert words.count("<path") == bare.count("<path")
    assert words.count("<text") > 3
    assert re.findall("<text[^>]*>([^<]*)<", bare) == ["place on fold"]  # which is a sign


def test_piece_svg_escapes_names():
    root = ElementTree.fromstring(piece_svg(front().with_(name='<b> & "c"'), unit=Unit.MM))

    assert root.findtext(f"{NS}title") == '<b> & "c"'


def test_draft_svg_holds_every_piece(dress):
    root = ElementTree.fromstring(draft_svg(dress, unit=Unit.IN, title="A dress"))
    papers = [path for path in root.iter(f"{NS}path") if path.get("class", "").startswith("paper")]

    assert len(papers) == len(dress.pieces)


def test_labels_lie_inside_every_piece_and_clear_of_each_other(dress):
    for piece in (*dress.pieces, *sample_draft().pieces):
        outline = Polygon(piece.outline(0.5))
        boxes = [text_box(words) for words in piece_drawing(piece, unit=Unit.MM).words]
        label = boxes[-len(boxes) :]
        assert all(outline.covers(box) for box in label), piece.name
        overlaps = [
            a.intersection(b).area for i, a in enumerate(boxes) for b in boxes[i + 1 :] if a.intersects(b)
        ]
        # Lines of one block stand closer than their boxes are high: a sliver, never a letter's height.
        assert sum(overlaps) < 1.0, piece.name


def test_every_long_seam_and_hem_of_a_piece_is_named_on_it(dress):
    drawn = {piece.name: [w.text for w in piece_drawing(piece, unit=Unit.CM).words] for piece in dress.pieces}

    assert {"armhole", "shoulder", "side lower", "waist side", "lapel edge"} <= set(drawn["front bodice"])
    assert {"armhole", "shoulder", "side", "neck"} <= set(drawn["back bodice"])
    assert {"waist", "side", "hem"} <= set(drawn["skirt front"])
    # Neither a fold, which has a sign of its own, nor the leg of a dart.
    assert "centre front" not in drawn["skirt front"]
    assert not [text for text in drawn["front bodice"] if text.startswith("bust dart")]


def test_label_lines_give_allowances_in_the_workshops_unit(dress):
    lines = [line.text for line in label_lines(dress.piece("skirt front"), Unit.IN)]

    assert lines[:3] == [
        "skirt front",
        "shell: cut 1 on the fold",
        "allowances drawn: seam\u00a05/8\u00a0in or 1\u00a0in;",
    ]


@pytest.mark.parametrize("pleat_kind", ["knife", "box", "inverted"])
def test_garment_svg_is_well_formed_and_follows_the_pleats(pleat_kind):
    draft = make_draft("notched-collar-dress", Body.of(BODY), {"pleat_kind": pleat_kind, "pleats": 3})
    root = ElementTree.fromstring(garment_svg(draft))

    assert [text.text for text in root.iter(f"{NS}text")] == ["front", "back"]
    numbers = garment_svg(draft)
    assert "nan" not in numbers
    assert "inf" not in numbers


def test_garment_svg_without_bodice_says_so():
    draft = sample_draft()
    bare = type(draft)("none", {}, draft.body, {}, "1", (draft.piece("skirt front"),), ())

    assert "There is no drawing of this garment." in garment_svg(bare)


def test_pictures_are_the_same_every_time(dress):
    assert draft_svg(dress, unit=Unit.MM, title="t") == draft_svg(dress, unit=Unit.MM, title="t")
    assert garment_svg(dress) == garment_svg(dress)
