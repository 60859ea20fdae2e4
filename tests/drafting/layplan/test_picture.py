from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from shapely.geometry import Point, Polygon

from drafting import make_draft
from drafting.body import Body
from drafting.layplan import Cloth, Flaw, Stretch, items_for, plan_lay, read_items
from drafting.layplan.picture import lay_screen_svg, lay_svg
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


def test_lay_svg_writes_a_name_along_a_narrow_piece_and_inside_it() -> None:
    blouse, cloth = make_draft("shirt-blouse", Body.of(BODY)), Cloth("shell", 1400, folded=True)
    plan = plan_lay(items_for(blouse, "shell", cloth), cloth, seconds=0.1)

    root = ElementTree.fromstring(lay_svg(plan, unit=Unit.CM))

    [name] = [text for text in root.iter(f"{SVG}text") if text.text == "front facing"]
    turn, x, y = map(float, re.findall(r"[-.\d]+", name.attrib["transform"]))
    size = float(name.attrib["font-size"])
    facings = [Polygon(corners(shape)) for shape in root.iter(f"{SVG}polygon")]
    [facing] = [shape for shape in facings if shape.contains(Point(x, y))]
    end = y + (1 if turn > 0 else -1) * 0.62 * size * len("front facing")
    assert abs(turn) == 90
    assert facing.contains(Point(x, end))


def corners(shape: ElementTree.Element) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in (row.split(",") for row in shape.attrib["points"].split())]


def test_lay_svg_names_lengths_and_crosses_out_flaws() -> None:
    lengths = (Stretch(900, (Flaw(300, 400, 60),), "remnant 7"), Stretch(1500))
    root, words = drawn(Cloth("shell", 1500, stretches=lengths), Unit.CM)
    crossed = [path for path in root.iter(f"{SVG}path") if path.attrib.get("stroke") == "#8c2f1b"]

    bold = [text.text for text in root.iter(f"{SVG}text") if text.attrib.get("font-weight") == "bold"]
    assert [text for text in bold if not text.isdigit()] == ["remnant 7"] * 2 + ["length 2"] * 2
    assert "of the remnant 7, " in " ".join(words)
    assert words.count("0") == 2  # a tape for each length
    # The flaw and the end of the first length; what lies beyond the lay is not drawn.
    assert len(crossed) == 2


def test_lay_svg_says_how_part_folded_cloth_lies_and_what_is_matched() -> None:
    part = Cloth("shell", 1500, folded=True, fold_depth=420)
    blouse = make_draft("shirt-blouse", Body.of(BODY))
    checks = Cloth("shell", 1500, repeat_length=80, repeat_width=60)
    matched = plan_lay(items_for(blouse, "shell", checks), checks, seconds=0.1)
    _, words = drawn(part, Unit.CM)

    assert "double up to here" in words
    assert "repeat 8.0\N{NO-BREAK SPACE}cm by 6.0\N{NO-BREAK SPACE}cm; 7 matches held" in lay_svg(
        matched, unit=Unit.CM
    )


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


def test_lay_svg_puts_the_key_beside_a_long_lay_so_that_it_is_drawn_larger() -> None:
    """4.3 m of 43 pieces and a column of 43 names go on the sheet side by side at 1 to 20."""
    cloth = Cloth("shell", 1400, selvedge=0, gap=0)
    outline = [[0, 0], [100, 0], [100, 1400], [0, 1400]]
    names = [{"id": f"a name as long as some {number}", "polygon": outline} for number in range(1, 44)]
    plan = plan_lay(read_items({"items": names}), cloth, seconds=0.1)

    root = ElementTree.fromstring(lay_svg(plan, unit=Unit.CM))

    texts = {text.text: text for text in root.iter(f"{SVG}text")}
    beside = texts["43  a name as long as some 43"]
    assert "scale 1 : 20; cut in the order of the numbers" in texts
    assert float(beside.attrib["x"]) > 1400
    assert float(root.attrib["height"].removesuffix("mm")) <= 277


def test_lay_screen_svg_can_be_read_on_a_phone_however_long_the_lay_is() -> None:
    cloth = Cloth("shell", 1400, selvedge=0, gap=0)
    outline = [[0, 0], [700, 0], [700, 1400], [0, 1400]]
    plan = plan_lay(
        read_items({"items": [{"id": "half", "demand": 12, "polygon": outline}]}), cloth, seconds=0.1
    )

    root = ElementTree.fromstring(lay_screen_svg(plan, unit=Unit.CM))

    wide = float(root.attrib["viewBox"].split()[2])
    names = [text for text in root.iter(f"{SVG}text") if text.text == "half"]
    assert len(names) == 12
    # The drawing is 366 px wide in a window of 390.
    assert min(float(text.attrib["font-size"]) for text in names) * 366 / wide >= 8
