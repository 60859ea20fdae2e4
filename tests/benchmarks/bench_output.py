"""How long the printed files of a whole dress take: one JSON line each.

``ratio`` is how many times longer (and ``bytes_ratio`` how many times larger) the same tiles are when each
repeats the drawing instead of sharing one form object, measured in the same run.

Run: python -m tests.benchmarks.bench_output
"""

from __future__ import annotations

import json
from collections.abc import Callable
from time import perf_counter

from drafting import make_draft
from drafting.body import Body
from drafting.output.drawing import STYLE
from drafting.output.dxf import pattern_dxf
from drafting.output.label import Label
from drafting.output.pdf import _least_paper, sheet_pdf, tiled_pdf
from drafting.output.shapes import number, svg_body
from drafting.output.sheet import drawn
from drafting.output.svg import draft_svg, garment_svg
from drafting.output.tiles import FOOT, MARGIN, paper_named
from drafting.pattern import Draft
from drafting.units import Unit

LABEL = Label("Summer dress", "A. B.", "2026-11-25", "1")
BODY = {"bust_girth": 890.0, "waist_girth": 700.0, "hip_girth": 960.0, "stature": 1650.0}


def naive_tiles(draft: Draft, name: str) -> bytes:
    """The same tiles, each an SVG of the whole drawing moved under its window."""
    from weasyprint import HTML

    paper = paper_named(name)
    bare, tiles = _least_paper(draft, paper)
    sheet = drawn(bare, LABEL, unit=Unit.MM)
    body = svg_body(sheet.drawing)
    w, h = number(paper.window_width), number(paper.window_height)
    pages = "".join(
        f'<svg xmlns="http://www.w3.org/2000/svg" class="pattern" width="{w}mm" height="{h}mm"'
        f' viewBox="{number(x)} {number(y)} {w} {h}"><style>{STYLE}</style>{body}</svg>'
        for x, y in map(tiles.corner, tiles.tiles)
    )
    size = f"{number(paper.width)}mm {number(paper.height)}mm"
    page = f"@page{{size:{size};margin:{MARGIN}mm {MARGIN}mm {FOOT}mm}}"
    style = f"{page}body{{margin:0}}svg{{display:block;break-after:page}}"
    return HTML(string=f"<style>{style}</style>{pages}").write_pdf()


def timed(work: Callable[[], bytes]) -> tuple[float, bytes]:
    start = perf_counter()
    result = work()
    return perf_counter() - start, result


def report(name: str, seconds: float, size: int, **more: float) -> None:
    print(json.dumps({"bench": name, "seconds": round(seconds, 3), "bytes": size, **more}))


def main() -> None:
    draft = make_draft("notched-collar-dress", Body.of(BODY))
    sheet_pdf(draft, LABEL)  # the first call loads the PDF library
    for paper in ("A4", "Letter"):
        seconds, data = min(
            (timed(lambda p=paper: tiled_pdf(draft, p, LABEL)) for _ in range(3)), key=lambda r: r[0]
        )
        naive_seconds, naive = timed(lambda p=paper: naive_tiles(draft, p))
        report(
            f"tiled_pdf_{paper.lower()}",
            seconds,
            len(data),
            ratio=round(naive_seconds / seconds, 1),
            bytes_ratio=round(len(naive) / len(data), 1),
        )
    for name, work in (
        ("sheet_pdf", lambda: sheet_pdf(draft, LABEL)),
        ("pattern_dxf", lambda: pattern_dxf(draft, LABEL)),
        ("draft_svg", lambda: draft_svg(draft, unit=Unit.MM, title="Dress").encode()),
        ("garment_svg", lambda: garment_svg(draft).encode()),
    ):
        seconds, data = timed(work)
        report(name, seconds, len(data), ratio=1.0)


if __name__ == "__main__":
    main()
