from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.core import serializers

from tests.workshop.orders import house as orders_house
from tests.workshop.people.conftest import BODY, NOW, TODAY
from workshop.errors import Refusal
from workshop.orders import services as orders
from workshop.orders.models import Draft, Garment
from workshop.people import queries, services
from workshop.people.models import LogEntry, MeasurementSet, Wearer


def measured_child(room, *, keep_until_on=TODAY) -> Wearer:
    child = services.create_wearer(
        client=room.client,
        name="Wilhelmina",
        is_minor=True,
        guardian="Marta Quist",
        consent_on=TODAY,
        keep_until_on=keep_until_on,
        fit_notes="one shoulder lower",
        by=room.owner,
        now=NOW,
    )
    services.record_measurements(
        wearer=child, unit="cm", typed=BODY, taken_by=room.owner, taken_on=TODAY, now=NOW
    )
    return child


def erase(room, wearer, **changes):
    return services.erase_wearer(
        **{"wearer": wearer, "reason": "asked by the guardian", "by": room.owner, "now": NOW, **changes}
    )


def test_erase_wearer_leaves_no_name_note_or_measurement(room):
    child = measured_child(room)

    erase(room, child)

    child.refresh_from_db()
    measured = MeasurementSet.objects.get(wearer=child)
    assert (measured.values, measured.typed, measured.confirmed) == ({}, {}, [])
    rows = [child, measured, *LogEntry.objects.filter(workshop=room.workshop)]
    kept = serializers.serialize("json", rows)
    assert child.erased_at == NOW
    for word in ("Wilhelmina", "shoulder", "920.0", 'guardian": "Marta'):
        assert word not in kept


def test_erase_wearer_refuses_a_second_time_and_further_measuring(room):
    child = erase(room, measured_child(room))

    with pytest.raises(Refusal, match="erased already"):
        erase(room, child)
    with pytest.raises(Refusal, match="were erased"):
        services.record_measurements(
            wearer=child, unit="cm", typed=BODY, taken_by=room.owner, taken_on=TODAY, now=NOW
        )
    with pytest.raises(Refusal, match="were erased"):
        services.edit_wearer(
            wearer=child, expected_version=child.version, name="Back again", by=room.owner, now=NOW
        )
    with pytest.raises(Refusal, match="were erased"):
        queries.body_of(child.measurement_sets.get())


def test_erase_wearer_asks_for_the_reason_and_the_owner(room):
    with pytest.raises(Refusal) as refused:
        erase(room, room.wearer, reason=" ")
    with pytest.raises(Refusal, match="Only the owner"):
        erase(room, room.wearer, by=room.apprentice)

    assert refused.value.field == "reason"
    room.wearer.refresh_from_db()
    assert room.wearer.erased_at is None


def test_erase_wearer_is_not_for_the_workshop_next_door(room, next_door):
    with pytest.raises(Refusal, match="no such staff in this workshop"):
        erase(room, room.wearer, by=next_door.owner)


def test_erase_wearer_waits_until_no_garment_is_in_work_then_takes_the_drafts(db, plain_hashes):
    house = orders_house.open_house()
    order = orders_house.take(house)
    garment = orders_house.garment_of(order)
    draft = orders_house.draft(house, garment)
    wish = {"wearer": garment.wearer, "reason": "asked", "by": house.owner, "now": NOW}

    with pytest.raises(Refusal, match="Grey dress is still in work"):
        services.erase_wearer(**wish)
    assert Draft.objects.filter(pk=draft.pk).exists()
    orders.cancel_order(order=order, reason="no wedding", by=house.owner, now=NOW)
    services.erase_wearer(**wish)

    assert not Draft.objects.exists()
    assert Garment.objects.get(pk=garment.pk).measurements is None
    stored = MeasurementSet.objects.filter(wearer=garment.wearer).values_list("values", flat=True)
    assert json.dumps(list(stored)) == "[{}]"


def test_erase_expired_wearers_takes_those_past_their_day_only(room, next_door):
    due = measured_child(room)
    kept = measured_child(room, keep_until_on=TODAY + timedelta(days=1))
    measured_child(next_door)

    assert services.erase_expired_wearers(workshop=room.workshop, now=NOW) == ([], [])
    erased, refused = services.erase_expired_wearers(workshop=room.workshop, now=NOW + timedelta(days=1))

    assert ([wearer.pk for wearer in erased], refused) == ([due.pk], [])
    assert list(Wearer.objects.filter(erased_at=None, name="Wilhelmina", workshop=room.workshop)) == [kept]
    assert Wearer.objects.filter(erased_at=None, name="Wilhelmina", workshop=next_door.workshop).count() == 1
