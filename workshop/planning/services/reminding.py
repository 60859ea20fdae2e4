"""Reminders of fittings: by e-mail, so many days before as the workshop chose, once for each time agreed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.core.mail import EmailMessage
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from costing.speech import speaking
from workshop.errors import Refusal
from workshop.orders.queries.orders import current_link, link_address
from workshop.orders.services.letters import SAID_NO, send_once
from workshop.people.models import Workshop
from workshop.planning.models import Fitting
from workshop.planning.queries.calendar_files import fitting_file
from workshop.planning.queries.reminders import fittings_to_remind_of
from workshop.planning.queries.slots import notice_words

NAME = "fitting_reminder"


@dataclass(frozen=True, slots=True)
class Reminded:
    """How many reminders went, and why others did not, for the owner to see."""

    sent: int
    refused: tuple[str, ...]


def send_reminders(*, workshop: Workshop, now: datetime, host: str) -> Reminded:
    """Remind the clients of the workshop of their fittings of the coming days. Twice is once.

    A reminder belongs to a time: a fitting that was moved afterwards is reminded of once more. One that a
    worker's death left between noting and sending is in doubt, and the owner is asked; the others go.
    """
    sent, refused = 0, []
    for fitting in fittings_to_remind_of(workshop, now):
        try:
            sent += _send(fitting, now, host)
        except (Refusal, *SAID_NO) as problem:
            reason = str(problem) if isinstance(problem, Refusal) else "the mail server did not take it."
            refused.append(f"Order {fitting.garment.order.number}: {reason}")
    return Reminded(sent, tuple(refused))


def _send(fitting: Fitting, now: datetime, host: str) -> bool:
    return send_once(
        order=fitting.garment.order,
        name=NAME if fitting.sequence == 0 else f"{NAME}_{fitting.sequence}",
        source_id=fitting.pk,
        message=_message(fitting, now, host),
        now=now,
    )


def _message(fitting: Fitting, now: datetime, host: str) -> EmailMessage:
    with speaking(fitting.workshop.language):
        return _worded(fitting, now, host)


def _worded(fitting: Fitting, now: datetime, host: str) -> EmailMessage:
    workshop, order = fitting.workshop, fitting.garment.order
    link = current_link(order)
    context = {
        "workshop": workshop,
        "order": order,
        "garment": fitting.garment,
        "fitting": fitting,
        "address": "" if link is None else link_address(link),
        "notice": notice_words(workshop) if workshop.fitting_notice_hours else "",
    }
    message = EmailMessage(
        _("Your fitting at %(workshop)s") % {"workshop": " ".join(workshop.name.split())},
        render_to_string("messages/fitting_reminder.txt", context),
        to=[order.client.email],
        reply_to=[workshop.email] if workshop.email else None,
    )
    message.attach("fitting.ics", fitting_file(fitting, now=now, host=host), "text/calendar")
    return message
