"""Public holidays on which the workshop closes: those that its owner ticked, never by themselves."""

from __future__ import annotations

from collections.abc import Collection
from datetime import date, datetime
from typing import Any

from django.db import transaction

from workshop.errors import Refusal
from workshop.people.models import Staff, Workshop
from workshop.people.rules.holidays import public_holidays
from workshop.people.services.checking import require_owner, require_same_workshop
from workshop.people.services.log import write_log

_LONGEST_REASON = 120


@transaction.atomic
def choose_public_holidays(
    *, workshop: Workshop, year: int, closed_on: Collection[date], by: Staff | None, now: datetime
) -> int:
    """Close the workshop on the ticked public holidays of a year that are to come, and on no other of them.

    Closures that were noted by hand stay as they are. Ask for a new plan afterwards. Returns how many days
    changed.

    Raises: Refusal where no country is chosen, or a day is none of its public holidays.
    """
    require_owner(by, "close the workshop")
    require_same_workshop(workshop, by)
    workshop = Workshop.objects.select_for_update().get(pk=workshop.pk)
    offered = {row.on: row.name for row in public_holidays(workshop.country, workshop.region, year)}
    if not offered:
        raise Refusal("Choose the workshop's country first; then its public holidays are listed.")
    for day in closed_on:
        if day not in offered:
            raise Refusal(f"{day} is not a public holiday of that list; close it as a day of its own.")
    to_come = {on: name for on, name in offered.items() if on >= workshop.day_of(now)}
    opened = _open_again(workshop, [on for on in to_come if on not in closed_on])
    closed = _close(workshop, {on: name for on, name in to_come.items() if on in closed_on})
    if opened or closed:
        write_log(
            workshop=workshop,
            by=by,
            action="choose public holidays",
            row=workshop,
            summary=f"Chose the public holidays of {year} on which the workshop closes",
            now=now,
            before={"open_again": [day.isoformat() for day in opened]},
            after={"closed": [day.isoformat() for day in closed]},
        )
    return len(opened) + len(closed)


def _close(workshop: Workshop, named: dict[date, str]) -> list[date]:
    """Close the days that no closure of the whole workshop covers yet; return them."""
    held = list(_closures(workshop).values_list("from_on", "to_on"))
    new = [day for day in named if not any(from_on <= day <= to_on for from_on, to_on in held)]
    for day in new:
        workshop.closures.create(
            from_on=day, to_on=day, reason=named[day][:_LONGEST_REASON], public_holiday=True
        )
    return new


def _open_again(workshop: Workshop, days: list[date]) -> list[date]:
    """Take back what the list closed on these days; return them."""
    held = _closures(workshop).filter(public_holiday=True, from_on__in=days)
    opened = list(held.order_by("from_on").values_list("from_on", flat=True))
    held.delete()
    return opened


def _closures(workshop: Workshop) -> Any:
    # Closures are planning's rows; this room reaches them by the workshop's own relation.
    return workshop.closures.filter(staff__isnull=True)
