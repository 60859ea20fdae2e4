from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.errors import BadAmount
from costing.rules.crediting import SLACK, Credited, Left, MoreThanLeft, all_left, part_left
from costing.rules.money import minor_unit
from costing.rules.tax import TaxedLine, TaxKey, totals

SIXTEEN = TaxKey("S", Decimal(16))
LOW = TaxKey("S", Decimal(7))
DRESSES = [
    Left(Decimal("362.07"), SIXTEEN),
    Left(Decimal("206.90"), SIXTEEN),
    Left(Decimal("-284.48"), SIXTEEN),
]
"""A final invoice of 330.00: two dresses for 660.00, less the deposit invoice of 330.00."""
ASKED = Decimal("330.00")


def test_all_left_takes_every_line_and_comes_to_what_is_left():
    rows, made = all_left(DRESSES, ASKED, "EUR")

    assert [row.net for row in rows] == [line.net for line in DRESSES]
    assert (made.net, made.tax, made.rounding, made.payable) == (
        Decimal("284.49"),
        Decimal("45.52"),
        Decimal("-0.01"),
        Decimal("330.00"),
    )


def test_part_left_of_a_whole_line_takes_its_net():
    """206.90 at 16 % is 240.00."""
    rows, made = part_left(DRESSES, ASKED, {1: Decimal("240.00")}, "EUR")

    assert rows == [Credited(1, Decimal("206.90"), SIXTEEN)]
    assert (made.net, made.tax, made.rounding, made.payable) == (
        Decimal("206.90"),
        Decimal("33.10"),
        0,
        Decimal("240.00"),
    )


def test_part_left_that_uses_up_the_invoice_leaves_nothing_of_its_nets():
    """330.00 of the first dress is 284.48 without tax; 284.49 are left, so the part takes 284.49."""
    rows, made = part_left(DRESSES, ASKED, {0: ASKED}, "EUR")

    assert rows == [Credited(0, Decimal("284.49"), SIXTEEN)]
    assert made.payable == ASKED


@pytest.mark.parametrize(
    ("parts", "error", "field"),
    [
        ({}, BadAmount, "parts"),
        ({0: Decimal(0)}, BadAmount, "part-0"),
        ({0: Decimal("-1")}, BadAmount, "part-0"),
        ({0: Decimal("NaN")}, BadAmount, "part-0"),
        ({0: Decimal("0.001")}, BadAmount, "part-0"),
        ({3: Decimal(1)}, BadAmount, "parts"),
        ({-1: Decimal(1)}, BadAmount, "parts"),
        ({1: Decimal("240.01")}, MoreThanLeft, "part-1"),
        ({2: Decimal(1)}, MoreThanLeft, "part-2"),
        ({0: Decimal("330.01")}, MoreThanLeft, "parts"),
        ({0: Decimal("200.00"), 1: Decimal("130.01")}, MoreThanLeft, "parts"),
    ],
)
def test_part_left_refuses_at_the_field(parts, error, field):
    with pytest.raises(error) as refused:
        part_left(DRESSES, ASKED, parts, "EUR")

    assert refused.value.field == field


def test_part_left_refuses_more_than_one_tax_rate_has_left():
    """116.00 under 16 % were asked for, and 53.50 taken off under 7 %: 62.50 of the 16 % can be paid back."""
    lines = [Left(Decimal("100.00"), SIXTEEN), Left(Decimal("-50.00"), LOW)]

    with pytest.raises(MoreThanLeft, match="Take back all that is left"):
        part_left(lines, Decimal("62.50"), {0: Decimal("62.50")}, "EUR")


@settings(max_examples=200, deadline=None)
@given(data=st.data())
def test_parts_and_the_rest_always_come_to_the_invoice(data):
    """Whatever is taken back in turn, nets and payables of all notes are those of the invoice.

    A part's net amount is rounded, so its note is a unit off at most; the last one makes up for all before
    it, for each line and for the invoice's own rounding.
    """
    currency = data.draw(st.sampled_from(["EUR", "JPY", "KWD"]))
    unit = minor_unit(currency)
    key = TaxKey.of(Decimal(data.draw(st.sampled_from(["0", "5.5", "16", "21", "27"]))))
    counts = data.draw(st.lists(st.integers(2, 10**6), min_size=1, max_size=4))
    lines = [Left(count * unit, key) for count in counts]
    asked = totals([TaxedLine(line.net, key) for line in lines], currency=currency).gross
    asked += data.draw(st.sampled_from([-1, 0, 1])) * unit
    nets, left = [line.net for line in lines], asked
    taken_net = taken = Decimal(0)
    notes = 0

    while left > 0:
        notes += 1
        rest = [Left(net, key) for net in nets]
        place = data.draw(st.integers(0, len(nets) - 1))
        share = data.draw(st.integers(1, 100))
        amount = (min(rest[place].gross(currency), left) * share / 100).quantize(unit)
        whole = amount <= 0 or data.draw(st.booleans())
        rows, made = (
            all_left(rest, left, currency) if whole else part_left(rest, left, {place: amount}, currency)
        )
        assert made.payable in ({left} if whole else {amount, left})
        assert whole or 0 <= made.payable - amount <= SLACK * unit
        assert abs(made.rounding) <= (notes + len(counts) + 1 if made.payable == left else 1) * unit
        for row in rows:
            nets[row.position] -= row.net
        left -= made.payable
        taken += made.payable
        taken_net += made.net

    assert (taken, taken_net) == (asked, sum(line.net for line in lines))
    assert set(nets) == {0}
