"""The price list's forms: lengths and amounts as typed, what is refused, conflicts, stock."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from costing.models import Cloth, Notion, Rates, StockMove
from costing.queries import stock_of
from costing.services import buy_cloth
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.people import services as people

CLOTH = {
    "use": "shell",
    "name": "Blue wool",
    "width_mm": "150",
    "selvedge_mm": "1",
    "price": "31.50",
    "sold_by": "100",
}
NOTION = {"kind": "thread", "name": "Silk thread", "size_mm": "500 m", "price_each": "4.20"}
RATES = {
    "hourly_wage": "15",
    "rent_per_month": "700",
    "power_per_month": "150",
    "fuel_per_month": "50",
    "wear_per_month": "100",
    "other_per_month": "200",
    "hours_per_month": "300",
    "profit_percent": "15",
    "profit_as": "margin",
    "rush_percent": "25",
    "repeat_percent": "95",
    "minimum_price": "0",
    "round_to": "1",
    "work_allowance": "15",
    "thread_waste": "15",
}


def measured_in(house, unit: str) -> None:
    house.workshop.refresh_from_db()
    people.edit_workshop(
        workshop=house.workshop,
        expected_version=house.workshop.version,
        by=house.owner,
        now=timezone.now(),
        length_unit=unit,
    )


def as_shown(browser, address) -> dict[str, object]:
    """Every field of a page's form as it was sent to the browser."""
    form = browser.get(address).context["form"]
    values = {field.html_name: field.value() for field in form}
    return {name: value for name, value in values.items() if value is not None and value is not False}


def test_add_cloth_reads_lengths_in_the_workshops_unit(house, owner):
    measured_in(house, "in")

    answer = owner.post(
        reverse("desk:add-cloth"),
        {**CLOTH, "width_mm": "59 1/2", "selvedge_mm": "3/8", "price": "9.144", "sold_by": "114.3"}
        | {"price": "9.14"},
    )

    cloth = Cloth.objects.get(name="Blue wool")
    assert made.told(answer) == ["Blue wool is on the list."]
    assert (cloth.width_mm, cloth.selvedge_mm, cloth.sold_by_mm) == (59.5 * 25.4, 0.375 * 25.4, 114.3)
    assert cloth.price_per_metre == Decimal("9.996")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": ""}, "name"),
        ({"name": "a\x00b"}, "name"),
        ({"name": "x" * 121}, "name"),
        ({"name": "Grey satin"}, "name"),
        ({"use": "sail"}, "use"),
        ({"width_mm": ""}, "width_mm"),
        ({"width_mm": "0"}, "width_mm"),
        ({"width_mm": "-150"}, "width_mm"),
        ({"width_mm": "nan"}, "width_mm"),
        ({"width_mm": "inf"}, "width_mm"),
        ({"width_mm": "150 ells"}, "width_mm"),
        ({"width_mm": "9" * 30}, "width_mm"),
        ({"selvedge_mm": "80"}, "selvedge_mm"),
        ({"price": ""}, "price"),
        ({"price": "-1"}, "price"),
        ({"price": "NaN"}, "price"),
        ({"price": "Infinity"}, "price"),
        ({"price": "1e400"}, "price"),
        ({"price": "9" * 30}, "price"),
        ({"price": "12 a yard"}, "price"),
        ({"sold_by": "7"}, "sold_by"),
        ({"sold_by": "nan"}, "sold_by"),
        ({"shrinkage_length": "51"}, "shrinkage_length"),
        ({"shrinkage_length": "NaN"}, "shrinkage_length"),
        ({"shrinkage_width": "-1"}, "shrinkage_width"),
        ({"repeat_length_mm": "4 m"}, "repeat_length_mm"),
        ({"days_to_come": "-1"}, "days_to_come"),
        ({"days_to_come": "2.5"}, "days_to_come"),
    ],
)
def test_add_cloth_refuses_at_the_field_and_stores_nothing(changes, field, house, owner):
    before = Cloth.objects.count()

    answer = owner.post(reverse("desk:add-cloth"), {**CLOTH, "supplier": "Weaver & Son", **changes})

    assert answer.status_code == 200
    assert list(made.faults(answer)) == [field]
    assert answer.context["form"]["supplier"].value() == "Weaver & Son"
    assert Cloth.objects.count() == before


