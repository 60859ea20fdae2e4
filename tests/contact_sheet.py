"""Every style on three bodies, as figures with their pieces: ``make contact-sheet``.

One picture a style in ``.pictures/styles-<name>.png``, and ``.pictures/styles.png`` with all of them at the
average body. Words under a figure say why a style refuses a body.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from html import escape
from pathlib import Path

import pypdfium2
from PIL import Image, ImageChops
from weasyprint import HTML

from drafting import make_draft
from drafting.body import Body
from drafting.body.sizes import size_of
from drafting.errors import DraftingError
from drafting.output.garment import garment_svg
from drafting.output.svg import draft_svg
from drafting.styles import STYLES, Style
from drafting.units import Unit

OUT = Path(__file__).resolve().parents[1] / ".pictures"
BODIES = {
    "a child of 6 years": size_of("child-116").body(),
    "an average woman": size_of("woman-92-168").body(),
    "a large woman": Body.of({"bust_girth": 1300, "waist_girth": 1180, "hip_girth": 1380, "stature": 1680}),
}
AVERAGE = "an average woman"
SCALE = 1.25
GREYS = 24
PAGE = """@page{size:%s;margin:6mm}body{margin:0;font:3.4mm DejaVu Sans,sans-serif}
h1{font-size:5mm;margin:0 0 2mm}table{width:100%%;border-collapse:collapse;table-layout:fixed}
td{vertical-align:top;padding:1mm;text-align:center}svg{max-width:100%%}.words{color:#b3261e;text-align:left}"""


def main(names: Sequence[str]) -> None:
    chosen = [STYLES[name] for name in names] if names else list(STYLES.values())
    for style in chosen:
        _save(_sheet(style), OUT / f"styles-{style.name}.png")
    if not names:
        _save(_overview(chosen), OUT / "styles.png")


def _cell(style: Style, body: Body, *, pieces: bool) -> str:
    try:
        draft = make_draft(style.name, body)
    except DraftingError as refusal:
        return f'<p class="words">Refused: {escape(str(refusal))}</p>'
    failed = "".join(
        f'<p class="words">{escape(check.name)}: {check.value:.1f}, not {check.limit:g}</p>'
        for check in draft.checks
        if not check.ok
    )
    drawn = _fitted(garment_svg(draft), 92.0, 84.0)
    small = _fitted(draft_svg(draft, unit=Unit.CM, title=style.title), 92.0, 60.0) if pieces else ""
    return f"{drawn}{small}{failed}"


def _fitted(svg: str, width: float, height: float) -> str:
    """The picture no larger than a box, mm: its own size is that of the viewBox."""
    head, rest = svg.split(">", 1)
    size = [float(word) for word in head.split('viewBox="')[1].split('"')[0].split()[2:]]
    scale = min(width / size[0], height / size[1])
    kept = " ".join(part for part in head.split(" ") if not part.startswith(("width=", "height=")))
    return f'{kept} width="{size[0] * scale:.1f}mm" height="{size[1] * scale:.1f}mm">{rest}'


def _sheet(style: Style) -> str:
    heads = "".join(f"<td>{escape(name)}</td>" for name in BODIES)
    cells = "".join(f"<td>{_cell(style, body, pieces=True)}</td>" for body in BODIES.values())
    return (
        f"<style>{PAGE % '297mm 192mm'}</style><h1>{escape(style.title)}</h1>"
        f"<table><tr>{heads}</tr><tr>{cells}</tr></table>"
    )


def _overview(styles: Sequence[Style], columns: int = 4) -> str:
    cells = [
        f"<td>{escape(style.title)}<br>{_cell(style, BODIES[AVERAGE], pieces=False)}</td>" for style in styles
    ]
    rows = "".join(f"<tr>{''.join(cells[i : i + columns])}</tr>" for i in range(0, len(cells), columns))
    height = 96 * -(-len(cells) // columns) + 20
    return f"<style>{PAGE % f'400mm {height}mm'}</style><table>{rows}</table>"


def _save(html: str, path: Path) -> None:
    """The first page, its empty margins cut off, in few greys, which keeps the file small."""
    pdf = HTML(string=f"<!doctype html><meta charset=utf-8>{html}").write_pdf()
    page = pypdfium2.PdfDocument(pdf)[0]
    picture = page.render(scale=SCALE * 96 / 72).to_pil().convert("RGB")
    empty = Image.new("RGB", picture.size, "white")
    left, top, right, foot = ImageChops.difference(picture, empty).getbbox() or (0, 0, *picture.size)
    picture = picture.crop((max(left - 12, 0), max(top - 12, 0), right + 12, foot + 12))
    picture.quantize(GREYS, dither=Image.Dither.NONE).save(path, optimize=True)
    print(f"{path.name} {path.stat().st_size // 1024} KB")


if __name__ == "__main__":
    main(sys.argv[1:])
