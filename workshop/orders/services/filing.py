"""The files of drafts and papers: rendered by jobs, kept as documents."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Protocol

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from costing import documents
from costing.models import CreditNote, Invoice, Quote, Receipt
from costing.queries import paper_number
from costing.speech import language_of, speaking
from drafting.output.dxf import pattern_dxf
from drafting.output.hand.pdf import hand_pdf
from drafting.output.label import Label
from drafting.output.pdf import sheet_pdf, tiled_pdf, wide_pdf
from drafting.output.svg import draft_svg
from drafting.pattern import Draft as Pattern
from drafting.units import Unit
from workshop import jobs
from workshop.errors import Refusal
from workshop.jobs.models import Document
from workshop.orders.models import Draft, Order, OrderDocument
from workshop.orders.queries.garments import pattern_of

Kind = OrderDocument.Kind
PDF = "application/pdf"


GONE = "This draft was erased with its wearer's data; nothing is made from it any more."


class Worker(Protocol):
    """What the making of files needs of a job."""

    id: int
    workshop_id: int

    def progress(self, percent: float, words: str = "") -> None: ...


@dataclass(frozen=True, slots=True)
class Sheets:
    """What the files of a draft are made from."""

    pattern: Pattern
    label: Label
    superseded: bool
    unit: Unit

    def tiled(self, sheet: str) -> bytes:
        return tiled_pdf(self.pattern, sheet, self.label, superseded=self.superseded, unit=self.unit)

    def whole(self) -> bytes:
        return sheet_pdf(self.pattern, self.label, superseded=self.superseded, unit=self.unit)

    def wide(self, paper: str) -> bytes:
        return wide_pdf(self.pattern, paper, self.label, superseded=self.superseded, unit=self.unit)

    def by_hand(self) -> bytes:
        return hand_pdf(self.pattern, self.label, superseded=self.superseded, unit=self.unit)

    def drawing(self) -> bytes:
        mark = ", superseded: do not cut" if self.superseded else ""
        title = f"{self.label.garment}, {self.label.version}{mark}"
        return draft_svg(self.pattern, unit=self.unit, title=title).encode()

    def cutter(self) -> bytes:
        return pattern_dxf(self.pattern, self.label)


@dataclass(frozen=True, slots=True)
class FileKind:
    """A kind of pattern file: what it is called, and how it is made."""

    kind: str
    ending: str
    content_type: str
    words: str
    render: Callable[[Sheets], bytes]


FILES = (
    FileKind(Kind.PATTERN_A4, "A4.pdf", PDF, "A4 sheets", lambda sheets: sheets.tiled("A4")),
    FileKind(Kind.PATTERN_LETTER, "Letter.pdf", PDF, "Letter sheets", lambda sheets: sheets.tiled("Letter")),
    FileKind(Kind.PATTERN_SHEET, "full size.pdf", PDF, "one full-size sheet", Sheets.whole),
    FileKind(Kind.PATTERN_A0, "A0.pdf", PDF, "A0 sheets", lambda sheets: sheets.wide("A0")),
    FileKind(
        Kind.PATTERN_ROLL, "36 in roll.pdf", PDF, "a 36 in roll", lambda sheets: sheets.wide("36 in roll")
    ),
    FileKind(Kind.PATTERN_HAND, "by hand.pdf", PDF, "the steps by hand", Sheets.by_hand),
    FileKind(Kind.PATTERN_SVG, "pattern.svg", "image/svg+xml", "the drawing", Sheets.drawing),
    FileKind(Kind.PATTERN_DXF, "pattern.dxf", "application/dxf", "the cutter's file", Sheets.cutter),
)


def label_of(draft: Draft) -> Label:
    """What every sheet says: garment, initials, date, version."""
    day = draft.workshop.day_of(draft.created_at)
    garment = draft.garment
    return Label(
        garment=f"{garment.title}, order {garment.order.number}",
        wearer_initials=garment.wearer.initials,
        date=f"{day.day} {day:%B %Y}",
        version=f"draft {draft.version}",
    )


def make_pattern_files(*, draft: Draft, job: Worker, now: datetime) -> list[OrderDocument]:
    """Make every file of a draft; those of a superseded one carry the mark. A second run replaces the first.

    Raises: CannotPrint where a sheet would be too large or too many.
    """
    pattern = pattern_of(draft)
    label = label_of(draft)
    unit = Unit(draft.workshop.length_unit)
    made = []
    for number, file in enumerate(FILES):
        job.progress(100 * number / len(FILES), f"Drawing {file.words}")
        row = None
        while row is None:
            superseded = Draft.objects.filter(pk=draft.pk, superseded_at__isnull=False).exists()
            content = file.render(Sheets(pattern, label, superseded, unit))
            row = _keep(draft, file, content, job=job, superseded=superseded, now=now)
        made.append(row)
    return made


@transaction.atomic
def _keep(
    draft: Draft, file: FileKind, content: bytes, *, job: Worker, superseded: bool, now: datetime
) -> OrderDocument | None:
    """Keep a file; None where the draft was superseded while it was drawn, so that it lacks the mark."""
    # Whoever supersedes a draft writes its row first and then looks for its files: one waits for the other.
    held = Draft.objects.select_for_update().filter(pk=draft.pk).first()
    if held is None:
        raise Refusal(GONE)
    if (held.superseded_at is not None) != superseded:
        return None
    name = f"order {draft.garment.order.number}, {draft.garment.title}, draft {draft.version}, {file.ending}"
    document = jobs.store_document(
        job=job, name=_safe(name), content_type=file.content_type, content=content, now=now
    )
    return _noted(
        document, file.kind, draft.pk, order=draft.garment.order, draft=draft, superseded=superseded
    )


_PAPERS: dict[str, tuple[type[Quote | Invoice | Receipt | CreditNote], Callable[..., bytes]]] = {
    Kind.QUOTE: (Quote, documents.render_quote_pdf),
    Kind.INVOICE: (Invoice, documents.render_invoice_pdf),
    Kind.RECEIPT: (Receipt, documents.render_receipt_pdf),
    Kind.CREDIT_NOTE: (CreditNote, documents.render_credit_note_pdf),
}


_NAMES: dict[type[Any], str] = {
    Invoice: gettext_noop("invoice %(number)s"),
    Receipt: gettext_noop("receipt %(number)s"),
    CreditNote: gettext_noop("credit note %(number)s"),
}


def make_paper(*, order: Order, kind: str, source_id: int, job: Worker, now: datetime) -> OrderDocument:
    """Make the PDF of a quote, invoice, receipt or credit note."""
    model, render = _PAPERS[kind]
    row = model.objects.get(pk=source_id, workshop=order.workshop)
    job.progress(20, "Writing the paper")
    content = render(row)
    with transaction.atomic():
        document = jobs.store_document(
            job=job, name=_safe(f"{_paper_name(row)}.pdf"), content_type=PDF, content=content, now=now
        )
        return _noted(document, kind, source_id, order=order)


def _paper_name(row: Quote | Invoice | Receipt | CreditNote) -> str:
    """What the file is called, in the language of the paper."""
    with speaking(language_of(row.content)):
        if isinstance(row, Quote):
            said = {"order": row.content["order"]["number"], "version": row.version}
            return _("quote for order %(order)s, version %(version)s") % said
        return _(_NAMES[type(row)]) % {"number": paper_number(row)}


def _noted(
    document: Document,
    kind: str,
    source_id: int,
    *,
    order: Order,
    draft: Draft | None = None,
    superseded: bool = False,
) -> OrderDocument:
    """Say what the file shows; a file made again takes the place of the one before, which goes."""
    before = OrderDocument.objects.filter(kind=kind, source_id=source_id).select_related("document").first()
    row, _ = OrderDocument.objects.update_or_create(
        kind=kind,
        source_id=source_id,
        defaults={"order": order, "draft": draft, "document": document, "superseded": superseded},
    )
    if before is not None and before.document_id != document.pk:
        drop_document(before.document)
    return row


def drop_document(document: Document) -> None:
    """Delete a document; its file goes once that is committed."""
    file = document.file
    document.delete()
    transaction.on_commit(lambda: file.delete(save=False))


def _safe(name: str) -> str:
    """A name that every file system takes."""
    plain = "".join("-" if letter in '/\\:*?"<>|' or ord(letter) < 32 else letter for letter in name)
    return plain if len(plain) <= 150 else plain[:140] + plain[plain.rfind(".") :]
