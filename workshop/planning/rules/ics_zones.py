"""The rules of a time zone as a calendar file carries them, for programs that do not know the zone's name.

Written here because the calendar library dates the onset of summer time by the clock after the change, and
the standard's own example by the one before it.
"""

from __future__ import annotations

from collections import defaultdict
from datetime import UTC, date, datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

from .calendar import clock_changes


class _Kind(NamedTuple):
    """What is alike in the changes of one kind: to summer time, say."""

    before: timedelta
    after: timedelta
    name: str
    is_summer: bool


def zone_rules(zone: ZoneInfo, first_on: date, last_on: date) -> Timezone:
    """Return the zone's offsets from the first day to the last, as one component.

    Source: RFC 5545 section 3.6.5: DTSTART and RDATE of each change are local times by the offset that held
    before it (TZOFFSETFROM).
    """
    rules = Timezone()
    rules.add("tzid", zone.key)
    zero = datetime.combine(first_on, datetime.min.time(), tzinfo=UTC)
    _add(rules, _kind(zone, zero, zero), [zero])
    for kind, changes in _by_kind(zone, first_on, last_on).items():
        _add(rules, kind, changes)
    return rules


def _by_kind(zone: ZoneInfo, first_on: date, last_on: date) -> dict[_Kind, list[datetime]]:
    found: dict[_Kind, list[datetime]] = defaultdict(list)
    for change in clock_changes(first_on, last_on, zone):
        found[_kind(zone, change - timedelta(seconds=1), change)].append(change)
    return found


def _kind(zone: ZoneInfo, before: datetime, after: datetime) -> _Kind:
    old, new = before.astimezone(zone), after.astimezone(zone)
    return _Kind(
        old.utcoffset() or timedelta(), new.utcoffset() or timedelta(), new.tzname() or "", bool(new.dst())
    )


def _add(rules: Timezone, kind: _Kind, changes: list[datetime]) -> None:
    part = TimezoneDaylight() if kind.is_summer else TimezoneStandard()
    shown = [(change + kind.before).replace(tzinfo=None) for change in changes]
    part.add("dtstart", shown[0])
    if shown[1:]:
        part.add("rdate", shown[1:])
    part.add("tzname", kind.name)
    part.add("tzoffsetfrom", kind.before)
    part.add("tzoffsetto", kind.after)
    rules.add_component(part)
