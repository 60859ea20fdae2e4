from __future__ import annotations

from datetime import timedelta

import pytest

from tests.workshop.people.conftest import BODY, NOW, TODAY
from workshop.people import queries, services


def test_nothing_of_the_workshop_next_door_is_found(room, next_door):
    measured = services.record_measurements(
        wearer=next_door.wearer, unit="cm", typed=BODY, taken_by=next_door.owner, taken_on=TODAY, now=NOW
    )

    assert list(queries.clients(room.workshop)) == [room.client]
    assert list(queries.clients(room.workshop, "Marta")) == [room.client]
    assert list(queries.wearers(room.workshop)) == [room.wearer]
    assert queries.client_of(room.workshop, next_door.client.pk) is None
    assert queries.wearer_of(room.workshop, next_door.wearer.pk) is None
    assert queries.measurement_set_of(room.workshop, measured.pk) is None
    assert queries.measurement_set_of(next_door.workshop, measured.pk) == measured
    assert list(queries.staff(room.workshop)) == [room.owner, room.apprentice]


@pytest.mark.parametrize("words", ["quist", "MARTA", "  marta ", "\x00marta"])
def test_clients_finds_by_part_of_the_name(room, words):
    services.create_client(workshop=room.workshop, name="Ada", by=room.owner, now=NOW)

    assert list(queries.clients(room.workshop, words)) == [room.client]


def test_wearers_leaves_out_who_was_erased(room):
    services.erase_wearer(wearer=room.wearer, reason="asked", by=room.owner, now=NOW)

    assert list(queries.wearers(room.workshop)) == []


def test_staff_leaves_out_who_has_left(room):
    room.apprentice.active = False
    room.apprentice.save()

    assert list(queries.staff(room.workshop)) == [room.owner]
    assert list(queries.staff(room.workshop, active_only=False)) == [room.owner, room.apprentice]


def test_latest_measurements_are_those_of_the_latest_day(room):
    later, earlier = (
        services.record_measurements(
            wearer=room.wearer, unit="cm", typed=BODY, taken_by=room.owner, taken_on=day, now=NOW
        )
        for day in (TODAY, TODAY - timedelta(days=3))
    )

    assert queries.latest_measurements(room.wearer) == later
    assert list(queries.measurement_sets(room.wearer)) == [later, earlier]


def test_wearers_takes_one_query_however_many(room, django_assert_num_queries):
    def names() -> list[tuple[str, str]]:
        return [(wearer.name, wearer.client.name) for wearer in queries.wearers(room.workshop)]

    with django_assert_num_queries(1):
        assert len(names()) == 1
    for name in ("Ada", "Bo"):
        services.create_wearer(client=room.client, name=name, by=room.owner, now=NOW)
    with django_assert_num_queries(1):
        assert len(names()) == 3
