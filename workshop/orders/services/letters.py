"""Letters to the customer, by e-mail. To a client without an address the owner reads the link out.

A letter cannot be sent and noted in one transaction: a worker may die between the two. So it is noted before
it is sent. A note without an end is never sent again by itself: the owner is asked whether it arrived.
"""

from __future__ import annotations

from datetime import datetime
from smtplib import SMTPRecipientsRefused, SMTPResponseException
from typing import Any

from django.core.mail import EmailMessage, get_connection
from django.db import transaction
from django.template.loader import render_to_string
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from costing.models import Quote, QuoteState
from costing.speech import speaking
from workshop import jobs
from workshop.errors import Refusal
from workshop.orders.models import Letter, Order, OrderDocument
from workshop.orders.queries.orders import current_link, link_address, papers_of
from workshop.orders.services.quoting import request_paper
from workshop.people.models import Staff
from workshop.people.services import write_log
from workshop.people.services.checking import require_owner, require_same_workshop

SUBJECTS = {"quote_letter": gettext_noop("Your quote from %(workshop)s")}
REMINDERS_JOB = "fitting_reminders"
SAID_NO = (SMTPResponseException, SMTPRecipientsRefused)
"""What the mail server raises where it did not take a letter, so that it may be tried again."""


def send_letter(*, order: Order, name: str, quote_id: int, job: Any, now: datetime) -> bool:
    """Send a letter about a quote, with its paper, once.

    Returns whether it was sent: not to a client without an address, not about a quote that was taken back or
    replaced before the letter could go, and not a second time.

    Raises: Refusal where an earlier attempt was broken off and nobody knows whether the letter went.
    """
    message = _message(order, name, quote_id)
    if message is None:
        return False
    job.progress(70, "Sending the letter")
    return send_once(order=order, name=name, source_id=quote_id, message=message, now=now)


def send_once(*, order: Order, name: str, source_id: int, message: EmailMessage, now: datetime) -> bool:
    """Send a message that is known by its name and what it is about; return False where it went before.

    Raises: Refusal where an earlier attempt was broken off and nobody knows whether it went; one of SAID_NO
    where the mail server did not take it.
    """
    # Opened before the note is made: a mail server that is away leaves nothing in doubt.
    with get_connection() as message.connection:
        letter, is_new = Letter.objects.get_or_create(
            name=name, source_id=source_id, defaults={"order": order, "begun_at": now}
        )
        if not is_new:
            _doubt(letter, now)
            return False
        try:
            message.send()
        except SAID_NO:
            letter.delete()
            raise
    Letter.objects.filter(pk=letter.pk).update(sent_at=now, doubtful_at=None)
    return True


def _message(order: Order, name: str, quote_id: int) -> EmailMessage | None:
    """The letter as it goes out; None where there is nobody to write to, or nothing to write about."""
    link = current_link(order)
    out = [QuoteState.SENT, QuoteState.ACCEPTED]
    quote = Quote.objects.filter(order=order, pk=quote_id, state__in=out).first()
    if not order.client.email or link is None or quote is None:
        return None
    context = {"order": order, "workshop": order.workshop, "quote": quote, "address": link_address(link)}
    with speaking(order.workshop.language):
        subject = _(SUBJECTS[name]) % {"workshop": " ".join(order.workshop.name.split())}
        body = render_to_string(f"messages/{name}.txt", context)
    message = EmailMessage(subject, body, to=[order.client.email])
    if order.workshop.email:
        message.reply_to = [order.workshop.email]
    for paper in papers_of(order, "quote").filter(source_id=quote.pk):
        with paper.document.file.open("rb") as file:
            message.attach(paper.document.name, file.read(), paper.document.content_type)
    return message


def _doubt(letter: Letter, now: datetime) -> None:
    """Raises: Refusal where the letter was begun and nobody knows whether it went."""
    if letter.sent_at is None:
        Letter.objects.filter(pk=letter.pk, sent_at=None).update(doubtful_at=now)
        raise Refusal(
            "The computer stopped while it sent this letter, and it may have gone. Say on the order's page "
            "whether it arrived."
        )


@transaction.atomic
def settle_letter(*, letter: Letter, arrived: bool, by: Staff | None, now: datetime) -> None:
    """Take the owner's word on a letter in doubt: it arrived, or it is sent again.

    Raises: Refusal where there is no doubt about it any more.
    """
    require_owner(by, "settle a letter")
    order = letter.order
    require_same_workshop(order.workshop, by)
    held = Letter.objects.select_for_update().filter(pk=letter.pk, sent_at=None).first()
    if held is None or held.doubtful_at is None:
        raise Refusal("This letter is no longer in doubt.")
    if arrived:
        held.sent_at, held.doubtful_at = now, None
        held.save(update_fields=["sent_at", "doubtful_at"])
    else:
        held.delete()
        _send_again(letter, now)
    write_log(
        workshop=order.workshop,
        by=by,
        action="settle letter",
        row=order,
        order_id=order.pk,
        summary="Said that the letter arrived" if arrived else "Had the letter sent again",
        now=now,
    )


def _send_again(letter: Letter, now: datetime) -> None:
    if letter.name in SUBJECTS:
        request_paper(
            order=letter.order, kind=OrderDocument.Kind.QUOTE, source_id=letter.source_id, letter=letter.name
        )
    else:
        jobs.request(
            kind=REMINDERS_JOB, key=f"again-{letter.source_id}", workshop=letter.order.workshop, now=now
        )
