from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.errors import BadAmount
from costing.rules.money import (
    UnknownCurrency,
    format_money,
    minor_units,
    next_step,
    read_amount,
    rounded,
    shared_out,
)

EURO = Decimal("0.01")


@pytest.mark.parametrize(
    ("amount", "currency", "expected"),
    [
        ("0.005", "EUR", "0.01"),
        ("-0.005", "EUR", "-0.01"),
        ("0.00499", "EUR", "0.00"),
        ("2.5", "JPY", "3"),
        ("0.0005", "KWD", "0.001"),
        ("-0.001", "EUR", "0.00"),
    ],
)
def test_rounded_takes_halves_away_from_zero(amount, currency, expected):
    assert str(rounded(Decimal(amount), currency)) == expected


@pytest.mark.parametrize("amount", ["NaN", "Infinity", "-Infinity", "1e11"])
def test_rounded_refuses_what_is_no_sum_of_money(amount):
    with pytest.raises(BadAmount):
        rounded(Decimal(amount), "EUR")


@pytest.mark.parametrize("code", ["", "eur", "EURO", "XAU", "ZZZ"])
def test_minor_units_refuses_a_code_that_is_no_currency(code):
    with pytest.raises(UnknownCurrency) as caught:
        minor_units(code)

    assert caught.value.field == "currency"


@pytest.mark.parametrize(
    ("text", "currency", "expected"),
    [
        ("1250", "EUR", "1250.00"),
        (" 1,250.50 ", "EUR", "1250.50"),
        ("1 250,50", "EUR", "1250.50"),
        ("1.250", "EUR", "1250.00"),
        ("1.250,5", "EUR", "1250.50"),
        ("12,5", "EUR", "12.50"),
        ("1,23,456.50", "INR", "123456.50"),
        ("1,250,000", "KWD", "1250000.000"),
        ("1.250", "KWD", "1.250"),
        ("185 000", "XOF", "185000"),
        (Decimal("1250.000"), "EUR", "1250.00"),
    ],
)
def test_read_amount_reads_what_people_write(text, currency, expected):
    assert str(read_amount(text, currency)) == expected


@pytest.mark.parametrize(
    "text",
    [
        "", "abc", "-1", "NaN", "inf", "0.125", "1e12", "1e2", "1_000", "99999999999999", "1,2,3.4.5",
        "1,2,3", "1.2.3", "12.50.3", "1,2.50", "1234,567",
    ],
)  # fmt: skip
def test_read_amount_refuses_what_is_no_amount(text):
    with pytest.raises(BadAmount) as caught:
        read_amount(text, "EUR", field="price")

    assert caught.value.field == "price"


def test_read_amount_refuses_a_fraction_of_a_franc():
    with pytest.raises(BadAmount, match="XOF has 0 decimals"):
        read_amount("100.5", "XOF")


@pytest.mark.parametrize(
    ("amount", "currency", "expected"),
    [
        ("1234.5", "EUR", "EUR\u00a01,234.50"),
        ("-3", "USD", "USD\u00a0\u22123.00"),
        ("185000", "XOF", "XOF\u00a0185,000"),
        ("12.3456", "KWD", "KWD\u00a012.346"),
    ],
)
def test_format_money_shows_the_decimals_of_the_currency(amount, currency, expected):
    assert format_money(Decimal(amount), currency) == expected


def test_format_money_shows_a_sum_greater_than_any_amount_may_be():
    with pytest.raises(BadAmount):
        rounded(Decimal("1e11"), "EUR")

    assert format_money(Decimal("499999999995"), "EUR") == "EUR\u00a0499,999,999,995.00"
    with pytest.raises(BadAmount):
        format_money(Decimal("NaN"), "EUR")


def test_format_money_takes_other_marks():
    written = format_money(
        Decimal("1234567.5"), "EUR", with_code=False, decimal_mark=",", thousands_mark="\u202f"
    )

    assert written == "1\u202f234\u202f567,50"


@pytest.mark.parametrize(
    ("amount", "step", "expected"), [("101", "5", "105"), ("105", "5", "105"), ("7", "0", "7")]
)
def test_next_step_goes_up_to_a_multiple(amount, step, expected):
    assert next_step(Decimal(amount), Decimal(step)) == Decimal(expected)


def test_shared_out_gives_a_third_each_to_the_minor_unit():
    parts = shared_out(Decimal("100.00"), [Decimal(1)] * 3, "EUR")

    assert parts == (Decimal("33.33"), Decimal("33.34"), Decimal("33.33"))


@given(
    cents=st.integers(min_value=-(10**9), max_value=10**9),
    weights=st.lists(st.integers(min_value=0, max_value=10**6), min_size=1, max_size=9).filter(any),
)
def test_shared_out_sums_to_the_whole_and_strays_by_a_minor_unit_at_most(cents, weights):
    amount = cents * EURO

    parts = shared_out(amount, [Decimal(weight) for weight in weights], "EUR")

    assert sum(parts) == amount
    assert all(
        abs(part - amount * weight / sum(weights)) <= EURO
        for part, weight in zip(parts, weights, strict=True)
    )
