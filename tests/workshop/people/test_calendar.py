from __future__ import annotations

from datetime import date, time, timedelta

import pytest

from tests.workshop.people.conftest import NOW, TODAY
from workshop.errors import Refusal
from workshop.people import queries, services
from workshop.people.models import LogEntry

MORNING = (0, time(9), time(12, 30))
AFTERNOON = (0, time(12, 30), time(17))


def set_hours(room, spans, **changes):
    return services.set_opening_hours(
        **{"workshop": room.workshop, "spans": spans, "by": room.owner, "now": NOW, **changes}
    )


def spans_of(room):
    return [(row.weekday, row.opens_at, row.closes_at) for row in queries.opening_hours(room.workshop)]


def test_set_opening_hours_replaces_the_week(room):
    set_hours(room, [MORNING])
    set_hours(room, [AFTERNOON, MORNING])

    assert spans_of(room) == [MORNING, AFTERNOON]
    entry = LogEntry.objects.filter(action="set opening hours").latest("pk")
    assert entry.before == {"spans": ["Monday 09:00 to 12:30"]}


@pytest.mark.parametrize(
    "spans",
    [
        [],
        [(7, time(9), time(12))],
        [(-1, time(9), time(12))],
        [(1, time(12), time(12))],
        [(1, time(13), time(12))],
        [MORNING, (0, time(12), time(17))],
        [MORNING, MORNING],
    ],
)
def test_set_opening_hours_refuses_and_keeps_what_was_there(room, spans):
    set_hours(room, [MORNING])

    with pytest.raises(Refusal) as refused:
        set_hours(room, spans)

    assert refused.value.field == "opening_hours"
    assert spans_of(room) == [MORNING]


def test_set_opening_hours_leaves_the_workshop_next_door_alone(room, next_door):
    set_hours(next_door, [MORNING])
    set_hours(room, [AFTERNOON])

    assert spans_of(next_door) == [MORNING]


def close(room, **changes):
    values = {"workshop": room.workshop, "from_on": TODAY, "to_on": TODAY, "by": room.owner, "now": NOW}
    return services.close_days(**{**values, **changes})


@pytest.mark.parametrize("to_on", [TODAY - timedelta(days=1), date(2036, 1, 1)])
def test_close_days_refuses_a_span_that_cannot_be_meant(room, to_on):
    with pytest.raises(Refusal) as refused:
        close(room, to_on=to_on)

    assert refused.value.field == "to_on"
    assert not room.workshop.closures.exists()


def test_close_days_refuses_the_absence_of_somebody_else(room, next_door):
    with pytest.raises(Refusal, match="no such staff in this workshop"):
        close(room, staff=next_door.apprentice)


def test_reopen_days_takes_back_only_the_own_closures(room, next_door):
    closure = close(room)

    with pytest.raises(Refusal, match="taken back already"):
        services.reopen_days(workshop=next_door.workshop, closure_id=closure.pk, by=next_door.owner, now=NOW)
    assert room.workshop.closures.count() == 1
    services.reopen_days(workshop=room.workshop, closure_id=closure.pk, by=room.owner, now=NOW)

    assert not room.workshop.closures.exists()
    with pytest.raises(Refusal, match="taken back already"):
        services.reopen_days(workshop=room.workshop, closure_id=closure.pk, by=room.owner, now=NOW)
