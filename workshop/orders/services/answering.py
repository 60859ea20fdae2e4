"""What the customer answers through the private link."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from costing import services as costing_services
from costing import speech
from costing.models import Quote, QuoteState
from costing.rules.options import options_in, picked
from workshop.errors import Refusal
from workshop.orders.models import Order, PrivateLink
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.papers import issue_invoice
from workshop.orders.services.quoting import settle_picks
from workshop.orders.services.stocking import reserve_for
from workshop.people.models import Staff
from workshop.people.services import write_log
from workshop.people.services.checking import clean_text, require_owner, require_same_workshop


class NewerQuote(Refusal):
    """The customer answered a version that is no longer the one that holds."""


class LinkClosed(Refusal):
    """The private link was withdrawn or ran out."""


@transaction.atomic
def accept_quote(
    *, link: PrivateLink, name: str, version: int, now: datetime, picks: Mapping[int, int] | None = None
) -> Quote:
    """Accept the quote that the customer saw: cloth is set aside, the deposit asked for, the work planned.

    Where it offers choices, ``picks`` says which alternative of each, both by place from 0; a version of what
    was picked is written and accepted in its stead, and the garments are made so. Accepting twice is once.

    Raises: NewerQuote, LinkClosed, QuoteClosed, QuoteExpired, BadPick, Refusal.
    """
    order, quote = _locked(link, version, now)
    if quote.state == QuoteState.ACCEPTED:
        return quote
    name = clean_text(name, field="name", longest=120, what="your name")
    options = options_in(quote.content)
    if options and quote.state == QuoteState.SENT:
        chosen = picked(options, picks or {})
        quote = settle_picks(order=order, quote=quote, picked=chosen, now=now)
    quote = costing_services.accept_quote(
        quote=quote, name=name, text=accepted_text(quote), today=order.workshop.day_of(now), now=now
    )
    garments = list(order.garments.select_for_update(of=("self",)).select_related("workshop").order_by("pk"))
    reserve_for(garments=garments, now=now)
    write_log(
        workshop=order.workshop,
        by=None,
        actor=quote.answered_by,
        action="accept quote",
        row=quote,
        order_id=order.pk,
        summary=f"Accepted quote version {quote.version}",
        now=now,
    )
    if quote.deposit > 0 and not order.invoices.exists():
        issue_invoice(order=order, kind="deposit", by=None, now=now)
    if garments:
        ask_for_plan(garments[0].workshop)
    return quote


def accepted_text(quote: Quote) -> str:
    """What exactly was accepted, in words, as it is kept with the answer."""
    said = {
        "version": quote.content.get("chosen_from", quote.version),
        "made": ", ".join(row["title"] for row in quote.content["garments"]),
    }
    with speech.speaking(speech.language_of(quote.content)):
        said["price"] = speech.money(quote.payable, quote.currency)
        first = _("Quote version %(version)s: %(made)s, for %(price)s.") % said
    chosen = [f"{row['title']}: {row['words']}." for row in quote.content.get("chosen", ())]
    return "\n".join((first, *chosen, quote.content["terms"])).strip()


@transaction.atomic
def decline_quote(*, link: PrivateLink, reason: str, now: datetime, version: int | None = None) -> Quote:
    """Decline the quote that is out; ``version`` is the one that the customer saw. Twice is once.

    A change that is declined leaves what was agreed before: that holds again, for price and plan.

    Raises: NewerQuote, QuoteClosed, QuoteExpired, Refusal.
    """
    order, quote = _locked(link, version, now)
    if quote.state == QuoteState.DECLINED:
        return quote
    reason = clean_text(reason, field="reason", longest=300, what="the reason")
    quote = costing_services.decline_quote(
        quote=quote, reason=reason, today=order.workshop.day_of(now), now=now
    )
    write_log(
        workshop=order.workshop,
        by=None,
        actor=order.client.name,
        action="decline quote",
        row=quote,
        order_id=order.pk,
        summary=f"Declined quote version {quote.version}",
        now=now,
        after={"reason": quote.decline_reason},
    )
    garment = order.garments.first()
    if garment is not None and order.quotes.filter(state=QuoteState.ACCEPTED).exists():
        ask_for_plan(garment.workshop)
    return quote


def _locked(link: PrivateLink, version: int | None, now: datetime) -> tuple[Order, Quote]:
    rows = Order.objects.select_for_update(of=("self",)).select_related("workshop", "client")
    order = rows.get(pk=link.order_id)
    # Looked up anew: it may have been withdrawn while the letter lay open.
    if not PrivateLink.objects.filter(pk=link.pk, withdrawn_at=None, expires_at__gt=now).exists():
        raise LinkClosed(_("This page was closed meanwhile; please call us."))
    if order.cancelled_at is not None:
        raise Refusal(_("This order was cancelled; please call us."))
    answerable = [QuoteState.SENT, QuoteState.ACCEPTED, QuoteState.DECLINED]
    quote = Quote.objects.filter(order=order, state__in=answerable).order_by("-version").first()
    if quote is None:
        raise Refusal(_("There is no quote to answer now; please ask us for one."))
    seen = {quote.version, quote.content.get("chosen_from")} if quote.answered_at else {quote.version}
    if version is not None and version not in seen:
        raise NewerQuote(
            _("We have sent a newer version of this quote; please read it, then answer that one.")
        )
    return order, quote


@transaction.atomic
def withdraw_link(*, link: PrivateLink, by: Staff | None, now: datetime) -> PrivateLink:
    """Close a private link for good. Raises: Refusal where it was withdrawn before."""
    require_owner(by, "withdraw a link")
    link = (
        PrivateLink.objects.select_for_update(of=("self",)).select_related("order__workshop").get(pk=link.pk)
    )
    require_same_workshop(link.order.workshop, by)
    if link.withdrawn_at is not None:
        raise Refusal("This link was withdrawn already.")
    link.withdrawn_at = now
    link.save(update_fields=["withdrawn_at"])
    write_log(
        workshop=link.order.workshop,
        by=by,
        action="withdraw link",
        row=link,
        order_id=link.order_id,
        summary="Withdrew the customer's link",
        now=now,
    )
    return link
