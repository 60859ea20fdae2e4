from __future__ import annotations

from decimal import Decimal

import pytest

from tests.workshop.people.conftest import NOW, TODAY
from workshop.people import queries, services
from workshop.people.models import LogEntry, LogIsAppendOnly


def write(room, **changes) -> LogEntry:
    values = {
        "workshop": room.workshop,
        "by": room.owner,
        "action": "look",
        "row": room.client,
        "summary": "Looked",
        "now": NOW,
    }
    return services.write_log(**{**values, **changes})


def test_write_log_says_who_did_what_to_which_row(room):
    entry = write(
        room, order_id=7, before={"day": TODAY}, after={"price": Decimal("1.50"), "client": room.client}
    )

    entry.refresh_from_db()
    assert (entry.actor, entry.row_kind, entry.row_id, entry.order_id) == (
        "Fenna",
        "client",
        room.client.pk,
        7,
    )
    assert entry.before == {"day": "2026-03-02"}
    assert entry.after == {"price": "1.50", "client": room.client.pk}


def test_write_log_names_the_customer_or_the_service_where_no_staff_acted(room):
    assert write(room, by=None, actor="Marta Quist").actor == "Marta Quist"
    assert write(room, by=None).actor == "the service"


def test_the_log_is_never_changed_or_deleted(room):
    entry = write(room)

    entry.summary = "Did nothing"
    with pytest.raises(LogIsAppendOnly):
        entry.save()
    with pytest.raises(LogIsAppendOnly):
        entry.delete()
    with pytest.raises(LogIsAppendOnly):
        LogEntry.objects.filter(pk=entry.pk).update(summary="Did nothing")
    with pytest.raises(LogIsAppendOnly):
        LogEntry.objects.all().delete()

    assert LogEntry.objects.get(pk=entry.pk).summary == "Looked"


def test_log_of_shows_one_workshop_newest_first(room, next_door):
    first, second = write(room, order_id=7), write(room, order_id=7)
    write(next_door, order_id=7)

    assert list(queries.log_of(room.workshop, order_id=7)) == [second, first]
