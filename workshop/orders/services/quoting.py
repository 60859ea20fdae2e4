"""Quotes: put together from the garments' estimates, sent with a private link."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from django.db import transaction

from costing import services as costing_services
from costing.models import Quote
from costing.parties import Party
from costing.rules.money import ZERO
from costing.rules.options import Alternative, Option
from costing.rules.tax import TaxedLine, TaxKey, Totals, totals_to
from costing.services.invoices import groups_json
from costing.speech import speaking
from costing.style_speech import captions_of
from drafting.output.garment import garment_svg
from drafting.styles import STYLES, customer_words
from drafting.units import Unit
from workshop import jobs
from workshop.errors import Refusal
from workshop.orders.models import Garment, Order, OrderDocument, PrivateLink
from workshop.orders.queries.garments import current_draft, pattern_of
from workshop.orders.queries.orders import PAPER_JOB, current_link
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.estimating import estimate_garment, tax_of
from workshop.orders.services.offering import carried_options, make_as_picked, priced_as_picked
from workshop.people.models import Staff, Workshop
from workshop.people.services import write_log
from workshop.people.services.checking import require_owner, require_same_workshop

LINK_LASTS = timedelta(days=120)
"""After the due day: so long the customer can look up invoice and receipt."""


def seller_of(workshop: Workshop) -> Party:
    return Party(
        workshop.name,
        workshop.address,
        workshop.email,
        workshop.phone,
        workshop.tax_number,
        vat_number=workshop.vat_number,
        country=workshop.country,
        exemption=workshop.tax_exemption,
        pay_to=workshop.pay_to,
    )


def buyer_of(order: Order) -> Party:
    """Who pays for an order; a client who names no country lives in the workshop's."""
    client = order.client
    country = client.country or order.workshop.country
    return Party(client.name, client.address, client.email, client.phone, country=country)


@transaction.atomic
def prepare_quote(*, order: Order, by: Staff | None, now: datetime) -> Quote:
    """Write the next version of an order's quote from its garments' estimates; what is out does not change.

    Raises: Refusal where a garment is not drafted or nothing can be reckoned; NotPriced.
    """
    require_owner(by, "prepare a quote")
    require_same_workshop(order.workshop, by)
    order = (
        Order.objects.select_for_update(of=("self",)).select_related("workshop", "client").get(pk=order.pk)
    )
    if order.cancelled_at is not None:
        raise Refusal("This order was cancelled; there is nothing to quote.")
    workshop = order.workshop
    garments = list(
        order.garments.select_related("workshop", "wearer", "order", "tax_rate").order_by("position")
    )
    with speaking(workshop.language):
        rows = [_quoted(garment, now) for garment in garments]
        options = carried_options(order, garments)
    keys = [tax_of(garment) for garment in garments]
    made = _totals(rows, keys, workshop.currency)
    quote = costing_services.write_quote(
        workshop=workshop,
        order=order,
        content={**_content(order, rows, made, keys), "options": options},
        totals=made,
        deposit_share=workshop.deposit_share,
        valid_until_on=workshop.day_of(now) + timedelta(days=workshop.quote_valid_days),
        now=now,
    )
    write_log(
        workshop=workshop,
        by=by,
        action="prepare quote",
        row=quote,
        order_id=order.pk,
        summary=f"Prepared quote version {quote.version}",
        now=now,
        after={"payable": str(quote.payable)},
    )
    return quote


def _quoted(garment: Garment, now: datetime) -> dict[str, Any]:
    """A garment as the quote shows it."""
    draft = current_draft(garment)
    if draft is None:
        raise Refusal(f"Draft {garment.title} first; the price is reckoned from its pattern.")
    kept = estimate_garment(garment=garment, now=now)  # anew: prices may have changed since it was reckoned
    return {
        "garment_id": garment.pk,
        "title": garment.title,
        "wearer": garment.wearer.name,
        **_wished(garment),
        "drawing": garment_svg(pattern_of(draft), captions_of(garment.style)),
        "provisional": kept.content["provisional"],
        "draft": draft.pk,
        "minutes": kept.minutes,
        "net": kept.content["net"],
        "total": kept.content["total"],
        "amount": kept.content["total"],
    }


def _wished(garment: Garment) -> dict[str, Any]:
    """What is to be made, in words, and as a garment is told to be outdated by it."""
    unit = Unit(garment.workshop.length_unit)
    return {
        "style": STYLES[garment.style].title,
        "choices": [list(pair) for pair in customer_words(garment.style, garment.choices, unit)],
        "cloths": [f"{row.role}: {row.cloth.name}" for row in _cloths(garment)],
        "wish": garment.wish(garment.cloths.all()),
    }


def _cloths(garment: Garment) -> Any:
    return garment.cloths.select_related("cloth").order_by("pk")


def _totals(rows: list[dict[str, Any]], keys: Sequence[TaxKey], currency: str) -> Totals:
    """The order's totals; the rounding makes it the sum of the garments' prices."""
    lines = [TaxedLine(Decimal(row["net"]), key) for row, key in zip(rows, keys, strict=True)]
    wished = sum((Decimal(row["total"]) for row in rows), ZERO)
    return totals_to(wished, lines, currency=currency)


