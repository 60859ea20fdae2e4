from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from costing.errors import BadAmount
from costing.models import Cloth, Rates
from costing.queries import cloth_of, cloths, notions
from costing.services import (
    ChangedMeanwhile,
    add_cloth,
    add_notion,
    archive_cloth,
    edit_cloth,
    edit_notion,
    set_rates,
)
from costing.services.pricelist import NameTaken
from tests.costing.papers import NOW, TODAY, make_workshop

SATIN = {"use": "shell", "name": "Satin", "width_mm": 1400.0, "price_per_metre": Decimal("18.50")}
RATES = {
    "hourly_wage": Decimal("12"),
    "other_per_month": Decimal("600"),
    "hours_per_month": Decimal("160"),
    "profit_percent": Decimal("15"),
    "round_to": Decimal("5"),
}


def test_add_cloth_stands_in_the_list_of_its_workshop_alone(workshop):
    satin = add_cloth(workshop=workshop, today=TODAY, **SATIN)
    elsewhere = make_workshop()
    add_cloth(workshop=elsewhere, today=TODAY, **SATIN)

    assert list(cloths(workshop)) == [satin]
    assert cloth_of(elsewhere, satin.pk) is None
    assert list(cloths(workshop, "lining")) == []


def test_add_cloth_refuses_a_name_that_is_taken(workshop):
    add_cloth(workshop=workshop, today=TODAY, **SATIN)

    with pytest.raises(NameTaken) as caught:
        add_cloth(workshop=workshop, today=TODAY, **SATIN)

    assert caught.value.field == "name"


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("width_mm", 0.0),
        ("width_mm", float("nan")),
        ("width_mm", 99_999.0),
        ("price_per_metre", Decimal(-1)),
        ("price_per_metre", Decimal("NaN")),
        ("price_per_metre", Decimal("1e12")),
        ("shrinkage_length", 0.9),
        ("sold_by_mm", 0.0),
        ("name", "  "),
        ("name", "x" * 121),
        ("use", "sail"),
        ("supplier", "x" * 121),
        ("composition", "x" * 121),
        ("width_mm", None),
        ("price_per_metre", None),
        ("colour", "red"),
    ],
)
def test_add_cloth_refuses_what_is_no_cloth(workshop, field, value):
    with pytest.raises(BadAmount) as caught:
        add_cloth(workshop=workshop, today=TODAY, **{**SATIN, field: value})

    assert caught.value.field == field
    assert Cloth.objects.count() == 0


def test_add_cloth_takes_off_spaces_around_its_name(workshop):
    add_cloth(workshop=workshop, today=TODAY, **{**SATIN, "name": "  Satin "})

    with pytest.raises(NameTaken):
        add_cloth(workshop=workshop, today=TODAY, **SATIN)

    assert cloths(workshop).get().name == "Satin"


def test_a_cloth_that_its_selvedges_use_up_is_refused(workshop):
    ribbon = {**SATIN, "width_mm": 100.0, "selvedge_mm": 40.0}
    kept = add_cloth(workshop=workshop, today=TODAY, **ribbon)

    with pytest.raises(BadAmount) as added:
        add_cloth(workshop=workshop, today=TODAY, **{**ribbon, "name": "Other", "selvedge_mm": 50.0})
    with pytest.raises(BadAmount) as edited:
        edit_cloth(cloth=kept, expected_version=1, today=TODAY, width_mm=80.0)
    with pytest.raises(BadAmount) as shrunk:
        edit_cloth(cloth=kept, expected_version=1, today=TODAY, shrinkage_width=0.2)

    assert [caught.value.field for caught in (added, edited, shrunk)] == ["selvedge_mm"] * 3


def test_edit_cloth_dates_a_new_price_and_tells_a_second_editor(workshop):
    satin = add_cloth(workshop=workshop, today=TODAY, **SATIN)
    later = TODAY + timedelta(days=30)

    renamed = edit_cloth(cloth=satin, expected_version=1, today=later, name="Duchess satin")
    priced = edit_cloth(cloth=satin, expected_version=2, today=later, price_per_metre=Decimal("21.00"))
    with pytest.raises(ChangedMeanwhile):
        edit_cloth(cloth=satin, expected_version=1, today=later, price_per_metre=Decimal("1.00"))

    assert (renamed.priced_on, priced.priced_on, priced.version) == (TODAY, later, 3)
    satin.refresh_from_db()
    assert (satin.name, satin.price_per_metre) == ("Duchess satin", Decimal("21.00"))


def test_archive_cloth_takes_it_off_the_list_only(workshop):
    satin = add_cloth(workshop=workshop, today=TODAY, **SATIN)

    archive_cloth(cloth=satin, now=NOW)

    assert list(cloths(workshop)) == []
    assert cloth_of(workshop, satin.pk) == satin


def test_notions_are_added_and_edited(workshop):
    zip_ = add_notion(
        workshop=workshop, today=TODAY, kind="zip", name="Zip 40", size_mm=400.0, price_each=Decimal("3.20")
    )

    edited = edit_notion(notion=zip_, expected_version=1, today=TODAY, price_each=Decimal("3.50"))

    assert list(notions(workshop)) == [zip_]
    assert (edited.price_each, edited.version) == (Decimal("3.50"), 2)


def test_set_rates_first_and_again(workshop):
    set_rates(workshop=workshop, **RATES)

    set_rates(workshop=workshop, expected_version=1, hourly_wage=Decimal("13.50"))
    with pytest.raises(ChangedMeanwhile):
        set_rates(workshop=workshop, expected_version=1, hourly_wage=Decimal("14"))

    held = Rates.objects.get()
    assert (held.hourly_wage, held.hours_per_month, held.version) == (Decimal("13.50"), Decimal("160"), 2)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("hourly_wage", Decimal(-1)),
        ("other_per_month", Decimal("NaN")),
        ("hours_per_month", Decimal(0)),
        ("hours_per_month", Decimal("Infinity")),
        ("hours_per_month", Decimal(99_999_999)),
        ("profit_percent", Decimal(100)),
        ("profit_percent", Decimal("NaN")),
        ("round_to", Decimal(0)),
        ("minimum_price", Decimal("1e11")),
    ],
)
def test_set_rates_refuses_what_makes_no_price(workshop, field, value):
    with pytest.raises(BadAmount) as caught:
        set_rates(workshop=workshop, **{**RATES, field: value})

    assert caught.value.field == field
    assert Rates.objects.count() == 0
