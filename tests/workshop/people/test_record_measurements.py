from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.workshop.people.conftest import BODY, NOW, TODAY
from workshop.errors import Refusal
from workshop.people import queries, services
from workshop.people.models import LogEntry, MeasurementSet
from workshop.people.services import MeasurementsRefused, UnansweredQuestions


def record(room, *, wearer=None, unit="cm", **changes):
    values = {
        "wearer": wearer or room.wearer,
        "unit": unit,
        "typed": BODY,
        "taken_by": room.apprentice,
        "taken_on": TODAY,
        "now": NOW,
    }
    return services.record_measurements(**{**values, **changes})


def test_record_measurements_keeps_millimetres_and_the_text(room):
    measured = record(room, typed={**BODY, "wrist_girth": "6 1/4 in"})

    measured.refresh_from_db()
    assert measured.values == {
        "bust_girth": 920.0,
        "waist_girth": 740.0,
        "hip_girth": 990.0,
        "stature": 1680.0,
        "wrist_girth": 158.75,
    }
    assert measured.typed == {**BODY, "wrist_girth": "6 1/4 in"}
    assert (measured.taken_by, measured.taken_on, measured.confirmed) == (room.apprentice, TODAY, [])


def test_record_measurements_stores_nothing_where_a_field_is_wrong(room):
    with pytest.raises(MeasurementsRefused) as refused:
        record(room, typed={**BODY, "bust_girth": "wide", "hip_girth": ""})

    assert sorted(refused.value.errors) == ["bust_girth", "hip_girth"]
    assert not MeasurementSet.objects.exists()


def test_record_measurements_asks_about_exchanged_girths_until_confirmed(room):
    exchanged = {**BODY, "waist_girth": "120"}

    with pytest.raises(UnansweredQuestions) as asked:
        record(room, typed=exchanged)
    fields = {question.field for question in asked.value.questions}
    measured = record(room, typed=exchanged, confirmed=fields)

    assert "waist_girth" in fields
    assert {row["field"] for row in measured.confirmed} == fields
    assert MeasurementSet.objects.count() == 1


def test_record_measurements_asks_again_about_what_was_not_confirmed(room):
    with pytest.raises(UnansweredQuestions) as asked:
        record(room, typed={**BODY, "waist_girth": "120"}, confirmed=["stature"])

    assert "waist_girth" in {question.field for question in asked.value.questions}


def test_record_measurements_refuses_the_future(room):
    with pytest.raises(Refusal, match="future") as refused:
        record(room, taken_on=TODAY + timedelta(days=1))

    assert refused.value.field == "taken_on"


def test_record_measurements_takes_the_day_of_the_workshops_zone(room):
    room.workshop.time_zone = "Pacific/Auckland"
    room.workshop.save()
    evening = NOW.replace(hour=12)  # already the third of March in Auckland

    measured = record(room, taken_on=date(2026, 3, 3), now=evening)

    assert measured.taken_on == date(2026, 3, 3)


def test_record_measurements_refuses_an_unknown_unit(room):
    with pytest.raises(Refusal, match="inches, centimetres or millimetres") as refused:
        record(room, unit="ell")

    assert refused.value.field == "unit"


def test_record_measurements_refuses_after_the_day_until_which_they_may_be_kept(room):
    child = services.create_wearer(
        client=room.client,
        name="Pim",
        is_minor=True,
        guardian="Marta Quist",
        consent_on=TODAY,
        keep_until_on=TODAY,
        by=room.owner,
        now=NOW,
    )

    assert record(room, wearer=child).pk
    with pytest.raises(Refusal, match="ask for consent anew"):
        record(room, wearer=child, now=NOW + timedelta(days=1))


def test_record_measurements_refuses_staff_of_another_workshop(room, next_door):
    with pytest.raises(Refusal, match="no such staff in this workshop"):
        record(room, taken_by=next_door.apprentice)

    assert not MeasurementSet.objects.exists()


def test_record_measurements_logs_which_were_taken_but_no_value(room):
    measured = record(room)

    entry = LogEntry.objects.get(action="record measurements")
    assert (entry.row_id, entry.actor, entry.before) == (measured.pk, "Ilse", None)
    assert entry.after == {"wearer": room.wearer.pk, "taken": sorted(BODY), "confirmed": []}


def test_body_of_estimates_what_was_not_taken_and_knows_the_age(room):
    child = services.create_wearer(
        client=room.client,
        name="Pim",
        born_on=date(2018, 3, 2),
        guardian="Marta Quist",
        consent_on=TODAY,
        by=room.owner,
        now=NOW,
    )
    typed = {"bust_girth": "65", "waist_girth": "58", "hip_girth": "70", "stature": "128"}

    body = queries.body_of(record(room, wearer=child, typed=typed), child)

    assert body["bust_girth"] == 650.0
    assert body.age_years == pytest.approx(8.0, abs=0.01)
    assert body.is_child
    assert body.measure("bust_girth").given
    assert not body.measure("arm_length").given
    assert body.measure("arm_length").error > 0
