"""Addresses of calendar feeds: opened by each for themselves, withdrawn at any time."""

from __future__ import annotations

import secrets
from datetime import datetime

from django.db import transaction

from workshop.errors import Refusal
from workshop.people.models import Staff
from workshop.people.services.checking import require_same_workshop
from workshop.people.services.log import write_log
from workshop.planning.models import CalendarFeed


@transaction.atomic
def open_feed(*, staff: Staff, now: datetime) -> CalendarFeed:
    """Open the address of somebody's own feed. The one that is open already stays."""
    Staff.objects.select_for_update().get(pk=staff.pk)  # two presses at once open one
    held = CalendarFeed.objects.filter(staff=staff, withdrawn_at=None).first()
    if held is not None:
        return held
    feed = CalendarFeed.objects.create(staff=staff, secret=secrets.token_urlsafe(32), created_at=now)
    _log(feed, staff, now, "open feed", f"Opened a calendar feed for {staff.name}")
    return feed


@transaction.atomic
def withdraw_feed(*, feed: CalendarFeed, by: Staff, now: datetime) -> CalendarFeed:
    """Close an address for good: one's own, or, for an owner, anybody's. Twice is once.

    Raises: Refusal for somebody else's.
    """
    require_same_workshop(by.workshop, feed.staff)
    if feed.staff_id != by.pk and not by.is_owner:
        raise Refusal("That is somebody else's calendar; the owner can withdraw it.")
    feed = CalendarFeed.objects.select_for_update(of=("self",)).select_related("staff").get(pk=feed.pk)
    if feed.withdrawn_at is None:
        feed.withdrawn_at = now
        feed.save(update_fields=["withdrawn_at"])
        _log(feed, by, now, "withdraw feed", f"Withdrew the calendar feed of {feed.staff.name}")
    return feed


def _log(feed: CalendarFeed, by: Staff, now: datetime, action: str, summary: str) -> None:
    write_log(workshop=by.workshop, by=by, action=action, row=feed, summary=summary, now=now)
