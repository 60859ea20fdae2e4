from __future__ import annotations

from datetime import date, timedelta

import pytest

from tests.workshop.people.conftest import NOW, TODAY
from workshop.errors import Refusal
from workshop.people import services
from workshop.people.models import LogEntry, Wearer

CONSENT = {"guardian": "Marta Quist", "consent_by": "Marta Quist", "consent_on": TODAY}
BORN = date(2018, 6, 1)


def create(room, **changes) -> Wearer:
    values = {"client": room.client, "name": "Pim", "by": room.owner, "now": NOW}
    return services.create_wearer(**{**values, **changes})


def test_create_wearer_makes_a_minor_of_a_birth_date(room):
    wearer = create(room, born_on=BORN, **CONSENT)

    assert wearer.is_minor
    assert wearer.keep_until_on == TODAY + timedelta(days=365)


def test_create_wearer_keeps_the_day_that_was_chosen(room):
    wearer = create(room, is_minor=True, keep_until_on=date(2026, 8, 1), **CONSENT)

    assert wearer.keep_until_on == date(2026, 8, 1)


def test_create_wearer_asks_nothing_of_an_adult(room):
    wearer = create(room, born_on=date(1990, 6, 1))

    assert (wearer.is_minor, wearer.guardian, wearer.keep_until_on) == (False, "", None)


@pytest.mark.parametrize(("missing", "field"), [("guardian", "guardian"), ("consent_on", "consent_on")])
def test_create_wearer_refuses_a_minor_without_guardian_or_consent(room, missing, field):
    given = {key: value for key, value in CONSENT.items() if key != missing}

    with pytest.raises(Refusal) as refused:
        create(room, born_on=BORN, **given)

    assert refused.value.field == field
    assert list(Wearer.objects.all()) == [room.wearer]


def test_create_wearer_takes_the_guardian_for_the_one_who_consents(room):
    wearer = create(room, is_minor=True, guardian="Marta Quist", consent_on=TODAY)

    assert wearer.consent_by == "Marta Quist"


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": "  "}, "name"),
        ({"name": "x" * 121}, "name"),
        ({"born_on": TODAY + timedelta(days=1)}, "born_on"),
        ({"born_on": date(1890, 1, 1)}, "born_on"),
        ({"consent_on": TODAY + timedelta(days=1)}, "consent_on"),
        ({"keep_until_on": TODAY - timedelta(days=1)}, "keep_until_on"),
        ({"fit_notes": "x" * 4001}, "fit_notes"),
    ],
)
def test_create_wearer_names_the_field_at_fault(room, changes, field):
    with pytest.raises(Refusal) as refused:
        create(room, **changes)

    assert refused.value.field == field


def test_create_wearer_refuses_staff_of_another_workshop(room, next_door):
    with pytest.raises(Refusal, match="no such staff in this workshop"):
        create(room, by=next_door.owner)


def test_edit_wearer_changes_and_logs_no_personal_value(room):
    services.edit_wearer(wearer=room.wearer, expected_version=1, name="Marta de Wit", by=room.owner, now=NOW)

    room.wearer.refresh_from_db()
    assert room.wearer.name == "Marta de Wit"
    assert LogEntry.objects.get(action="edit wearer").after == {"name": "changed"}


def test_no_log_entry_of_a_wearer_holds_the_name(room):
    wearer = create(room, name="Wilhelmina", born_on=BORN, **CONSENT)
    services.edit_wearer(
        wearer=wearer,
        expected_version=1,
        name="Wilhelmina B",
        born_on=BORN,
        by=room.owner,
        now=NOW,
        **CONSENT,
    )

    entries = LogEntry.objects.filter(row_kind="wearer", row_id=wearer.pk)
    assert entries.count() == 2
    for entry in entries:
        assert "Wilhelmina" not in f"{entry.summary} {entry.before} {entry.after} {entry.actor}"
