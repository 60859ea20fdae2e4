"""A fitting as the calendar file that a customer takes."""

from __future__ import annotations

from datetime import datetime
from urllib.parse import urlsplit

from django.conf import settings
from django.utils.translation import gettext as _

from costing.speech import speaking
from workshop.people.models import Workshop
from workshop.planning.models import Fitting
from workshop.planning.rules.ics import Entry, Method, Organizer, calendar_file


def fitting_file(fitting: Fitting, *, now: datetime, host: str) -> bytes:
    """Return the customer's calendar file of a fitting; a cancelled one takes itself out of their calendar.

    ``host``: see ``site_host``.
    """
    workshop = fitting.workshop
    with speaking(workshop.language):
        summary = _("Fitting at %(workshop)s") % {"workshop": workshop.name}
    return calendar_file(
        [fitting_entry(fitting, host, summary)],
        zone=workshop.zone,
        stamp=now,
        method=Method.CANCEL if fitting.cancelled_at else Method.PUBLISH,
        organizer=organizer_of(workshop),
    )


def site_host() -> str:
    """Return the name of the site: with a row's number it makes an identifier that no other calendar has."""
    return urlsplit(settings.PUBLIC_ADDRESS).hostname or "localhost"


def fitting_entry(fitting: Fitting, host: str, summary: str) -> Entry:
    """Return a fitting as an entry; it keeps its identifier when it moves, and says when it is cancelled."""
    return Entry(
        uid=f"fitting-{fitting.pk}@{host}",
        starts_at=fitting.starts_at,
        ends_at=fitting.ends_at,
        summary=summary,
        sequence=fitting.sequence,
        location=" ".join(fitting.workshop.address.split()),
        cancelled=fitting.cancelled_at is not None,
    )


def organizer_of(workshop: Workshop) -> Organizer | None:
    """Return who answers for the entries; None for a workshop without an address."""
    return Organizer(workshop.name, workshop.email) if workshop.email else None