@pytest.mark.parametrize(("typed", "kept"), [("12", 12), ("0", 0), ("", None)])
def test_days_to_come_are_kept_or_left_to_the_workshop(typed, kept, house, owner):
    built.set_prices(house)
    zipped = Notion.objects.get(kind="zip")
    for address in (reverse("desk:cloth", args=[house.satin.pk]), reverse("desk:notion", args=[zipped.pk])):
        owner.post(address, {**as_shown(owner, address), "days_to_come": "3"})
        owner.post(address, {**as_shown(owner, address), "days_to_come": typed})

    house.satin.refresh_from_db()
    zipped.refresh_from_db()
    assert (house.satin.days_to_come, zipped.days_to_come) == (kept, kept)


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_edit_cloth_left_as_it_was_shown_changes_no_figure(unit, house, owner):
    measured_in(house, unit)
    Cloth.objects.filter(pk=house.satin.pk).update(
        width_mm=1503.3, selvedge_mm=11.7, price_per_metre=Decimal("24.005"), sold_by_mm=250.0
    )
    address = reverse("desk:cloth", args=[house.satin.pk])

    answer = owner.post(address, as_shown(owner, address))

    cloth = Cloth.objects.get(pk=house.satin.pk)
    assert answer.status_code == 302
    assert (cloth.width_mm, cloth.selvedge_mm, cloth.sold_by_mm) == (1503.3, 11.7, 250.0)
    assert cloth.price_per_metre == Decimal("24.005")


def test_edit_notion_left_as_it_was_shown_keeps_its_price(house, owner):
    built.set_prices(house)
    notion = Notion.objects.get(workshop=house.workshop, kind="thread")
    address = reverse("desk:notion", args=[notion.pk])

    answer = owner.post(address, as_shown(owner, address))

    notion.refresh_from_db()
    assert answer.status_code == 302
    assert (notion.price_each, notion.size_mm) == (Decimal("3.20"), 500_000.0)


def test_edit_rates_left_as_they_were_shown_keeps_them(house, owner):
    built.set_prices(house)
    address = reverse("desk:rates")

    answer = owner.post(address, as_shown(owner, address))

    rates = Rates.objects.get(workshop=house.workshop)
    assert answer.status_code == 302
    assert (rates.hourly_wage, rates.other_per_month) == (Decimal("15"), Decimal("1200"))
    assert (rates.minimum_price, rates.round_to) == (Decimal("0"), Decimal("1"))


def test_add_notion_takes_a_reel_of_500_m(house, owner):
    answer = owner.post(reverse("desk:add-notion"), NOTION)

    assert made.told(answer) == ["Silk thread is on the list."]
    assert Notion.objects.get(name="Silk thread").size_mm == 500_000.0


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"size_mm": "0"}, "size_mm"),
        ({"size_mm": "11 000 m"}, "size_mm"),
        ({"size_mm": "99999 m"}, "size_mm"),
        ({"price_each": "free"}, "price_each"),
        ({"kind": "spell"}, "kind"),
    ],
)
def test_add_notion_refuses_at_the_field(changes, field, house, owner):
    answer = owner.post(reverse("desk:add-notion"), {**NOTION, **changes})

    assert list(made.faults(answer)) == [field]
    assert Notion.objects.filter(name="Silk thread").count() == 0


def conflict(browser, address, theirs, mine, field):
    """Two editors from one page: what holds is shown, what was typed stays, saving again puts it in place."""
    shown = as_shown(browser, address)
    assert browser.post(address, {**shown, field: theirs}).status_code == 302
    answer = browser.post(address, {**shown, field: mine})
    form = answer.context["form"]
    assert "Somebody else changed this while you were writing." in answer.text
    assert form[field].value() == mine
    assert not form.errors
    again = browser.post(
        address, {**shown, field: mine, "expected_version": form["expected_version"].value()}
    )
    assert again.status_code == 302
    return dict(answer.context["edited_meanwhile"])


