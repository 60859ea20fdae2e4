"""What delivered garments earned, by style."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.workshop.orders.house import accept, garment_of, open_house, take, wish
from workshop.orders import queries
from workshop.orders.models import Garment

pytestmark = pytest.mark.django_db


def deliver(*garments: Garment) -> None:
    Garment.objects.filter(pk__in=[garment.pk for garment in garments]).update(stage="delivered")


def test_profit_by_style_is_price_less_cost_of_what_was_delivered(house):
    order = take(house, wishes=[wish(house), wish(house, title="Second")])
    quote = accept(house, order)
    deliver(garment_of(order))
    first = queries.current_estimate(garment_of(order)).content

    (row,) = queries.profit_by_style(house.workshop)

    assert (row.title, row.garments) == ("Dress with notched collar and pleated skirt", 1)
    assert (row.price, row.cost) == (Decimal(first["net"]), Decimal(first["cost"]))
    assert row.price == Decimal(quote.content["garments"][0]["net"])
    assert row.profit == row.price - row.cost
    assert row.margin == row.profit / row.price


def test_profit_by_style_takes_the_price_of_the_very_garment(house):
    order = take(house, wishes=[wish(house), wish(house, title="Long", choices={"lining": "full"})])
    quote = accept(house, order)
    deliver(order.garments.get(position=2))

    (row,) = queries.profit_by_style(house.workshop)

    nets = [Decimal(garment["net"]) for garment in quote.content["garments"]]
    assert row.price == nets[1] != nets[0]


def test_profit_by_style_leaves_out_what_has_no_price_and_other_workshops(house):
    next_door = open_house("Lantern")
    deliver(garment_of(take(house)))
    order = take(next_door)
    accept(next_door, order)
    deliver(garment_of(order))

    assert queries.profit_by_style(house.workshop) == []
    assert len(queries.profit_by_style(next_door.workshop)) == 1


def test_profit_by_style_takes_three_queries_at_one_garment_and_at_three(house, django_assert_num_queries):
    for count in (1, 3):
        while Garment.objects.filter(stage="delivered").count() < count:
            order = take(house)
            accept(house, order)
            deliver(garment_of(order))
        with django_assert_num_queries(3):
            (row,) = queries.profit_by_style(house.workshop)
        assert row.garments == count
