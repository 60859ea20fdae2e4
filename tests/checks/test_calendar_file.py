"""Calendar files, read back by programs that are not ours."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import icalendar
import pytest
import recurring_ical_events

from workshop.planning.rules.ics import Entry, Method, Organizer, calendar_file

LISBON = ZoneInfo("Europe/Lisbon")
STAMP = datetime(2025, 3, 1, 8, 0, tzinfo=LISBON)
TEXT = "Fitting: coat, dress; hem\nBring the shoes: heels \\ flats — à bientôt " + "long words " * 12
ENTRY = Entry(
    uid="fitting-7@needle.example",
    starts_at=datetime(2025, 3, 31, 9, 0, tzinfo=UTC),
    ends_at=datetime(2025, 3, 31, 9, 45, tzinfo=UTC),
    summary="Fitting of the blue dress",
    sequence=2,
    location="Rua Nova 1, Lisbon",
    description=TEXT,
)


def event_of(octets):
    calendar = icalendar.Calendar.from_ical(octets)
    (event,) = calendar.walk("VEVENT")
    return calendar, event


def test_calendar_file_says_what_was_given():
    calendar, event = event_of(
        calendar_file(
            [ENTRY],
            zone=LISBON,
            stamp=STAMP,
            organizer=Organizer("The Needle", "a@needle.example"),
            name="Fittings",
        )
    )

    assert (calendar["version"], calendar["method"], calendar["x-wr-calname"]) == (
        "2.0",
        "PUBLISH",
        "Fittings",
    )
    assert event["uid"] == "fitting-7@needle.example"
    assert event["sequence"] == 2
    assert event["status"] == "CONFIRMED"
    assert str(event["description"]) == TEXT
    assert str(event["location"]) == "Rua Nova 1, Lisbon"
    assert event.decoded("dtstamp") == datetime(2025, 3, 1, 8, 0, tzinfo=UTC)
    assert event.decoded("dtstart") == ENTRY.starts_at
    assert event.decoded("dtend") == ENTRY.ends_at
    assert event["organizer"] == "mailto:a@needle.example"


def test_calendar_file_is_written_as_the_standard_says():
    """RFC 5545: 3.1 line ends and folding, 3.3.5 UTC and zoned times, 3.3.11 escapes, 3.6.5 a zone beside
    its use."""
    octets = calendar_file([ENTRY], zone=LISBON, stamp=STAMP)
    lines = octets.split(b"\r\n")
    unfolded = octets.replace(b"\r\n ", b"").split(b"\r\n")

    assert octets.endswith(b"\r\n")
    assert octets.count(b"\n") == octets.count(b"\r\n") == octets.count(b"\r")
    assert max(len(line) for line in lines) <= 75
    assert b"DTSTAMP:20250301T080000Z" in unfolded
    assert b"DTSTART;TZID=Europe/Lisbon:20250331T100000" in unfolded
    assert b"DTEND;TZID=Europe/Lisbon:20250331T104500" in unfolded
    assert b"LOCATION:Rua Nova 1\\, Lisbon" in unfolded
    assert unfolded.count(b"BEGIN:VTIMEZONE") == 1
    description = next(line for line in unfolded if line.startswith(b"DESCRIPTION:"))
    assert description.startswith(
        b"DESCRIPTION:Fitting: coat\\, dress\\; hem\\nBring the shoes: heels \\\\ flats"
    )


@pytest.mark.parametrize(
    ("day", "utc_hour", "shown_hour"),
    [((2025, 3, 29), 9, 9), ((2025, 3, 30), 9, 10), ((2025, 10, 25), 9, 10), ((2025, 10, 26), 9, 9)],
)
def test_calendar_file_is_right_on_both_sides_of_a_clock_change(day, utc_hour, shown_hour):
    entry = Entry(
        "a@b", datetime(*day, utc_hour, tzinfo=UTC), datetime(*day, utc_hour + 1, tzinfo=UTC), "Fitting"
    )
    octets = calendar_file([entry], zone=LISBON, stamp=STAMP)

    (event,) = recurring_ical_events.of(icalendar.Calendar.from_ical(octets)).at(day)

    assert f"DTSTART;TZID=Europe/Lisbon:{day[0]}{day[1]:02}{day[2]:02}T{shown_hour:02}0000".encode() in octets
    assert event.start == entry.starts_at
    assert event.end == entry.ends_at


def test_calendar_zone_rules_alone_give_the_right_instant():
    """A program that does not know the zone's name takes its rules from the file."""
    octets = calendar_file([ENTRY], zone=LISBON, stamp=STAMP).replace(b"Europe/Lisbon", b"Nowhere/Known")

    _, event = event_of(octets)

    assert event.decoded("dtstart").astimezone(UTC) == ENTRY.starts_at


def test_calendar_file_cancels():
    calendar, event = event_of(calendar_file([ENTRY], zone=LISBON, stamp=STAMP, method=Method.CANCEL))

    assert (calendar["method"], event["status"], event["uid"]) == ("CANCEL", "CANCELLED", ENTRY.uid)


def test_calendar_feed_of_nothing_is_still_a_calendar():
    calendar = icalendar.Calendar.from_ical(calendar_file([], zone=LISBON, stamp=STAMP))

    assert calendar.walk("VEVENT") == []
    assert calendar["prodid"] == "-//Sewing workshop//Fittings//EN"
