from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from drafting import make_draft
from drafting.body import Body
from drafting.layplan import Cloth, Flaw, Stretch, items_for, plan_lay
from drafting.layplan.picture import lay_svg
from drafting.units import Unit
from tests.drafting.layplan.sample import BODY, draft

SVG = "{http://www.w3.org/2000/svg}"


def drawn(cloth: Cloth, unit: Unit) -> tuple[ElementTree.Element, list[str]]:
    plan = plan_lay(items_for(draft(), "shell", cloth), cloth, seconds=0.3)
    root = ElementTree.fromstring(lay_svg(plan, unit=unit))
    return root, [text.text or "" for text in root.iter(f"{SVG}text")]


def test_lay_svg_is_to_scale_and_fits_a_sheet() -> None:
    root, words = drawn(Cloth("shell", 1140), Unit.CM)
    (scale,) = (int(found.group(1)) for text in words if (found := re.search(r"scale 1 : (\d+)", text)))
    box = [float(value) for value in root.attrib["viewBox"].split()]
    wide, high = (float(root.attrib[name].removesuffix("mm")) for name in ("width", "height"))

    assert (wide * scale, high * scale) == pytest.approx((box[2], box[3]), abs=0.06 * scale)
    assert wide <= 190
    assert high <= 277


def test_lay_svg_numbers_every_piece_and_names_fold_and_selvedge() -> None:
    root, words = drawn(Cloth("shell", 1140, folded=True), Unit.IN)
    polygons = list(root.iter(f"{SVG}polygon"))

    assert len(polygons) == 8
    assert {str(number) for number in range(1, len(polygons) + 1)} <= set(words)
    assert words.count("fold") == 1
    assert words.count("selvedge") == 1
    assert [text.split("  ")[1] for text in words if "skirt front, " in text] == ["skirt front, on the fold"]


def test_lay_svg_names_lengths_and_crosses_out_flaws() -> None:
    lengths = (Stretch(900, (Flaw(300, 400, 60),), "remnant 7"), Stretch(1500))
    root, words = drawn(Cloth("shell", 1500, stretches=lengths), Unit.CM)
    crossed = [path for path in root.iter(f"{SVG}path") if path.attrib.get("stroke") == "#8c2f1b"]

    assert [text for text in words if text in ("remnant 7", "length 2", "roll")] == ["remnant 7", "length 2"]
    assert any(text.startswith("taken: remnant 7 ") for text in words)
    # The flaw and the end of the first length; what lies beyond the lay is not drawn.
    assert len(crossed) == 2


def test_lay_svg_says_how_part_folded_cloth_lies_and_what_is_matched() -> None:
    part = Cloth("shell", 1500, folded=True, fold_depth=420)
    blouse = make_draft("shirt-blouse", Body.of(BODY))
    checks = Cloth("shell", 1500, repeat_length=80, repeat_width=60)
    matched = plan_lay(items_for(blouse, "shell", checks), checks, seconds=0.1)
    _, words = drawn(part, Unit.CM)

    assert "edge folded over, double up to here" in words
    assert "repeat 8.0 cm by 6.0 cm; 7 matches held" in lay_svg(matched, unit=Unit.CM)


def test_lay_svg_draws_outlines_unmirrored_in_mm() -> None:
    cloth = Cloth("shell", 1140)
    plan = plan_lay(items_for(draft(), "shell", cloth), cloth, seconds=0.3)
    root = ElementTree.fromstring(lay_svg(plan, unit=Unit.CM))
    first = [
        tuple(map(float, point.split(",")))
        for point in next(root.iter(f"{SVG}polygon")).attrib["points"].split()
    ]
    (x0, y0), outline = first[0], plan.placed[0].outline

    # A quarter turn seen from above: along the cloth is down the page, across it is to the right.
    for (right, down), (x, y) in zip(first, outline, strict=True):
        assert right - x0 == pytest.approx(y - outline[0][1], abs=0.02)
        assert down - y0 == pytest.approx(x - outline[0][0], abs=0.02)
