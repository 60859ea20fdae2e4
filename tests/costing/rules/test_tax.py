from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.errors import BadAmount
from costing.rules.money import minor_unit
from costing.rules.tax import (
    Adjustment,
    TaxedLine,
    TaxGroup,
    TaxKey,
    TotalsDisagree,
    net_of,
    tax_on,
    totals,
    totals_to,
)

CURRENCIES = st.sampled_from(["EUR", "XOF", "KWD"])
RATES = st.sampled_from(["0", "5.5", "7", "16", "18", "19.25", "21", "25"]).map(
    lambda rate: TaxKey.of(Decimal(rate))
)


def test_taxkey_of_writes_rates_plainly():
    assert [str(TaxKey.of(Decimal(rate)).rate) for rate in ("20.00", "5.50", "0.00")] == ["20", "5.5", "0"]


@pytest.mark.parametrize("rate", ["-1", "101", "NaN"])
def test_taxkey_refuses_what_is_no_percentage(rate):
    with pytest.raises(BadAmount):
        TaxKey("S", Decimal(rate))


def test_totals_groups_by_rate_and_takes_off_what_is_prepaid():
    normal, low = TaxKey.of(Decimal(20)), TaxKey.of(Decimal("5.5"))

    made = totals(
        [
            TaxedLine(Decimal("100.00"), normal),
            TaxedLine(Decimal("40.00"), low),
            TaxedLine(Decimal("50.00"), normal),
        ],
        currency="EUR",
        adjustments=[Adjustment(Decimal("10.00"), normal), Adjustment(Decimal("5.00"), low, is_charge=True)],
        prepaid=Decimal("60.00"),
    )

    assert [(group.key.rate, group.net, group.tax) for group in made.groups] == [
        (Decimal("5.5"), Decimal("45.00"), Decimal("2.48")),
        (Decimal(20), Decimal("140.00"), Decimal("28.00")),
    ]
    assert (made.net, made.tax, made.gross, made.due) == (
        Decimal("185.00"),
        Decimal("30.48"),
        Decimal("215.48"),
        Decimal("155.48"),
    )


def test_totals_refuses_a_negative_allowance():
    with pytest.raises(BadAmount, match="other kind"):
        totals([], currency="EUR", adjustments=[Adjustment(Decimal(-1), TaxKey.of(Decimal(20)))])


@pytest.mark.parametrize(
    ("field", "rule"),
    [("net", "BR-CO-13"), ("tax", "BR-CO-14"), ("gross", "BR-CO-15"), ("due", "BR-CO-16")],
)
def test_totals_cannot_be_built_when_they_disagree(field, rule):
    made = totals([TaxedLine(Decimal("10.00"), TaxKey.of(Decimal(20)))], currency="EUR")

    with pytest.raises(TotalsDisagree, match=rule):
        replace(made, **{field: getattr(made, field) + Decimal("0.01")})


def test_taxgroup_cannot_be_built_with_another_tax():
    with pytest.raises(TotalsDisagree):
        TaxGroup(TaxKey.of(Decimal(21)), Decimal("3.06"), Decimal("0.63"), "EUR")


def test_net_of_a_gross_that_cannot_be_reached_strays_by_a_cent():
    net = net_of(Decimal("100.00"), Decimal(21), "EUR")

    assert net + tax_on(net, Decimal(21), "EUR") in {Decimal("99.99"), Decimal("100.01")}


@given(gross=st.integers(min_value=0, max_value=10**8), key=RATES, currency=CURRENCIES)
def test_net_of_comes_within_a_minor_unit(gross, key, currency):
    wished = gross * minor_unit(currency)

    net = net_of(wished, key.rate, currency)

    assert abs(net + tax_on(net, key.rate, currency) - wished) <= minor_unit(currency)


@given(
    lines=st.lists(st.tuples(st.integers(min_value=-(10**6), max_value=10**8), RATES), max_size=12),
    currency=CURRENCIES,
)
def test_totals_net_and_tax_make_gross_in_every_group_and_in_all(lines, currency):
    unit = minor_unit(currency)

    made = totals([TaxedLine(count * unit, key) for count, key in lines], currency=currency)

    assert made.gross == made.net + made.tax
    assert made.gross == sum(group.gross for group in made.groups)
    assert all(group.tax == tax_on(group.net, group.key.rate, currency) for group in made.groups)
    assert len({group.key for group in made.groups}) == len(made.groups)


def test_totals_to_an_agreed_sum_keeps_the_groups_and_rounds_the_rest():
    lines = [TaxedLine(Decimal("82.64"), TaxKey.of(Decimal(21)))]

    made = totals_to(Decimal("100.00"), lines, currency="EUR")

    assert made.groups == totals(lines, currency="EUR").groups
    assert (made.gross, made.rounding, made.payable, made.due) == (
        Decimal("99.99"),
        Decimal("0.01"),
        Decimal("100.00"),
        Decimal("100.00"),
    )