def _content(
    order: Order, rows: list[dict[str, Any]], made: Totals, keys: Sequence[TaxKey]
) -> dict[str, Any]:
    workshop = order.workshop
    return {
        "language": workshop.language,
        "order": {"number": order.number, "occasion": order.occasion, "due_on": order.due_on.isoformat()},
        "seller": seller_of(workshop).to_json(),
        "buyer": buyer_of(order).to_json(),
        "garments": rows,
        "lines": _lines(rows, keys),
        "groups": groups_json(made),
        "tax_label": workshop.tax_label,
        "deposit_share": str(workshop.deposit_share),
        "terms": workshop.quote_terms,
    }


def _lines(rows: list[dict[str, Any]], keys: Sequence[TaxKey]) -> list[dict[str, Any]]:
    return [
        {"words": row["title"], "net": row["net"], "category": key.category, "rate": str(key.rate)}
        for row, key in zip(rows, keys, strict=True)
    ]


def settle_picks(
    *, order: Order, quote: Quote, picked: Sequence[tuple[Option, Alternative]], now: datetime
) -> Quote:
    """Write the version that the customer's picks make, and let the garments be as picked.

    Inside the caller's transaction, which holds the order. Raises: QuoteClosed, QuoteExpired, Refusal.
    """
    picks: dict[int, list[Alternative]] = {}
    for option, way in picked:
        picks.setdefault(option.garment_id, []).append(way)
    garments = {
        garment.pk: make_as_picked(garment=garment, picks=picks.get(garment.pk, ()), now=now)
        for garment in order.garments.select_related("workshop", "order", "wearer").order_by("position")
    }
    keys = [TaxKey.read(line) for line in quote.content["lines"]]
    priced = priced_as_picked(quote.content["garments"], picks, keys, quote.currency)
    rows = [{**row, **_wished(garments[row["garment_id"]])} for row in priced]
    made = _totals(rows, keys, quote.currency)
    content = {
        **quote.content,
        "garments": rows,
        "lines": _lines(rows, keys),
        "groups": groups_json(made),
        "options": [],
        "chosen": [{"title": option.title, "words": way.words} for option, way in picked],
    }
    share = Decimal(quote.content.get("deposit_share", order.workshop.deposit_share))
    settled = costing_services.settle_choice(
        quote=quote, content=content, totals=made, deposit_share=share, today=order.workshop.day_of(now)
    )
    request_paper(order=order, kind=OrderDocument.Kind.QUOTE, source_id=settled.pk)
    return settled


@transaction.atomic
def send_quote(*, quote: Quote, by: Staff | None, now: datetime) -> PrivateLink:
    """Freeze the quote, open its private link, and have the PDF made and the letter sent.

    Raises: QuoteClosed, Refusal.
    """
    require_owner(by, "send a quote")
    require_same_workshop(quote.workshop, by)
    order = (
        Order.objects.select_for_update(of=("self",))
        .select_related("workshop", "client")
        .get(pk=quote.order_id)
    )
    if order.cancelled_at is not None:
        raise Refusal("This order was cancelled; its quote is not sent.")
    quote = costing_services.send_quote(quote=quote, now=now)
    link = _link(order, quote, now)
    request_paper(order=order, kind=OrderDocument.Kind.QUOTE, source_id=quote.pk, letter="quote_letter")
    write_log(
        workshop=order.workshop,
        by=by,
        action="send quote",
        row=quote,
        order_id=order.pk,
        summary=f"Sent quote version {quote.version}",
        now=now,
    )
    return link


@transaction.atomic
def withdraw_quote(*, quote: Quote, by: Staff | None, now: datetime) -> Quote:
    """Take back a quote that is not accepted: nobody can answer it any more.

    Where it changed an agreed one, that holds again, for price and plan.

    Raises: QuoteClosed, Refusal.
    """
    require_owner(by, "take back a quote")
    require_same_workshop(quote.workshop, by)
    order = Order.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=quote.order_id)
    quote = costing_services.withdraw_quote(quote=quote, now=now)
    write_log(
        workshop=order.workshop,
        by=by,
        action="withdraw quote",
        row=quote,
        order_id=order.pk,
        summary=f"Took back quote version {quote.version}",
        now=now,
    )
    ask_for_plan(order.workshop)
    return quote


def _link(order: Order, quote: Quote, now: datetime) -> PrivateLink:
    """The order's link, open long enough for this quote."""
    last_day = max(order.due_on, quote.valid_until_on)
    expires_at = now + max(timedelta(0), last_day - order.workshop.day_of(now)) + LINK_LASTS
    link = current_link(order)
    if link is None:
        return PrivateLink.objects.create(
            order=order, secret=secrets.token_urlsafe(32), expires_at=expires_at, created_at=now
        )
    link.expires_at = max(link.expires_at, expires_at)
    link.save(update_fields=["expires_at"])
    return link


def request_paper(*, order: Order, kind: str, source_id: int, letter: str = "") -> None:
    """Ask for the PDF of a quote, invoice, receipt or credit note, and for the letter that goes with it."""
    jobs.request(
        kind=PAPER_JOB,
        key=f"{kind}-{source_id}",
        workshop=order.workshop,
        params={"order": order.pk, "kind": str(kind), "source": source_id, "letter": letter},
        prompt=True,
    )
