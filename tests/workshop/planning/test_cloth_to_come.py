"""Cloth that is not here holds the cut: what is to buy as though it were ordered now, what is on its way
until the day on which it is expected."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from tests.workshop.desk import made
from tests.workshop.orders import house as built
from tests.workshop.orders.house import House
from tests.workshop.surfaces import clock
from workshop.orders import services
from workshop.orders.models import Garment
from workshop.orders.queries.buying import cloth_to_buy
from workshop.planning.services import sync_tasks
from workshop.planning.services.floor import read_floor

__all__ = ["clock"]

DAY = 24 * 60


@pytest.fixture
def house(db) -> House:
    return made.open_house()


@pytest.fixture
def agreed(house) -> Garment:
    """Accepted, its tasks listed, none of its cloth bought."""
    garment = built.garment_of(made.accepted(house).order)
    sync_tasks(garment=garment, now=timezone.now())
    return garment


def days_until_cut(house: House) -> float:
    [order] = read_floor(house.workshop, timezone.now(), days_ahead=120).problem.orders
    return order.tasks[0].release / DAY


def comes_in(cloth, days: int) -> None:
    cloth.days_to_come = days
    cloth.save(update_fields=["days_to_come"])


def test_cloth_comes_in_the_workshops_usual_days(house, agreed):
    assert days_until_cut(house) == 5

    house.workshop.days_to_come = 8
    house.workshop.save(update_fields=["days_to_come"])

    assert days_until_cut(house) == 8


def test_the_cloth_that_comes_last_holds_the_cut(house, agreed):
    comes_in(house.interfacing, 2)
    comes_in(house.satin, 21)

    assert days_until_cut(house) == 21


def test_cloth_that_is_here_at_once_or_set_aside_holds_nothing(house, agreed):
    comes_in(house.satin, 21)
    comes_in(house.interfacing, 0)

    built.buy(house, house.satin, now=timezone.now())

    assert days_until_cut(house) == 0


def ordered(house, cloth, *, days=None, now=None):
    now = now or timezone.now()
    line = cloth_to_buy(house.workshop, cloth)
    return services.order_listed_cloth(
        workshop=house.workshop,
        cloth=cloth,
        shown_mm=line.amount,
        expected_on=None if days is None else house.workshop.day_of(now) + timedelta(days=days),
        by=house.owner,
        now=now,
    )


def day_of_cut(house: House, now) -> date:
    floor = read_floor(house.workshop, now, days_ahead=120)
    return house.workshop.day_of(floor.axis.instant(floor.problem.orders[0].tasks[0].release))


def test_cloth_on_its_way_holds_the_cut_until_the_day_on_which_it_is_expected(house, agreed):
    now, today = timezone.now(), house.workshop.day_of(timezone.now())
    built.buy(house, house.interfacing, now=now)
    parcel = ordered(house, house.satin, days=12)

    assert day_of_cut(house, now) == today + timedelta(days=12)
    # It is the day that stays, not so many days from each new plan.
    assert day_of_cut(house, now + timedelta(days=4)) == today + timedelta(days=12)
    # What is late is not reckoned to be here before tomorrow.
    assert day_of_cut(house, now + timedelta(days=14)) == today + timedelta(days=15)

    services.receive_parcel(parcel=parcel, by=house.owner, now=now)

    assert days_until_cut(house) == 0


def test_cloth_is_expected_after_its_usual_days_where_nobody_says_when(house, agreed):
    today = house.workshop.day_of(timezone.now())
    comes_in(house.satin, 9)

    assert ordered(house, house.satin).expected_on == today + timedelta(days=9)
    assert ordered(house, house.interfacing).expected_on == today + timedelta(days=5)


def test_a_parcel_that_is_given_up_is_to_buy_again(house, agreed):
    built.buy(house, house.interfacing, now=timezone.now())
    parcel = ordered(house, house.satin, days=30)

    services.give_up_parcel(parcel=parcel, by=house.owner, now=timezone.now())

    assert days_until_cut(house) == 5
