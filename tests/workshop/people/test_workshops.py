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
        ("language", "nl"),
        ("language", ""),
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


SELLER = {"address": "12 Mill Lane", "country": "PT", "vat_number": "pt 123 456 789", "tax_rate": Decimal(23)}


def test_edit_workshop_lets_invoices_carry_an_e_invoice(room):
    changed = edit(room, e_invoices=True, **SELLER)

    assert (changed.e_invoices, changed.vat_number) == (True, "PT123456789")


@pytest.mark.parametrize(
    ("lacking", "field", "words"),
    [
        ({"address": ""}, "address", "names the workshop's address"),
        ({"country": ""}, "e_invoices", "names the workshop's country"),
        ({"vat_number": ""}, "vat_number", "with the two letters of its country"),
        ({"vat_number": "123456789"}, "vat_number", "with the two letters of its country"),
        ({"tax_rate": Decimal(0)}, "tax_exemption", "without tax says why"),
        ({"currency": "KWD"}, "currency", "two decimals at most, those in KWD three"),
    ],
)
def test_edit_workshop_says_what_an_e_invoice_lacks(lacking, field, words, room):
    with pytest.raises(Refusal, match=words) as refused:
        edit(room, e_invoices=True, **{**SELLER, **lacking})

    assert refused.value.field == field
    room.workshop.refresh_from_db()
    assert not room.workshop.e_invoices


def test_edit_workshop_keeps_what_its_e_invoices_need(room):
    edit(room, e_invoices=True, **SELLER)

    with pytest.raises(Refusal, match="with the two letters"):
        edit(room, expected_version=2, vat_number="")
