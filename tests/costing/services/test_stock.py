from __future__ import annotations

from decimal import Decimal

import pytest

from costing.errors import BadAmount
from costing.models import StockMove
from costing.queries import lengths_of, reserved_for, stock_of
from costing.services import (
    NotInStock,
    add_cloth,
    buy_cloth,
    cut_cloth,
    release_cloth,
    reserve_cloth,
    return_cloth,
    waste_cloth,
)
from tests.costing.papers import NOW, TODAY, make_garment, make_order


@pytest.fixture
def satin(workshop):
    return add_cloth(
        workshop=workshop,
        today=TODAY,
        use="shell",
        name="Duchess satin",
        width_mm=1400.0,
        price_per_metre=Decimal("18.50"),
    )


@pytest.fixture
def dress(order):
    return make_garment(order)


def shelf(cloth):
    stock = stock_of([cloth.pk])[cloth.pk]
    return stock.on_shelf, stock.reserved, stock.free


def test_stock_moves_from_bought_to_cut(satin, dress):
    buy_cloth(cloth=satin, length_mm=5000, now=NOW)
    reserve_cloth(cloth=satin, length_mm=3000, garment_id=dress.pk, now=NOW)
    held = shelf(satin)
    cut_cloth(cloth=satin, length_mm=2800, garment_id=dress.pk, now=NOW)
    waste_cloth(cloth=satin, length_mm=200, now=NOW)
    return_cloth(cloth=satin, length_mm=100, now=NOW)

    assert held == (5000, 3000, 2000)
    assert shelf(satin) == (2100, 0, 2100)
    assert reserved_for(dress.pk) == {}


def test_reserve_cloth_says_how_much_is_lacking(satin, dress):
    buy_cloth(cloth=satin, length_mm=2000, now=NOW)

    with pytest.raises(NotInStock, match=r"0\.50 m of Duchess satin are lacking"):
        reserve_cloth(cloth=satin, length_mm=2500, garment_id=dress.pk, now=NOW)

    assert shelf(satin) == (2000, 0, 2000)


def test_reserved_cloth_cannot_be_promised_or_cut_for_another(satin, dress):
    other = make_garment(make_order(dress.workshop, number=2))
    buy_cloth(cloth=satin, length_mm=3000, now=NOW)
    reserve_cloth(cloth=satin, length_mm=2000, garment_id=dress.pk, now=NOW)

    with pytest.raises(NotInStock):
        reserve_cloth(cloth=satin, length_mm=1500, garment_id=other.pk, now=NOW)
    with pytest.raises(NotInStock, match=r"Only 1\.00 m"):
        cut_cloth(cloth=satin, length_mm=1500, garment_id=other.pk, now=NOW)
    with pytest.raises(NotInStock):
        waste_cloth(cloth=satin, length_mm=1500, now=NOW)

    assert shelf(satin) == (3000, 2000, 1000)


def test_cut_cloth_that_is_refused_leaves_what_was_set_aside(satin, dress):
    buy_cloth(cloth=satin, length_mm=3000, now=NOW)
    reserve_cloth(cloth=satin, length_mm=2000, garment_id=dress.pk, now=NOW)

    with pytest.raises(NotInStock):
        cut_cloth(cloth=satin, length_mm=3500, garment_id=dress.pk, now=NOW)

    assert shelf(satin) == (3000, 2000, 1000)


def test_a_slip_of_the_shears_never_leaves_less_than_nothing(satin, dress):
    buy_cloth(cloth=satin, length_mm=1000, now=NOW)

    cut_cloth(cloth=satin, length_mm=1000.4, garment_id=dress.pk, now=NOW)

    assert shelf(satin) == (0, 0, 0)


def test_release_cloth_frees_what_is_set_aside_once(satin, dress):
    buy_cloth(cloth=satin, length_mm=3000, now=NOW)
    reserve_cloth(cloth=satin, length_mm=2000, garment_id=dress.pk, now=NOW)

    release_cloth(garment_id=dress.pk, now=NOW)
    release_cloth(garment_id=dress.pk, now=NOW)

    assert shelf(satin) == (3000, 0, 3000)
    assert StockMove.objects.filter(kind="released").count() == 1


@pytest.mark.parametrize("length", [-1, float("nan"), float("inf")])
def test_no_length_is_set_aside_cut_or_thrown_away(satin, dress, length):
    buy_cloth(cloth=satin, length_mm=3000, now=NOW)
    of_dress = {"cloth": satin, "length_mm": length, "garment_id": dress.pk, "now": NOW}

    with pytest.raises(BadAmount):
        reserve_cloth(**of_dress)
    with pytest.raises(BadAmount):
        cut_cloth(**of_dress)
    with pytest.raises(BadAmount):
        waste_cloth(cloth=satin, length_mm=length, now=NOW)

    assert shelf(satin) == (3000, 0, 3000)


@pytest.mark.parametrize("length", [0, -1, float("nan"), float("inf"), 1e7])
def test_buy_cloth_refuses_what_is_no_length(satin, length):
    with pytest.raises(BadAmount) as caught:
        buy_cloth(cloth=satin, length_mm=length, now=NOW)

    assert caught.value.field == "length"
    assert StockMove.objects.count() == 0


def test_reserve_cloth_refuses_to_join_two_lengths(satin, dress):
    for length in (1200.0, 900.0):
        buy_cloth(cloth=satin, length_mm=length, now=NOW)

    with pytest.raises(
        NotInStock,
        match=r"^No length of Duchess satin is 1\.90 m long; the longest that lies free is 1\.20 m\.$",
    ):
        reserve_cloth(cloth=satin, length_mm=1900.0, garment_id=dress.pk, now=NOW)
    reserve_cloth(cloth=satin, length_mm=850.0, garment_id=dress.pk, now=NOW)

    assert [row.free for row in lengths_of([satin.pk])[satin.pk]] == [1200.0, 50.0]
