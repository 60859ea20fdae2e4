from __future__ import annotations

from decimal import Decimal

import pytest

from costing.services import add_cloth
from tests.workshop.people.conftest import NOW, TODAY
from workshop.errors import Refusal
from workshop.people import services
from workshop.people.models import LogEntry


def edit(room, **changes):
    values = {"workshop": room.workshop, "expected_version": 1, "by": room.owner, "now": NOW}
    return services.edit_workshop(**{**values, **changes})


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("name", " "),
        ("email", "nowhere"),
        ("currency", "XXX"),
        ("currency", "eur"),
        ("currency", "CLF"),
        ("currency", "UYW"),
        ("length_unit", "yd"),
        ("time_zone", "Europe/Atlantis"),
        ("tax_rate", Decimal(100)),
        ("tax_rate", Decimal(-1)),
        ("tax_rate", Decimal("NaN")),
        ("deposit_share", Decimal("100.01")),
        ("deposit_share", Decimal("Infinity")),
        ("quote_valid_days", 0),
        ("fitting_minutes", 481),
    ],
)
def test_edit_workshop_names_the_field_at_fault(room, field, value):
    with pytest.raises(Refusal) as refused:
        edit(room, **{field: value})

    assert refused.value.field == field


def test_edit_workshop_refuses_a_field_that_is_no_setting(room):
    with pytest.raises(Refusal, match="created_at is not a setting"):
        edit(room, created_at=NOW)


def test_edit_workshop_logs_before_and_after(room):
    edit(room, tax_rate=Decimal("21"), tax_label="VAT")

    entry = LogEntry.objects.get(action="edit workshop")
    assert (Decimal(entry.before["tax_rate"]), entry.after) == (Decimal(0), {"tax_rate": "21"})


def test_edit_workshop_keeps_the_currency_once_something_is_priced(room):
    changed = edit(room, currency="XOF")
    add_cloth(
        workshop=changed,
        today=TODAY,
        use="shell",
        name="Satin",
        width_mm=1500.0,
        price_per_metre=Decimal("24"),
    )

    with pytest.raises(Refusal, match="in XOF already") as refused:
        edit(room, expected_version=2, currency="EUR")

    assert refused.value.field == "currency"


def test_edit_workshop_is_the_owners(room):
    with pytest.raises(Refusal, match="Only the owner"):
        edit(room, by=room.apprentice, name="Mine")


def test_create_workshop_asks_for_a_name(db):
    with pytest.raises(Refusal, match="workshop's name"):
        services.create_workshop(now=NOW, currency="EUR")


def test_edit_workshop_says_why_a_currency_is_too_fine(room):
    with pytest.raises(
        Refusal, match=r"^CLF has 4 decimals, and amounts are kept with 3 at most: choose the"
    ):
        edit(room, currency="CLF")

    assert edit(room, currency="KWD").currency == "KWD"
