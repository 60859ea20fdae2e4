"""Quotes: written, sent (frozen from then on), answered."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _
from django.utils.translation import pgettext

from costing import speech
from costing.changes import Offer, changes
from costing.errors import CostingError
from costing.models import Quote, QuoteState
from costing.queries.papers import agreed_quotes
from costing.rules.money import rounded
from costing.rules.tax import Totals


class QuoteClosed(CostingError):
    """What was asked of a quote does not go with the state that it is in."""


class QuoteExpired(CostingError):
    """The quote's last day is past."""


@transaction.atomic
def write_quote(
    *,
    workshop: Any,
    order: Any,
    content: dict[str, Any],
    totals: Totals,
    deposit_share: Any,
    valid_until_on: date,
    now: datetime,
) -> Quote:
    """Write the next version, or write anew the one that is not sent yet. Nothing that is out changes.

    Raises: QuoteClosed where the last day is past.
    """
    if valid_until_on < workshop.day_of(now):
        raise QuoteClosed(
            "A quote must hold for a day at least; choose a later last day.", field="valid_until_on"
        )
    rows = Quote.objects.select_for_update().filter(order=order)
    open_version = rows.filter(state=QuoteState.OPEN).first()
    newest = rows.order_by("-version").first()
    version = open_version.version if open_version else (newest.version + 1 if newest else 1)
    rows.filter(state=QuoteState.OPEN).delete()
    quote = Quote.objects.create(
        workshop=workshop,
        order=order,
        version=version,
        currency=totals.currency,
        content=content,
        net=totals.net,
        tax=totals.tax,
        gross=totals.gross,
        rounding=totals.rounding,
        deposit=rounded(totals.payable * deposit_share / 100, totals.currency),
        valid_until_on=valid_until_on,
        created_at=now,
    )
    _note_changes(quote)
    return quote


def _note_changes(quote: Quote) -> None:
    """Keep in the content what it changes against the version that the customer had last."""
    rows = Quote.objects.filter(order_id=quote.order_id, sent_at__isnull=False).exclude(pk=quote.pk)
    before = rows.order_by("-version").first()
    if before is not None:
        with speech.speaking(speech.language_of(quote.content)):
            lines = changes(_offer(before), _offer(quote))
        quote.content = {**quote.content, "changes": {"since": before.version, "lines": lines}}
        quote.save(update_fields=["content"])


def _offer(quote: Quote) -> Offer:
    return Offer(quote.content, quote.payable, quote.deposit, quote.currency)


@transaction.atomic
def send_quote(*, quote: Quote, now: datetime) -> Quote:
    """Freeze a version and put it in the place of the one that was out.

    Raises:
        QuoteClosed: it is not the version being written.
        QuoteExpired: its last day is past; nobody could accept it.
    """
    quote = Quote.objects.select_for_update().get(pk=quote.pk)
    if quote.state != QuoteState.OPEN:
        raise QuoteClosed(
            f"Version {quote.version} is {quote.get_state_display()} already; prepare a new version."
        )
    if quote.valid_until_on < quote.workshop.day_of(now):
        raise QuoteExpired(f"Its last day, {quote.valid_until_on:%d %B %Y}, is past; prepare the quote anew.")
    _note_changes(quote)  # once more: another version may have been agreed since it was written
    out = Quote.objects.filter(order_id=quote.order_id, state__in=[QuoteState.SENT, QuoteState.ACCEPTED])
    out.update(state=QuoteState.SUPERSEDED)
    quote.state, quote.sent_at = QuoteState.SENT, now
    quote.save(update_fields=["state", "sent_at"])
    return quote


