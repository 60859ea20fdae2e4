from __future__ import annotations

import pytest

from tests.workshop.people.conftest import NOW
from workshop.errors import Refusal
from workshop.people import services
from workshop.people.models import Client, LogEntry


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": ""}, "name"),
        ({"name": "\x00 "}, "name"),
        ({"name": "x" * 121}, "name"),
        ({"email": "ada at example"}, "email"),
        ({"phone": "1" * 41}, "phone"),
        ({"address": "x" * 1001}, "address"),
        ({"note": "x" * 4001}, "note"),
    ],
)
def test_create_client_names_the_field_at_fault(room, changes, field):
    with pytest.raises(Refusal) as refused:
        services.create_client(
            workshop=room.workshop, **{"name": "Ada", "by": room.owner, "now": NOW, **changes}
        )

    assert refused.value.field == field
    assert list(Client.objects.all()) == [room.client]


def test_create_client_trims_and_stores(room):
    client = services.create_client(
        workshop=room.workshop, name=" Ada ", email=" ada@example.org ", by=room.owner, now=NOW
    )

    client.refresh_from_db()
    assert (client.name, client.email, client.workshop) == ("Ada", "ada@example.org", room.workshop)


def edit(room, **changes):
    values = {
        "client": room.client,
        "expected_version": 1,
        "name": "Marta Quist",
        "by": room.owner,
        "now": NOW,
    }
    return {**values, **changes}


def test_edit_client_logs_which_fields_changed_not_what_they_say(room):
    services.edit_client(**edit(room, phone="0123"))

    room.client.refresh_from_db()
    entry = LogEntry.objects.get(action="edit client")
    assert room.client.phone == "0123"
    assert (entry.after, entry.actor) == ({"phone": "changed"}, "Fenna")


def test_edit_client_refuses_staff_of_another_workshop(room, next_door):
    with pytest.raises(Refusal, match="no such staff in this workshop"):
        services.edit_client(**edit(room, name="Taken over", by=next_door.owner))

    room.client.refresh_from_db()
    assert room.client.name == "Marta Quist"


def test_a_client_lives_in_a_country_of_two_letters(room):
    kept = services.edit_client(**edit(room, country=" ke "))

    assert kept.country == "KE"
    with pytest.raises(Refusal, match="two letters") as refused:
        services.edit_client(**edit(room, expected_version=kept.version, country="Kenya"))
    assert refused.value.field == "country"
