from __future__ import annotations

from datetime import UTC, datetime, timedelta

import icalendar

from tests.workshop.planning.conftest import make_garment, make_place
from workshop.planning.queries import fitting_feed, fitting_file
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


def test_fitting_feed_holds_a_fitters_own_of_one_workshop(place, garment, now):
    other = make_place()
    book_fitting(garment=make_garment(other.workshop), starts_at=TEN, now=now, by=other.ada)
    mine = book_fitting(garment=garment, starts_at=TEN, now=now, by=place.ada)
    theirs = book_fitting(
        garment=make_garment(place.workshop, title="Red coat"),
        starts_at=TEN,
        now=now,
        by=place.ada,
        fitter=place.bo,
    )

    def uids(**whose):
        return [
            str(event["uid"]) for event in events(fitting_feed(place.workshop, now=now, host="h", **whose))
        ]

    assert uids() == [f"fitting-{mine.pk}@h", f"fitting-{theirs.pk}@h"]
    assert uids(fitter=place.bo) == [f"fitting-{theirs.pk}@h"]