@transaction.atomic
def settle_choice(
    *,
    quote: Quote,
    content: dict[str, Any],
    totals: Totals,
    deposit_share: Any,
    today: date,
) -> Quote:
    """Put a version with what the customer picked in the place of the one that is out, which stays as sent.

    The new one is out as the old one was, on the same terms; a version being written counts on after it.

    Raises: QuoteClosed, QuoteExpired.
    """
    quote = Quote.objects.select_for_update().get(pk=quote.pk)
    _refuse_unless_out(quote, today)
    quote.state = QuoteState.SUPERSEDED
    quote.save(update_fields=["state"])
    rows = Quote.objects.filter(order_id=quote.order_id)
    newest = rows.exclude(state=QuoteState.OPEN).aggregate(last=Max("version"))["last"]
    rows.filter(state=QuoteState.OPEN).update(version=newest + 2)
    settled = Quote.objects.create(
        workshop_id=quote.workshop_id,
        order_id=quote.order_id,
        version=newest + 1,
        state=QuoteState.SENT,
        currency=quote.currency,
        content={**content, "chosen_from": quote.version},
        net=totals.net,
        tax=totals.tax,
        gross=totals.gross,
        rounding=totals.rounding,
        deposit=rounded(totals.payable * deposit_share / 100, quote.currency),
        valid_until_on=quote.valid_until_on,
        sent_at=quote.sent_at,
        created_at=quote.created_at,
    )
    _note_changes(settled)
    return settled


@transaction.atomic
def accept_quote(*, quote: Quote, name: str, text: str, today: date, now: datetime) -> Quote:
    """Note who accepted what, and when. Accepting twice is accepting once.

    Raises: QuoteClosed, QuoteExpired.
    """
    quote = Quote.objects.select_for_update().get(pk=quote.pk)
    if quote.state == QuoteState.ACCEPTED:
        return quote
    _refuse_unless_out(quote, today)
    if not name.strip():
        raise QuoteClosed(_("Write your name, so that we know who accepted."), field="name")
    quote.state, quote.answered_at = QuoteState.ACCEPTED, now
    quote.answered_by, quote.accepted_text = name.strip()[:120], text
    quote.save(update_fields=["state", "answered_at", "answered_by", "accepted_text"])
    return quote


@transaction.atomic
def decline_quote(*, quote: Quote, reason: str, today: date, now: datetime) -> Quote:
    """Note that the customer does not want it, and why; what was agreed before it holds again.

    Raises: QuoteClosed, QuoteExpired.
    """
    quote = Quote.objects.select_for_update().get(pk=quote.pk)
    if quote.state == QuoteState.DECLINED:
        return quote
    _refuse_unless_out(quote, today)
    quote.state, quote.answered_at, quote.decline_reason = QuoteState.DECLINED, now, reason.strip()[:300]
    quote.save(update_fields=["state", "answered_at", "decline_reason"])
    _let_agreed_hold(quote)
    return quote


@transaction.atomic
def withdraw_quote(*, quote: Quote, now: datetime) -> Quote:
    """Take back a version that is not accepted; what was agreed before holds again. Raises: QuoteClosed."""
    quote = Quote.objects.select_for_update().get(pk=quote.pk)
    if quote.state not in {QuoteState.SENT, QuoteState.OPEN}:
        raise QuoteClosed(f"Version {quote.version} is {quote.get_state_display()}; it cannot be taken back.")
    quote.state, quote.answered_at = QuoteState.WITHDRAWN, now
    quote.save(update_fields=["state", "answered_at"])
    _let_agreed_hold(quote)
    return quote


def _let_agreed_hold(quote: Quote) -> None:
    """A change that came to nothing leaves what was agreed before it, unless another change is out."""
    before = agreed_quotes([quote.order_id]).get(quote.order_id)
    if before is None or Quote.objects.filter(order_id=quote.order_id, state=QuoteState.SENT).exists():
        return
    Quote.objects.filter(pk=before.pk).update(state=QuoteState.ACCEPTED)


def _refuse_unless_out(quote: Quote, today: date) -> None:
    if quote.state != QuoteState.SENT:
        raise QuoteClosed(
            _("This version of the quote is %(state)s; ask for the one that holds now.")
            % {"state": pgettext("quote", quote.get_state_display())}
        )
    if quote.valid_until_on < today:
        raise QuoteExpired(
            _("This quote was valid until %(day)s; ask for a new one.")
            % {"day": speech.day(quote.valid_until_on)}
        )
