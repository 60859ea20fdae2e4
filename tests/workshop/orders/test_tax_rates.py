"""A garment taxed by another rate than the workshop's usual one, from its estimate to the final invoice."""

from __future__ import annotations

from decimal import Decimal

import pytest

from costing.models import Invoice, QuoteState
from costing.rules.tax import TaxKey, tax_on
from tests.workshop.orders.house import NOW, accept, add_wearer, open_house, quote, take, wish
from workshop.errors import EditedMeanwhile, Refusal
from workshop.orders import services
from workshop.orders.queries import current_estimate
from workshop.orders.services.estimating import tax_of
from workshop.people import services as people


@pytest.fixture
def low(house):
    return people.add_tax_rate(
        workshop=house.workshop, name="children's clothes", percent=Decimal(6), by=house.owner, now=NOW
    )


@pytest.fixture
def two(house):
    return take(
        house, wishes=[wish(house), wish(house, title="Small dress", wearer=add_wearer(house.client, "Lise"))]
    )


def choose(house, garment, rate, **changes):
    garment.refresh_from_db()
    values = {"expected_version": garment.version, "by": house.owner, "now": NOW}
    return services.choose_tax_rate(garment=garment, tax_rate=rate, **{**values, **changes})


def keys_and_nets(content) -> dict[Decimal, Decimal]:
    return {Decimal(group["rate"]): Decimal(group["net"]) for group in content["groups"]}


def test_a_garment_is_taxed_at_the_usual_rate_until_one_is_chosen(house, garment, low):
    usual = TaxKey.of(house.workshop.tax_rate)

    assert tax_of(garment) == usual
    assert tax_of(choose(house, garment, low)) == TaxKey.of(Decimal(6))
    assert tax_of(choose(house, garment, None)) == usual


def test_two_rates_in_one_order_add_up_from_quote_to_invoices(house, two, low):
    usual = house.workshop.tax_rate
    choose(house, two.garments.get(position=2), low)

    agreed = accept(house, two)

    assert agreed.state == QuoteState.ACCEPTED
    lines = agreed.content["lines"]
    assert [Decimal(line["rate"]) for line in lines] == [usual, Decimal(6)]
    nets = {Decimal(line["rate"]): Decimal(line["net"]) for line in lines}
    assert keys_and_nets(agreed.content) == nets
    assert agreed.tax == sum(tax_on(net, rate, "EUR") for rate, net in nets.items())
    assert agreed.payable == sum(Decimal(row["total"]) for row in agreed.content["garments"])
    services.issue_invoice(order=two, kind=Invoice.Kind.FINAL, by=house.owner, now=NOW)
    bills = list(Invoice.objects.filter(order=two).order_by("number"))
    assert [bill.kind for bill in bills] == [Invoice.Kind.DEPOSIT, Invoice.Kind.FINAL]
    parts = [keys_and_nets(bill.content) for bill in bills]
    assert {rate: parts[0][rate] + parts[1][rate] for rate in nets} == nets
    assert sum(bill.payable for bill in bills) == agreed.payable


def test_choosing_a_rate_reckons_the_estimate_anew_and_leaves_the_quote(house, two, low):
    out = quote(house, two)
    garment = two.garments.get(position=2)
    before = current_estimate(garment)

    choose(house, garment, low)

    after = current_estimate(garment)
    assert after.pk != before.pk
    assert after.inputs["pricing"]["tax_rate"] == "6"
    out.refresh_from_db()
    assert len(out.content["groups"]) == 1


def test_a_rate_that_was_taken_away_stays_where_it_is(house, two, low):
    first, second = two.garments.order_by("position")
    choose(house, first, low)
    people.archive_tax_rate(rate=low, by=house.owner, now=NOW)
    low.refresh_from_db()

    first.refresh_from_db()
    assert tax_of(first) == TaxKey.of(Decimal(6))
    with pytest.raises(Refusal, match=r"^That rate was taken away; choose another\.$"):
        choose(house, second, low)


def test_choose_tax_rate_is_the_owners_of_one_workshop_and_told_of_another_edit(house, garment, low):
    stranger = people.add_tax_rate(
        workshop=open_house("Next door").workshop, name="repairs", percent=Decimal(8), by=None, now=NOW
    )
    with pytest.raises(Refusal, match=r"^Only the owner can choose a tax rate; ask them\.$"):
        choose(house, garment, low, by=house.apprentice)
    with pytest.raises(Refusal, match="no such tax rate"):
        choose(house, garment, stranger)
    with pytest.raises(EditedMeanwhile):
        choose(house, garment, low, expected_version=garment.version + 1)


def test_what_is_zero_rated_is_taxed_at_nothing_and_never_exempt(house, two):
    zero, none = (
        people.add_tax_rate(
            workshop=house.workshop,
            name=f"zero rated: {zero_rated}",
            percent=Decimal(0),
            zero_rated=zero_rated,
            by=house.owner,
            now=NOW,
        )
        for zero_rated in (True, False)
    )
    first, second = two.garments.order_by("position")
    choose(house, first, zero)
    choose(house, second, none)

    agreed = accept(house, two)

    assert [group["category"] for group in agreed.content["groups"]] == ["E", "Z"]
    assert (agreed.tax, agreed.payable) == (0, agreed.net)
    assert [group["category"] for group in two.invoices.get().content["groups"]] == ["E", "Z"]
    with pytest.raises(Refusal, match="has a rate of 0 %"):
        people.add_tax_rate(
            workshop=house.workshop,
            name="x",
            percent=Decimal(6),
            zero_rated=True,
            by=house.owner,
            now=NOW,
        )


@pytest.mark.parametrize(
    ("name", "percent", "field"),
    [("", "6", "name"), ("x", "100", "percent"), ("x", "-1", "percent"), ("children's clothes", "7", "name")],
)
def test_add_tax_rate_refuses_what_is_none(house, low, name, percent, field):
    with pytest.raises(Refusal) as refused:
        people.add_tax_rate(
            workshop=house.workshop, name=name, percent=Decimal(percent), by=house.owner, now=NOW
        )
    assert refused.value.field == field
