from __future__ import annotations

from decimal import Decimal

import pytest

from costing.errors import BadAmount
from costing.rules.materials import ClothNeed, bought_mm, cloth_cost, metres


@pytest.mark.parametrize(
    ("length", "increment", "expected"),
    [
        (2310, 100, 2400),
        (2400, 100, 2400),
        (2400.0000001, 100, 2400),
        (2400.2, 0, 2401),
        (1, 914.4, 915),
        (0, 100, 0),
    ],
)
def test_bought_mm_goes_up_to_what_the_shop_cuts(length, increment, expected):
    assert bought_mm(length, increment) == expected


@pytest.mark.parametrize("length", [-1, float("nan"), float("inf"), 2_000_000])
def test_bought_mm_refuses_what_is_no_length(length):
    with pytest.raises(BadAmount) as caught:
        bought_mm(length, 100)

    assert caught.value.field == "length_mm"


@pytest.mark.parametrize("increment", [-1, float("nan")])
def test_bought_mm_refuses_what_is_no_step(increment):
    with pytest.raises(BadAmount) as caught:
        bought_mm(1000, increment)

    assert caught.value.field == "increment_mm"


def test_metres_are_exact_to_the_millimetre():
    assert metres(2310.0) == Decimal("2.310")


def test_cloth_cost_is_rounded_once():
    assert cloth_cost(ClothNeed("shell", "satin", 2333, Decimal("9.99"), 10), "EUR") == Decimal("23.38")
