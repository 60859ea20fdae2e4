"""The public holidays of a year beside the days on which the workshop closes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from workshop.people.models import Workshop
from workshop.people.rules.holidays import public_holidays


@dataclass(frozen=True, slots=True)
class OfferedHoliday:
    """A public holiday, and whether the workshop closes then.

    ``by_hand``: a closure that was noted as days of their own covers it. ``past``: nothing is changed there.
    """

    on: date
    name: str
    closed: bool
    by_hand: bool
    past: bool


def offered_holidays(workshop: Workshop, year: int, today: date) -> list[OfferedHoliday]:
    """Return the public holidays of the workshop's country and region in a year, by day."""
    first, last = date(year, 1, 1), date(year, 12, 31)
    closures = workshop.closures.filter(staff__isnull=True, from_on__lte=last, to_on__gte=first)
    spans = list(closures.values_list("from_on", "to_on", "public_holiday"))
    found = []
    for row in public_holidays(workshop.country, workshop.region, year):
        over = [from_list for from_on, to_on, from_list in spans if from_on <= row.on <= to_on]
        found.append(OfferedHoliday(row.on, row.name, bool(over), False in over, row.on < today))
    return found