def test_edit_cloth_conflict(house, owner):
    held = conflict(owner, reverse("desk:cloth", args=[house.satin.pk]), "30.00", "28.00", "price")

    assert held == {"Price of a metre, EUR": "30.00"}
    assert Cloth.objects.get(pk=house.satin.pk).price_per_metre == Decimal("28.000")


def test_edit_notion_conflict(house, owner):
    built.set_prices(house)
    notion = Notion.objects.get(workshop=house.workshop, kind="zip")

    held = conflict(owner, reverse("desk:notion", args=[notion.pk]), "2.60", "2.80", "price_each")

    notion.refresh_from_db()
    assert held == {"Price of one, EUR": "2.60"}
    assert notion.price_each == Decimal("2.80")


def test_edit_rates_conflict(house, owner):
    built.set_prices(house)

    held = conflict(owner, reverse("desk:rates"), "17.00", "18.00", "hourly_wage")

    assert held == {"Wage of an hour, EUR": "17.00"}
    assert Rates.objects.get(workshop=house.workshop).hourly_wage == Decimal("18.00")


def test_change_house_rules_conflict(house, owner):
    held = conflict(owner, reverse("desk:house"), "2.0", "2.2", "seam_allowance")

    assert list(held.values()) == ["2.0"]
    assert people_rules(house)["seam_allowance"] == 22.0


def people_rules(house) -> dict[str, float]:
    from workshop.people.queries import house_values

    return house_values(house.workshop)


def test_house_rules_left_as_they_were_shown_keep_their_defaults_exactly(house, owner):
    before = dict(people_rules(house))

    answer = owner.post(reverse("desk:house"), as_shown(owner, reverse("desk:house")))

    assert answer.status_code == 302
    assert dict(people_rules(house)) == before


@pytest.mark.parametrize("typed", ["", "-1", "nan", "inf", "99 m", "three", "1\x000", "x" * 61])
def test_house_rules_refuse_what_is_no_length(typed, house, owner):
    form = {**as_shown(owner, reverse("desk:house")), "seam_allowance": typed}

    answer = owner.post(reverse("desk:house"), form)

    assert list(made.faults(answer)) == ["seam_allowance"]
    assert house.workshop.house_rules.count() == 0


@pytest.mark.parametrize("typed", ["nan", "inf", "-inf", "1e999", "-1", "one"])
def test_house_rules_refuse_what_is_no_number(typed, house, owner):
    from drafting.house import HOUSE_RULES

    name = next(rule.name for rule in HOUSE_RULES.values() if rule.kind not in {"length"})
    form = {**as_shown(owner, reverse("desk:house")), name: typed}

    answer = owner.post(reverse("desk:house"), form)

    assert list(made.faults(answer)) == [name]


@pytest.mark.parametrize("field", list(RATES))
@pytest.mark.parametrize("typed", ["", "-1", "NaN", "Infinity", "1e99", "9" * 29, "much"])
def test_rates_refuse_what_is_no_figure(field, typed, house, owner):
    answer = owner.post(reverse("desk:rates"), {**RATES, "expected_version": 0, field: typed})

    assert answer.status_code == 200
    assert list(made.faults(answer)) == [field]
    assert Rates.objects.count() == 0


def test_move_stock_notes_a_bolt_that_came(house, owner):
    answer = owner.post(
        reverse("desk:move-stock", args=[house.satin.pk]), {"kind": "bought", "length": "120", "note": "bolt"}
    )

    assert made.told(answer) == ["On the shelf."]
    assert stock_of([house.satin.pk])[house.satin.pk].on_shelf == 120_000.0


