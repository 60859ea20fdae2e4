from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.rules.statements import days_late, left_to_pay

AMOUNTS = st.integers(1, 10_000).map(lambda cents: Decimal(cents).scaleb(-2))
DUE = date(2026, 12, 9)


@pytest.mark.parametrize(
    ("paid", "left"),
    [("0", (300, 200)), ("100", (200, 200)), ("300", (0, 200)), ("450", (0, 50)), ("900", (0, 0)),
     ("-20", (300, 200))],
)  # fmt: skip
def test_left_to_pay_settles_the_oldest_first(paid, left):
    assert left_to_pay([Decimal(300), Decimal(200)], Decimal(paid)) == list(left)


@given(asked=st.lists(AMOUNTS, max_size=5), share=st.integers(0, 100))
def test_left_to_pay_and_what_was_paid_make_what_was_asked(asked, share):
    paid = sum(asked, Decimal(0)) * share / 100

    assert sum(left_to_pay(asked, paid), paid) == sum(asked, Decimal(0))


@pytest.mark.parametrize(("days", "late"), [(-3, 0), (0, 0), (1, 1), (40, 40)])
def test_days_late_counts_from_the_day_after(days, late):
    assert days_late(DUE, DUE + timedelta(days=days)) == late
