"""Fit notes in figures: kept with the wearer, drawn into the next draft, gone with an erasure."""

from __future__ import annotations

import pytest

from tests.workshop.people.conftest import BODY, NOW, TODAY
from workshop.errors import EditedMeanwhile, Refusal
from workshop.people import queries, services
from workshop.people.models import LogEntry


def note(room, **changes):
    values = {
        "wearer": room.wearer,
        "expected_version": room.wearer.version,
        "fit": {"sway_back": 10.0, "shoulder_slope": -4.0},
        "by": room.owner,
        "now": NOW,
    }
    return services.note_fit(**{**values, **changes})


def test_note_fit_is_part_of_the_body_that_is_drafted_for(room):
    measured = services.record_measurements(
        wearer=room.wearer, unit="cm", typed=BODY, taken_by=room.owner, taken_on=TODAY, now=NOW
    )

    wearer = note(room)

    assert dict(queries.body_of(measured, wearer).fit) == {"sway_back": 10.0, "shoulder_slope": -4.0}
    entry = LogEntry.objects.get(action="note fit")
    assert (entry.before, entry.after) == ({"notes": []}, {"notes": ["shoulder_slope", "sway_back"]})


def test_note_fit_takes_the_place_of_what_was_noted(room):
    wearer = note(room)

    wearer = note(room, expected_version=wearer.version, fit={"rounded_back": 8.0, "sway_back": 0.0})

    wearer.refresh_from_db()
    assert wearer.fit == {"rounded_back": 8.0}


def test_note_fit_tells_the_second_of_two_editors(room):
    opened = room.wearer.version
    note(room, expected_version=opened)

    with pytest.raises(EditedMeanwhile):
        note(room, expected_version=opened, fit={})

    room.wearer.refresh_from_db()
    assert room.wearer.fit == {"sway_back": 10.0, "shoulder_slope": -4.0}


@pytest.mark.parametrize(
    ("fit", "field"),
    [({"sway_back": 50.0}, "sway_back"), ({"hump": 1.0}, "hump"), ({"sway_back": "x"}, "sway_back")],
)
def test_note_fit_refuses_what_cannot_be(room, fit, field):
    with pytest.raises(Refusal) as refused:
        note(room, fit=fit)

    assert refused.value.field == field
    room.wearer.refresh_from_db()
    assert room.wearer.fit == {}


def test_note_fit_refuses_another_workshops_staff(room, next_door):
    with pytest.raises(Refusal):
        note(room, by=next_door.owner)


def test_erasing_a_wearer_erases_the_fit_notes_and_no_more_are_taken(room):
    note(room)

    wearer = services.erase_wearer(wearer=room.wearer, reason="asked", by=room.owner, now=NOW)

    assert wearer.fit == {}
    with pytest.raises(Refusal, match="were erased"):
        note(room, wearer=wearer, expected_version=wearer.version)
