"""Letters to the customer, by e-mail. To a client without an address the owner reads the link out."""

from __future__ import annotations

from typing import Any

from django.core.mail import EmailMessage
from django.template.loader import render_to_string

from costing.models import Quote, QuoteState
from workshop.orders.models import Order
from workshop.orders.queries.orders import current_link, link_address, papers_of

SUBJECTS = {"quote_letter": "Your quote from {workshop}"}


def send_letter(*, order: Order, name: str, quote_id: int, job: Any) -> bool:
    """Send a letter about a quote, with its paper.

    Returns whether it was sent: not to a client without an address, and not about a quote that was taken back
    or replaced before the letter could go.
    """
    link = current_link(order)
    if not order.client.email or link is None:
        return False
    out = [QuoteState.SENT, QuoteState.ACCEPTED]
    quote = Quote.objects.filter(order=order, pk=quote_id, state__in=out).first()
    if quote is None:
        return False
    job.progress(70, "Sending the letter")
    context = {"order": order, "workshop": order.workshop, "quote": quote, "address": link_address(link)}
    subject = SUBJECTS[name].format(workshop=" ".join(order.workshop.name.split()))
    message = EmailMessage(
        subject, render_to_string(f"messages/{name}.txt", context), to=[order.client.email]
    )
    if order.workshop.email:
        message.reply_to = [order.workshop.email]
    for paper in papers_of(order, "quote").filter(source_id=quote.pk):
        with paper.document.file.open("rb") as file:
            message.attach(paper.document.name, file.read(), paper.document.content_type)
    message.send()
    return True
