"""Calendar files, read back by programs that are not ours."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest
import recurring_ical_events

from workshop.planning.rules.calendar import clock_changes
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


def test_calendar_file_of_whole_days_ends_as_the_standards_example_does():
    """RFC 5545 section 3.6.1, its example of an event from 28 June to 8 July 2007: DTSTART 20070628 and
    DTEND 20070709, for the end is not included."""
    entry = Entry("a@b", date(2007, 6, 28), date(2007, 7, 9), "Festival International de Jazz", busy=False)
    octets = calendar_file([entry], zone=LISBON, stamp=STAMP)

    assert b"DTSTART;VALUE=DATE:20070628\r\n" in octets
    assert b"DTEND;VALUE=DATE:20070709\r\n" in octets
    assert b"TRANSP:TRANSPARENT\r\n" in octets
    shown = recurring_ical_events.of(icalendar.Calendar.from_ical(octets))
    days = (date(2007, 6, 27), date(2007, 6, 28), date(2007, 7, 8), date(2007, 7, 9))
    assert [len(shown.at(day)) for day in days] == [0, 1, 1, 0]


BASTILLE = b"""BEGIN:VCALENDAR\r
VERSION:2.0\r
PRODID:-//hacksw/handcal//NONSGML v1.0//EN\r
BEGIN:VEVENT\r
UID:19970610T172345Z-AF23B2@example.com\r
DTSTAMP:19970610T172345Z\r
DTSTART:19970714T170000Z\r
DTEND:19970715T040000Z\r
SUMMARY:Bastille Day Party\r
END:VEVENT\r
END:VCALENDAR\r
"""
"""The example of RFC 5545 section 3.4."""


def test_calendar_file_says_the_same_as_the_standards_example():
    _, printed = event_of(BASTILLE)
    entry = Entry(
        str(printed["uid"]), printed.decoded("dtstart"), printed.decoded("dtend"), str(printed["summary"])
    )

    _, ours = event_of(calendar_file([entry], zone=LISBON, stamp=printed.decoded("dtstamp")))

    for name in ("dtstamp", "dtstart", "dtend"):
        assert ours.decoded(name) == printed.decoded(name)
    assert (ours["uid"], ours["summary"]) == (printed["uid"], printed["summary"])


def test_calendar_file_writes_text_as_the_standards_example_does():
    """RFC 5545 section 3.3.11: a new line is written as a backslash and an n."""
    text = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    octets = calendar_file([replace(ENTRY, description=text)], zone=LISBON, stamp=STAMP)

    line = b"DESCRIPTION:Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.\r\n"
    assert line in octets.replace(b"\r\n ", b"")


ZONES = ("Europe/Lisbon", "America/New_York", "Australia/Lord_Howe", "Asia/Kathmandu", "Africa/Casablanca")


@pytest.mark.parametrize("name", ZONES)
def test_calendar_file_holds_every_half_hour_of_the_days_of_change(name):
    """Read by programs that are not ours and that know the zone by the rules in the file alone."""
    zone = ZoneInfo(name)
    changes = list(clock_changes(date(2024, 1, 1), date(2026, 12, 31), zone)) or [
        datetime(2025, 3, 1, tzinfo=UTC)
    ]
    starts = [change + timedelta(minutes=30 * n) for change in changes for n in range(-24, 24)]
    entries = [Entry(f"{n}@b", start, start + timedelta(hours=1), "Work") for n, start in enumerate(starts)]

    octets = calendar_file(entries, zone=zone, stamp=STAMP)
    unknown = f"Unknown/{name.partition('/')[2]}".encode()
    read = icalendar.Calendar.from_ical(octets.replace(name.encode(), unknown)).walk("VEVENT")

    assert [event.decoded("dtstart").astimezone(UTC) for event in read] == starts
    assert len(starts) == 48 * len(changes)


def test_calendar_file_dates_a_change_by_the_clock_before_it():
    """RFC 5545 section 3.6.5: in its example of New York summer time begins at T020000 by the clock of
    TZOFFSETFROM:-0500, and ends at T020000 by that of TZOFFSETFROM:-0400."""
    entry = replace(
        ENTRY, starts_at=datetime(2025, 6, 1, tzinfo=UTC), ends_at=datetime(2025, 6, 2, tzinfo=UTC)
    )
    octets = calendar_file([entry], zone=ZoneInfo("America/New_York"), stamp=STAMP).replace(b"\r\n ", b"")
    summer, winter = (
        octets.partition(f"BEGIN:{kind}\r\nDTSTART:{begin}".encode())[2].partition(b"END:")[0].split(b"\r\n")
        for kind, begin in (("DAYLIGHT", "20240310T020000"), ("STANDARD", "20241103T020000"))
    )

    assert {b"RDATE:20250309T020000,20260308T020000", b"TZOFFSETFROM:-0500", b"TZOFFSETTO:-0400"} <= set(
        summer
    )
    assert {b"RDATE:20251102T020000,20261101T020000", b"TZOFFSETFROM:-0400", b"TZOFFSETTO:-0500"} <= set(
        winter
    )


def test_calendar_file_in_utc_needs_no_rules():
    octets = calendar_file([ENTRY], zone=ZoneInfo("UTC"), stamp=STAMP)

    assert b"DTSTART:20250331T090000Z" in octets
    assert b"VTIMEZONE" not in octets
