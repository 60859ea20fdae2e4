"""Fittings as calendar files: one for the customer, a feed for the owner and each fitter."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from workshop.people.models import Staff, Workshop
from workshop.planning.models import Fitting
from workshop.planning.rules.ics import Entry, Method, Organizer, calendar_file

FEED_BACK = timedelta(days=60)


def fitting_file(fitting: Fitting, *, now: datetime, host: str) -> bytes:
    """Return the customer's calendar file of a fitting; a cancelled one takes itself out of their calendar.

    ``host`` is the name of the site; with the fitting's number it makes an identifier that no other
    calendar has.
    """
    workshop = fitting.workshop
    return calendar_file(
        [_entry(fitting, host, f"Fitting at {workshop.name}")],
        zone=workshop.zone,
        stamp=now,
        method=Method.CANCEL if fitting.cancelled_at else Method.PUBLISH,
        organizer=_organizer(workshop),
    )


def fitting_feed(workshop: Workshop, *, now: datetime, host: str, fitter: Staff | None = None) -> bytes:
    """Return all fittings from FEED_BACK ago on, of one fitter or of the workshop, for a calendar that
    subscribes.

    Cancelled ones stay in, marked so: a calendar that has one must learn of it.
    """
    fittings = Fitting.objects.filter(workshop=workshop, ends_at__gt=now - FEED_BACK).select_related(
        "garment", "garment__order", "workshop"
    )
    if fitter is not None:
        fittings = fittings.filter(fitter=fitter)
    return calendar_file(
        list(_feed_entries(fittings.order_by("starts_at", "pk"), host)),
        zone=workshop.zone,
        stamp=now,
        organizer=_organizer(workshop),
        name=f"Fittings at {workshop.name}",
    )


def _feed_entries(fittings: Iterable[Fitting], host: str) -> Iterable[Entry]:
    for fitting in fittings:
        yield _entry(fitting, host, f"Fitting: {fitting.garment.title}, order {fitting.garment.order.number}")


def _entry(fitting: Fitting, host: str, summary: str) -> Entry:
    return Entry(
        uid=f"fitting-{fitting.pk}@{host}",
        starts_at=fitting.starts_at,
        ends_at=fitting.ends_at,
        summary=summary,
        sequence=fitting.sequence,
        location=" ".join(fitting.workshop.address.split()),
        cancelled=fitting.cancelled_at is not None,
    )


def _organizer(workshop: Workshop) -> Organizer | None:
    return Organizer(workshop.name, workshop.email) if workshop.email else None
