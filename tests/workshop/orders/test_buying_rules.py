"""What is to buy, worked by hand."""

from __future__ import annotations

from datetime import date

import pytest

from workshop.orders.rules.buying import Want, amount_to_buy, shared_out

SOON, LATER = date(2026, 4, 1), date(2026, 5, 1)
ANNA, BEA, CARA = Want((1,), 1200.0, LATER), Want((2,), 2000.0, SOON), Want((3,), 900.0, LATER)


def test_shared_out_gives_what_lies_free_to_the_first_that_it_is_enough_for():
    share = shared_out([ANNA, BEA, CARA], lengths=[2100.0])

    assert share.served == (BEA,)
    assert share.to_buy == (ANNA, CARA)
    assert share.needed_on == LATER


def test_shared_out_joins_no_remnant_to_what_is_bought():
    """1.9 m lie there: too short for Bea's 2 m, enough for Anna's 1.2 m; Bea's 2 m are bought whole."""
    share = shared_out([ANNA, BEA], lengths=[1900.0])

    assert (share.served, share.to_buy) == ((ANNA,), (BEA,))


def test_shared_out_joins_no_two_remnants_and_takes_the_shortest_that_is_long_enough():
    """Bea's 2 m come out of neither remnant; Anna's 1.2 m from that of 1.3 m, Cara's 0.9 m from the other."""
    share = shared_out([ANNA, BEA, CARA], lengths=[1900.0, 1300.0])

    assert (share.served, share.to_buy) == ((ANNA, CARA), (BEA,))
    assert shared_out([ANNA, Want((4,), 1800.0, LATER)], lengths=[1900.0, 1300.0]).to_buy == ()


def test_shared_out_of_nothing():
    assert shared_out([], lengths=[500.0]).needed_on is None
    assert shared_out([ANNA], lengths=[]).to_buy == (ANNA,)


@pytest.mark.parametrize(
    ("step", "bought"),
    [(100.0, 3200.0), (500.0, 3500.0), (114.3, 3200.4), (228.6, 3200.4), (914.4, 3657.6), (1.0, 3200.0)],
)
def test_amount_to_buy_is_what_the_seller_cuts(step, bought):
    """1.2 m and 2 m; an eighth of a yard is 114.3 mm, and 28 of them are 3200.4 mm."""
    assert amount_to_buy([ANNA, BEA], step) == pytest.approx(bought, abs=1e-6)


def test_amount_to_buy_adds_no_step_for_the_last_bit_of_a_float():
    yards = [Want((1,), 914.4, SOON), Want((2,), 0.1 * 3 * 914.4 / 0.3, SOON)]

    assert amount_to_buy(yards, 114.3) == pytest.approx(1828.8)
