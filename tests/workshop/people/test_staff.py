from __future__ import annotations

from decimal import Decimal

import pytest
from django.contrib.auth import get_user_model

from tests.workshop.people.conftest import NOW, PASSWORD
from workshop.errors import Refusal
from workshop.people import services
from workshop.people.models import LogEntry, Role, Staff

HIRED = {"name": "Noor", "username": "noor", "password": PASSWORD, "role": Role.APPRENTICE}


def hire(room, **changes) -> Staff:
    return services.add_staff(workshop=room.workshop, **{**HIRED, "by": room.owner, "now": NOW, **changes})


def edit(room, staff, **changes) -> Staff:
    values = {
        "staff": staff,
        "expected_version": staff.version,
        "name": staff.name,
        "role": staff.role,
        "by": room.owner,
        "now": NOW,
    }
    return services.edit_staff(**{**values, **changes})


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": ""}, "name"),
        ({"username": " "}, "username"),
        ({"username": "Fenna@tide"}, "username"),
        ({"password": "1234"}, "password"),
        ({"role": "queen"}, "role"),
        ({"skills": ["juggle"]}, "skills"),
        ({"hourly_wage": Decimal(-1)}, "hourly_wage"),
        ({"hourly_wage": Decimal("NaN")}, "hourly_wage"),
        ({"speed": Decimal(0)}, "speed"),
        ({"speed": Decimal("Infinity")}, "speed"),
        ({"weekly_minutes": 10081}, "weekly_minutes"),
    ],
)
def test_add_staff_names_the_field_at_fault_and_leaves_no_user(room, changes, field):
    before = get_user_model().objects.count()

    with pytest.raises(Refusal) as refused:
        hire(room, **changes)

    assert refused.value.field == field
    assert get_user_model().objects.count() == before


def test_add_staff_keeps_the_password_out_of_the_log(room):
    staff = hire(room, skills=["sew", "cut"])

    entry = LogEntry.objects.get(action="add staff", row_id=staff.pk)
    assert staff.skills == ["cut", "sew"]
    assert staff.user.check_password(PASSWORD)
    assert PASSWORD not in str(entry.after)


def test_add_staff_is_the_owners(room):
    with pytest.raises(Refusal, match="Only the owner"):
        hire(room, by=room.apprentice)


def test_edit_staff_keeps_an_owner_who_can_sign_in(room):
    for changes in ({"role": Role.APPRENTICE}, {"active": False}):
        with pytest.raises(Refusal, match="needs an owner"):
            edit(room, room.owner, **changes)

    edit(room, room.apprentice, role=Role.OWNER)
    assert not edit(room, room.owner, active=False).active


def test_edit_staff_counts_no_owner_of_another_workshop(room, next_door):
    with pytest.raises(Refusal, match="needs an owner"):
        edit(room, room.owner, active=False)
