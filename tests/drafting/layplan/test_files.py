"""The files of a lay, read back by other means than they were written."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO, StringIO

import ezdxf
import pikepdf
import pytest
from shapely.geometry import Polygon

from drafting.layplan import Cloth, LayPlan, Stretch, items_for, plan_lay, read_items
from drafting.layplan.files import lay_dxf, lay_pdf
from drafting.layplan.outline import moved
from drafting.units import Unit
from tests.drafting.layplan.sample import draft

MM_A_POINT = 25.4 / 72


@pytest.fixture(scope="module")
def plan() -> LayPlan:
    cloth = Cloth("shell", 1500, folded=True)
    return plan_lay(items_for(draft(), "shell", cloth), cloth, seconds=0.3)


def pages(data: bytes) -> list[tuple[float, float]]:
    with pikepdf.open(BytesIO(data)) as pdf:
        boxes = [[float(value) for value in page.mediabox] for page in pdf.pages]
    return [((x1 - x0) * MM_A_POINT, (y1 - y0) * MM_A_POINT) for x0, y0, x1, y1 in boxes]


def drawn_to(data: bytes) -> list[float]:
    """Lengths of the long straight lines of the first page, mm, from its operators and their matrices."""
    lengths: list[float] = []
    with pikepdf.open(BytesIO(data)) as pdf:
        scales, start = [1.0], (0.0, 0.0)
        for operands, operator in pikepdf.parse_content_stream(pdf.pages[0]):
            name, values = str(operator), [float(v) for v in operands if not isinstance(v, pikepdf.Object)]
            if name == "q":
                scales.append(scales[-1])
            elif name == "Q":
                scales.pop()
            elif name == "cm":
                scales[-1] *= abs(values[0])
            elif name == "m":
                start = (values[0], values[1])
            elif name == "l":
                way = abs(values[0] - start[0]) + abs(values[1] - start[1])
                lengths.append(way * scales[-1] * MM_A_POINT)
    return lengths


def test_lay_pdf_is_one_page_of_the_lay_s_true_size(plan: LayPlan) -> None:
    ((width, height),) = pages(lay_pdf(plan, unit=Unit.CM))

    assert plan.usable_width < width < plan.usable_width + 200
    assert plan.length < height < plan.length + 600


def test_lay_pdf_draws_the_selvedge_as_long_as_the_lay(plan: LayPlan) -> None:
    assert max(drawn_to(lay_pdf(plan, unit=Unit.CM))) == pytest.approx(plan.length, abs=0.1)


def test_lay_pdf_of_a_long_lay_is_cut_into_pages_that_readers_open(plan: LayPlan) -> None:
    last = plan.placed[-1]
    far = replace(last, outline=moved(last.outline, 9000.0, 0.0))
    long = replace(plan, length=plan.length + 9000, placed=(*plan.placed[:-1], far))

    sizes = pages(lay_pdf(long, unit=Unit.IN))

    assert len(sizes) == 3
    assert max(height for _, height in sizes) <= 5080
    assert sum(height for _, height in sizes) >= long.length


def test_lay_pdf_is_the_same_bytes_each_time(plan: LayPlan) -> None:
    assert lay_pdf(plan, unit=Unit.CM) == lay_pdf(plan, unit=Unit.CM)


def test_lay_dxf_holds_every_piece_in_its_place_in_mm(plan: LayPlan) -> None:
    document = ezdxf.read(StringIO(lay_dxf(plan).decode("cp1252")))
    laid = []
    for insert in document.modelspace().query("INSERT"):
        (outline,) = [e for e in document.blocks[insert.dxf.name].query("POLYLINE") if e.dxf.layer == "1"]
        laid.append(Polygon([(point.x, point.y) for point in outline.points()]))

    assert [shape.bounds for shape in laid] == [
        pytest.approx(Polygon(placed.outline).bounds, abs=1e-6) for placed in plan.placed
    ]
    assert document.audit().errors == []
    (cloth,) = document.modelspace().query("POLYLINE")
    assert (cloth[2].dxf.location.x, cloth[2].dxf.location.y) == pytest.approx((plan.length, 740))


def test_lay_dxf_holds_each_length_that_is_laid_on_by_its_name() -> None:
    """100 mm squares on lengths of 135 and 235 mm: one, two, and one from the roll; walls are 10 mm."""
    cloth = Cloth("shell", 100, selvedge=0, gap=0, stretches=(Stretch(135, (), "end"), Stretch(235)))
    square = {"id": "s", "demand": 4, "polygon": [[0, 0], [100, 0], [100, 100], [0, 100]]}
    plan = plan_lay(read_items({"items": [square]}), cloth, seconds=0.3)

    space = ezdxf.read(StringIO(lay_dxf(plan).decode("cp1252"))).modelspace()

    ends = [end(point.x for point in row.points()) for row in space.query("POLYLINE") for end in (min, max)]
    assert ends == pytest.approx([0, 105, 115, 320, 330, 430], abs=0.01)
    assert [text.dxf.text for text in space.query("TEXT")] == ["end", "length 2", "roll"]


def test_lay_dxf_is_the_same_bytes_each_time(plan: LayPlan) -> None:
    assert lay_dxf(plan) == lay_dxf(plan)
