"""The hand-drafting sheet as a PDF on ordinary paper."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from drafting.output.hand.pictures import HAND_STYLE, Picture, picture_of
from drafting.output.hand.plan import HandPiece
from drafting.output.hand.reading import hand_pieces
from drafting.output.hand.steps import Step, Table, seam_table, steps_of
from drafting.output.hand.tape import Tape, tape_in
from drafting.output.label import Label
from drafting.output.pdf import SUPERSEDED, saved, set_in_type
from drafting.output.shapes import html_words, number, svg_shape
from drafting.pattern import Draft
from drafting.units import Unit

_STYLE = (
    """
@page{size:%s;margin:14mm 13mm 16mm 13mm;
font-family:DejaVu Sans,sans-serif;font-size:2.7mm;
@bottom-left{content:"%s"}
@bottom-right{content:"page " counter(page) " of " counter(pages)}}
body{margin:0;font-family:DejaVu Sans,sans-serif;font-size:3.1mm;line-height:1.4;color:#111}
h1{font-size:6mm;margin:0 0 2mm}
h2{font-size:4.6mm;margin:0 0 1mm;break-after:avoid}
.cuts{break-after:avoid}
h3{font-size:3.4mm;margin:0 0 1mm}
p{margin:0 0 1.5mm}
.piece{margin:0 0 8mm}
.step{display:table;width:100%%;break-inside:avoid;border-top:.2mm solid #999;padding:2mm 0}
.words{display:table-cell;vertical-align:top;padding-right:4mm}
.picture{display:table-cell;width:75mm;vertical-align:top}
.hand{position:relative}
svg{display:block}
.w{position:absolute;margin:0;white-space:nowrap;line-height:1}
table{border-collapse:collapse;margin:0 0 2mm;font-size:2.8mm;break-inside:avoid}
th{text-align:left;font-weight:700;padding:.3mm 2.5mm .3mm 0;border-bottom:.2mm solid #999}
td{padding:.35mm 2.5mm .35mm 0;border-bottom:.1mm solid #ccc;vertical-align:top}
.superseded{position:fixed;top:110mm;left:6mm;font-size:15mm;font-weight:700;color:#b3261e;opacity:.4;
transform:rotate(-48deg);white-space:nowrap}
"""
    + HAND_STYLE
)

_HOW = (
    "Each piece is ruled inside a frame: mark its points, join them, then add the allowances. What you rule "
    "is the line that is sewn; you cut outside it. Numbers are to the nearest mark of the tape, so that a "
    "line may differ from the draft by up to %s. Hold the two sides of each seam against each other (the "
    "last table) before you cut."
)
_HOLD = (
    "Where a seam is eased, gathered or pleated one side is longer on purpose; every other pair must agree. "
    "Where they differ by a mark or two, move the end of the longer one."
)


def hand_pdf(draft: Draft, label: Label, *, superseded: bool = False, unit: Unit = Unit.MM) -> bytes:
    """Return the sheet on A4, or on Letter where the workshop measures in inches."""
    return saved(set_in_type(hand_html(draft, label, superseded=superseded, unit=unit)))


def hand_html(draft: Draft, label: Label, *, superseded: bool = False, unit: Unit = Unit.MM) -> str:
    """The sheet as one document."""
    tape = tape_in(unit)
    size = "Letter" if tape.unit is Unit.IN else "A4"
    line = label.line or "Pattern"
    mark = f'<p class="superseded">{escape(SUPERSEDED)}</p>' if superseded else ""
    body = [mark, _opening(draft, label, tape), *(_piece(piece, tape) for piece in hand_pieces(draft, tape))]
    body.append(_closing(draft, tape))
    return (
        f'<!doctype html><html lang="en"><head><title>{escape(line)}</title>'
        f"<style>{_STYLE % (size, _css_text(line))}</style></head><body>{''.join(body)}</body></html>"
    )


def _css_text(text: str) -> str:
    """Text inside a quoted CSS string inside a style element."""
    return "".join(c if c.isalnum() or c in " .,-" else f"\\{ord(c):x} " for c in text)


def _opening(draft: Draft, label: Label, tape: Tape) -> str:
    rows = tuple(
        (
            finished.name,
            tape.words(finished.garment),
            "" if finished.body is None else tape.words(finished.body),
        )
        for finished in draft.finished
    )
    eighth = "1/8 in" if tape.unit is Unit.IN else "2 mm"
    return (
        f"<h1>{escape(label.garment or 'Pattern')}: to draft by hand</h1><p>{escape(label.line)}</p>"
        f"<p>All numbers are in {_UNITS[tape.unit]}.</p><p>{_HOW % eighth}</p>"
        + _table(Table(("finished garment", str(tape.unit), "the body's own"), rows))
    )


_UNITS = {Unit.IN: "inches, to the nearest 1/8", Unit.CM: "centimetres", Unit.MM: "millimetres"}


def _piece(piece: HandPiece, tape: Tape) -> str:
    steps = steps_of(piece, tape)
    parts = "".join(_step(piece, number, step, tape) for number, step in enumerate(steps, start=1))
    cuts = escape("; ".join(piece.cuts))
    return f'<section class="piece"><h2>{escape(piece.name)}</h2><p class="cuts">{cuts}</p>{parts}</section>'


def _step(piece: HandPiece, order: int, step: Step, tape: Tape) -> str:
    tables = "".join(map(_table, step.tables))
    return (
        f'<div class="step"><div class="words"><h3>{escape(piece.name)}, step {order}</h3>'
        f"<p>{escape(step.words)}</p>{tables}</div>"
        f'<div class="picture">{_svg(picture_of(piece, step.stage, tape))}</div></div>'
    )


def _svg(picture: Picture) -> str:
    w, h = number(picture.width), number(picture.height)
    shapes = "".join(map(svg_shape, picture.drawing.shapes))
    words = "".join(map(html_words, picture.drawing.words))
    return (
        f'<div class="hand" style="width:{w}mm;height:{h}mm"><svg xmlns="http://www.w3.org/2000/svg"'
        f' class="hand" width="{w}mm" height="{h}mm" viewBox="0 0 {w} {h}">'
        f"<style>{HAND_STYLE}</style>{shapes}</svg>"
        f"{words}</div>"
    )


def _table(table: Table) -> str:
    if not table.rows:
        return ""
    head = "".join(f"<th>{escape(cell)}</th>" for cell in table.head)
    return f"<table><tr>{head}</tr>{''.join(map(_row, table.rows))}</table>"


def _row(cells: Sequence[str]) -> str:
    return f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in cells)}</tr>"


def _closing(draft: Draft, tape: Tape) -> str:
    table = _table(seam_table(draft, tape))
    return f'<section class="piece"><h2>Hold the seams against each other</h2><p>{_HOLD}</p>{table}</section>'
