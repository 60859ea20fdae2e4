"""Orders with their links, papers and money."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.conf import settings
from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet
from django.utils.text import capfirst

from costing.models import CreditNote, Invoice, Quote, QuoteState, Receipt
from costing.queries import Balance, balance_of
from workshop.jobs.models import Document, Job
from workshop.orders.models import Garment, Letter, Order, OrderDocument, PrivateLink
from workshop.people.models import Client, Workshop

PAPER_JOB = "paper"
PAPERS = ("quote", "invoice", "receipt", "credit-note")
_PAPER_ROWS: dict[str, Any] = {
    "quote": Quote,
    "invoice": Invoice,
    "receipt": Receipt,
    "credit-note": CreditNote,
}
LISTED = 200


def order_of(workshop: Workshop, number: int) -> Order | None:
    return Order.objects.select_related("workshop", "client").filter(workshop=workshop, number=number).first()


def orders(workshop: Workshop, *, client: Client | None = None, search: str = "") -> QuerySet[Order]:
    """The workshop's orders, the last one first; found by number, client, wearer or occasion."""
    rows = Order.objects.filter(workshop=workshop).select_related("client")
    if client is not None:
        rows = rows.filter(client=client)
    if search:
        wanted = (
            Q(client__name__icontains=search)
            | Q(occasion__icontains=search)
            | Q(garments__wearer__name__icontains=search)
            | Q(garments__title__icontains=search)
        )
        if search.isascii() and search.isdigit() and len(search) < 9:
            wanted |= Q(number=int(search))
        rows = rows.filter(wanted).distinct()
    garments = Prefetch("garments", queryset=Garment.objects.order_by("position"))
    return rows.prefetch_related(garments).order_by("-number")[:LISTED]


def agreed_orders(order_ids: Iterable[int]) -> set[int]:
    """Return those of the orders whose quote is accepted, by key."""
    rows = Quote.objects.filter(order__in=list(order_ids), state=QuoteState.ACCEPTED)
    return set(rows.values_list("order_id", flat=True))


def balance(order: Order) -> Balance:
    return balance_of(order)


def current_link(order: Order) -> PrivateLink | None:
    """The newest link that was not withdrawn; it may have run out."""
    return order.links.filter(withdrawn_at=None).order_by("-pk").first()


def link_address(link: PrivateLink) -> str:
    """The whole address, as a letter carries it."""
    return f"{settings.PUBLIC_ADDRESS}/c/{link.secret}/"


def link_of(secret: str, now: datetime) -> PrivateLink | None:
    """The link of a secret; None, without a difference, where it is guessed, run out or withdrawn."""
    # PostgreSQL refuses a NUL even to look for it.
    if not 20 <= len(secret) <= 64 or "\x00" in secret:
        return None
    rows = PrivateLink.objects.select_related("order__workshop", "order__client")
    return rows.filter(secret=secret, withdrawn_at=None, expires_at__gt=now).first()


def doubtful_letters(workshop: Workshop, order: Order | None = None) -> QuerySet[Letter]:
    """Letters of which nobody knows whether they went, of one order where given."""
    found = Letter.objects.filter(order__workshop=workshop, doubtful_at__isnull=False, sent_at=None)
    found = found if order is None else found.filter(order=order)
    return found.select_related("order__client", "order__workshop").order_by("doubtful_at", "pk")


def papers_of(order: Order, *kinds: str) -> QuerySet[OrderDocument]:
    """Quotes, invoices, receipts and credit notes of the order that were made as files."""
    return order.documents.filter(kind__in=kinds or PAPERS).select_related("document").order_by("-pk")


def is_about_money(document: Document) -> bool:
    """Whether a file is a quote, invoice, receipt or credit note: the owner's, not the bench's."""
    return OrderDocument.objects.filter(document=document, kind__in=PAPERS).exists()


def paper_jobs(order: Order) -> QuerySet[Job]:
    """The latest jobs that make the order's papers."""
    return Job.objects.filter(workshop_id=order.workshop_id, kind=PAPER_JOB, params__order=order.pk).order_by(
        "-pk"
    )[:20]


def papers_under_way(order: Order) -> list[tuple[Job, str]]:
    """The jobs that make papers of the order now, each with what the paper is called."""
    jobs = [job for job in paper_jobs(order) if job.is_open]
    sources: dict[str, list[int]] = {}
    for job in jobs:
        sources.setdefault(job.params["kind"], []).append(job.params["source"])
    rows = {kind: _PAPER_ROWS[kind].objects.in_bulk(keys) for kind, keys in sources.items()}
    return [(job, _paper_words(rows[job.params["kind"]].get(job.params["source"]))) for job in jobs]


def _paper_words(row: Any) -> str:
    if row is None:
        return "Paper"
    return f"Quote, version {row.version}" if isinstance(row, Quote) else capfirst(str(row))


def waiting_for_owner(workshop: Workshop, now: datetime) -> list[Quote]:
    """Quotes that are written but not sent, declined, or ran out without an answer.

    Where a change was declined, what was agreed before holds again: that waits for nobody.
    """
    today = workshop.day_of(now)
    rows = Quote.objects.filter(workshop=workshop, order__cancelled_at=None).select_related("order__client")
    wanted = Q(state__in=[QuoteState.OPEN, QuoteState.DECLINED]) | Q(
        state=QuoteState.SENT, valid_until_on__lt=today
    )
    others = Quote.objects.filter(order_id=OuterRef("order_id"))
    newer = others.filter(version__gt=OuterRef("version"))
    agreed = Q(state=QuoteState.DECLINED) & Exists(others.filter(state=QuoteState.ACCEPTED))
    return list(rows.filter(wanted).exclude(Exists(newer)).exclude(agreed).order_by("valid_until_on", "pk"))
