"""The figure of every style, of garments in parts, and of drafts that it does not know."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from xml.etree import ElementTree

import pytest

from drafting import make_draft
from drafting.body.sizes import size_of
from drafting.output.garment import garment_svg
from drafting.pattern import Cut, Draft
from drafting.styles import STYLES
from tests.drafting.output.samples import facing, sample_draft

NS = "{http://www.w3.org/2000/svg}"
SIZES = ("child-116", "woman-92-168")


@cache
def drafted(style: str, size: str) -> Draft:
    return make_draft(style, size_of(size).body())


def numbers(root: ElementTree.Element) -> list[tuple[float, float]]:
    """Every point of the picture, control points of curves among them."""
    found = []
    for group in root.iter(f"{NS}g"):
        dx = float(group.get("transform", "translate(0 0)").split("(")[1].split()[0])
        for path in group.iter(f"{NS}path"):
            words = path.get("d", "")
            if "a" in words:  # a button: only its first point is given in full
                words = words.split("a")[0]
            for letter in "MLCZ":
                words = words.replace(letter, " ")
            values = [float(word) for word in words.split()]
            found += [(x + dx, y) for x, y in zip(values[::2], values[1::2], strict=True)]
    return found


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("style", STYLES)
def test_every_style_is_drawn_inside_its_picture(style, size):
    root = ElementTree.fromstring(garment_svg(drafted(style, size)))
    left, top, width, height = map(float, root.get("viewBox", "").split())
    points = numbers(root)

    assert [text.text for text in root.iter(f"{NS}text")] == ["front", "back"]
    assert len(points) > 100
    assert min(x for x, _ in points) >= left
    assert max(x for x, _ in points) <= left + width
    assert min(y for _, y in points) >= top
    assert max(y for _, y in points) <= top + height


@pytest.mark.parametrize("name", ["wimple", "front bib", "skirt front flounce"])
@pytest.mark.parametrize("style", STYLES)
def test_unknown_piece_never_changes_the_drawing(style, name):
    draft = drafted(style, "woman-92-168")
    strange = replace(facing(), name=name, cuts=(Cut("shell", 1),))
    more = replace(draft, pieces=(*draft.pieces, strange))

    def drawn(of: Draft) -> list[str]:
        return [path.get("d", "") for path in ElementTree.fromstring(garment_svg(of)).iter(f"{NS}path")]

    assert drawn(more) == drawn(draft)


def test_draft_without_known_garment_says_so():
    sample = sample_draft()
    bare = Draft("none", {}, sample.body, {}, "1", (facing(),), ())

    assert "There is no drawing of this garment." in garment_svg(bare)


def test_drawing_tells_what_it_shows_to_those_who_do_not_see_it():
    root = ElementTree.fromstring(garment_svg(drafted("notched-collar-dress", "woman-92-168")))

    assert root.get("role") == "img"
    assert root.findtext(f"{NS}title") == "notched collar dress"
    words = root.findtext(f"{NS}desc") or ""
    assert words.startswith("Front and back of the finished garment, made of front bodice, ")
    assert "skirt length" in words
