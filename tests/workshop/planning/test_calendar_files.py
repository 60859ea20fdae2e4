from __future__ import annotations

from datetime import UTC, datetime, timedelta

import icalendar

from workshop.planning.queries import fitting_file
from workshop.planning.services import book_fitting, cancel_fitting, move_fitting

TEN = datetime(2025, 4, 2, 9, 0, tzinfo=UTC)  # 10:00 in summer time
HOUR = timedelta(hours=1)


def events(octets):
    return icalendar.Calendar.from_ical(octets).walk("VEVENT")


def test_fitting_file_follows_the_fitting(place, garment, now):
    fitting = book_fitting(garment=garment, starts_at=TEN, now=now, by=place.ada)
    (booked,) = events(fitting_file(fitting, now=now, host="needle.example"))
    moved_fitting = move_fitting(fitting=fitting, starts_at=TEN + HOUR, now=now, by=place.ada)
    (moved,) = events(fitting_file(moved_fitting, now=now, host="needle.example"))
    gone = fitting_file(
        cancel_fitting(fitting=fitting, now=now, by=place.ada), now=now, host="needle.example"
    )
    (cancelled,) = events(gone)

    assert booked["uid"] == moved["uid"] == cancelled["uid"] == f"fitting-{fitting.pk}@needle.example"
    assert [event["sequence"] for event in (booked, moved, cancelled)] == [0, 1, 2]
    assert [event["status"] for event in (booked, moved, cancelled)] == [
        "CONFIRMED",
        "CONFIRMED",
        "CANCELLED",
    ]
    assert moved.decoded("dtstart") == TEN + HOUR
    assert b"METHOD:CANCEL" in gone
    assert b"DTSTART;TZID=Europe/Lisbon:20250402T110000" in gone
