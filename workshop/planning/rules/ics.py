"""Calendar files (RFC 5545) of fittings, due days and work, as a calendar program takes them in.

Times are written in the workshop's own zone with that zone's rules beside them, so that they stay right
over a clock change wherever the file is opened.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from enum import StrEnum
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, vCalAddress

from .ics_zones import zone_rules

PRODUCT = "-//Sewing workshop//Fittings//EN"
MEDIA_TYPE = "text/calendar; charset=utf-8"


class Method(StrEnum):
    """What the file asks of the program that opens it (RFC 5546)."""

    PUBLISH = "PUBLISH"
    CANCEL = "CANCEL"


@dataclass(frozen=True, slots=True)
class Organizer:
    """Who answers for the entries."""

    name: str
    email: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One event. ``uid`` stays the same when it moves; ``sequence`` grows with each move and with the
    cancelling.

    Two days instead of two instants are whole days, the last not included. ``busy``: it takes time, so that
    nothing else is planned then.
    """

    uid: str
    starts_at: date
    ends_at: date
    summary: str
    sequence: int = 0
    location: str = ""
    description: str = ""
    cancelled: bool = False
    busy: bool = True


def calendar_file(
    entries: Sequence[Entry],
    *,
    zone: ZoneInfo,
    stamp: datetime,
    method: Method = Method.PUBLISH,
    organizer: Organizer | None = None,
    name: str = "",
) -> bytes:
    """Return the entries as the octets of one calendar file.

    Args:
        zone: of the workshop; instants are written in it.
        stamp: when the file was made, any zone; written in UTC as DTSTAMP must be.
        method: CANCEL takes the entries out of the calendar that holds them.
        name: what a program that subscribes to the file calls the calendar.

    Source: RFC 5545 sections 3.1 (lines end CRLF and are folded at 75 octets), 3.6.1 (UID and DTSTAMP
    required, DTEND not included, days without a time) and 3.8.2.7 (TRANSP); RFC 5546 section 3.2 for METHOD.
    """
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", method.value)
    if name:
        calendar.add("x-wr-calname", name)
    for entry in entries:
        calendar.add_component(_event(entry, zone, stamp, method, organizer))
    if calendar.get_used_tzids():
        calendar.subcomponents.insert(0, zone_rules(zone, *_years(entries)))
    return bytes(calendar.to_ical())


def _event(
    entry: Entry, zone: ZoneInfo, stamp: datetime, method: Method, organizer: Organizer | None
) -> Event:
    cancelled = entry.cancelled or method is Method.CANCEL
    event = Event()
    event.add("uid", entry.uid)
    event.add("dtstamp", stamp.astimezone(UTC))
    event.add("dtstart", _shown(entry.starts_at, zone))
    event.add("dtend", _shown(entry.ends_at, zone))
    event.add("summary", entry.summary)
    event.add("sequence", entry.sequence)
    event.add("status", "CANCELLED" if cancelled else "CONFIRMED")
    if not entry.busy:
        event.add("transp", "TRANSPARENT")
    if entry.location:
        event.add("location", entry.location)
    if entry.description:
        event.add("description", entry.description)
    if organizer is not None:
        event.add("organizer", _address(organizer))
    return event


def _shown(moment: date, zone: ZoneInfo) -> date:
    """An instant in the zone, a whole day as it is.

    A time that the wall clock shows twice is written in UTC when it is the second: in the zone it would mean
    the first (RFC 5545 section 3.3.5).
    """
    if not isinstance(moment, datetime):
        return moment
    shown = moment.astimezone(zone)
    return moment.astimezone(UTC) if shown.fold else shown


def _address(organizer: Organizer) -> vCalAddress:
    address = vCalAddress(f"mailto:{organizer.email}")
    address.params["cn"] = organizer.name
    return address


def _years(entries: Iterable[Entry]) -> tuple[date, date]:
    """Return a span of days that holds all entries and the clock changes on either side of them."""
    years = [instant.year for entry in entries for instant in (entry.starts_at, entry.ends_at)]
    if not years:
        return date(1970, 1, 1), date(1970, 12, 31)
    return date(min(years) - 1, 1, 1), date(max(years) + 1, 12, 31)