@pytest.mark.parametrize(
    "changes",
    [
        {"length": ""}, {"length": "-3"}, {"length": "nan"}, {"length": "0"}, {"length": "3 rods"},
        {"length": "99999 m"}, {"kind": "stolen"}, {"kind": ""}, {"note": "x" * 201}, {"note": "a\x00b"},
    ],
)  # fmt: skip
def test_move_stock_refuses_and_says_why(changes, house, owner):
    form = {"kind": "bought", "length": "3", "note": "", **changes}

    answer = owner.post(reverse("desk:move-stock", args=[house.satin.pk]), form)

    assert len(made.told(answer)) == 1
    assert made.told(answer) != ["On the shelf."]
    assert StockMove.objects.count() == 0


def test_move_stock_cannot_spoil_more_than_there_is(house, owner):
    answer = owner.post(reverse("desk:move-stock", args=[house.satin.pk]), {"kind": "wasted", "length": "3"})

    assert made.told(answer) != ["Noted."]
    assert StockMove.objects.count() == 0


def test_cloth_page_shows_the_useful_lengths_on_the_shelf(house, owner):
    for length in (1200.0, 250.0, 2500.0):
        buy_cloth(cloth=house.satin, length_mm=length, now=timezone.now())

    answer = owner.get(reverse("desk:cloth", args=[house.satin.pk]))

    assert [length.free for length in answer.context["lengths"]] == [2500.0, 1200.0]
    for words in (">2.50 m</strong>", ">1.20 m</strong>"):
        assert words in answer.text


@pytest.mark.parametrize(("profit_as", "is_markup"), [("margin", False), ("markup", True)])
def test_edit_rates_keeps_overhead_by_part_and_profit_as_it_is_meant(profit_as, is_markup, house, owner):
    answer = owner.post(reverse("desk:rates"), {**RATES, "expected_version": 0, "profit_as": profit_as})

    assert answer.status_code == 302
    rates = Rates.objects.get(workshop=house.workshop)
    assert rates.overhead == {
        "rent": 700, "power": 150, "fuel": 50, "wear of machines": 100, "all else": 200,
    }  # fmt: skip
    assert rates.profit_is_markup == is_markup
    assert not rates.prices_on_learnt
    words = "on cost (markup)" if is_markup else "of the price before tax (margin)"
    assert words in owner.get(reverse("desk:prices")).text
    assert "On each hour" in owner.get(reverse("desk:rates")).text


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"profit_percent": "100"}, "profit_percent"),
        ({"profit_percent": "1001", "profit_as": "markup"}, "profit_percent"),
        ({"profit_percent": "NaN"}, "profit_percent"),
        ({"profit_percent": ""}, "profit_percent"),
        ({"profit_as": "luck"}, "profit_as"),
        ({"rush_percent": "-1"}, "rush_percent"),
        ({"repeat_percent": "49"}, "repeat_percent"),
        ({"repeat_percent": "101"}, "repeat_percent"),
        ({"wear_per_month": "-1"}, "wear_per_month"),
        ({"rent_per_month": "1e20"}, "rent_per_month"),
        ({"hours_per_month": "0"}, "hours_per_month"),
    ],
)
def test_edit_rates_refuses_what_makes_no_price(changes, field, house, owner):
    answer = owner.post(reverse("desk:rates"), {**RATES, "expected_version": 0, **changes})

    assert answer.status_code == 200
    assert field in made.faults(answer)
    assert not Rates.objects.exists()


def test_a_markup_may_be_more_than_all_of_the_cost(house, owner):
    sent = {**RATES, "expected_version": 0, "profit_percent": "150", "profit_as": "markup"}

    assert owner.post(reverse("desk:rates"), sent).status_code == 302


def test_rates_page_opens_with_the_greatest_amounts_there_can_be(house, owner):
    greatest = "99999999999"
    sent = {**RATES, "expected_version": 0, "hours_per_month": "0.01"}
    sent |= {name: greatest for name in sent if name.endswith("_per_month") and not name.startswith("hours")}

    assert owner.post(reverse("desk:rates"), sent).status_code == 302
    assert "499,999,999,995.00" in owner.get(reverse("desk:rates")).text
