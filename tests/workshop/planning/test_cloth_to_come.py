"""Cloth that is still to be bought holds the cut until it is here, were it ordered now."""

from __future__ import annotations

import pytest
from django.utils import timezone

from tests.workshop.desk import made
from tests.workshop.orders import house as built
from tests.workshop.orders.house import House
from workshop.orders.models import Garment
from workshop.planning.services import sync_tasks
from workshop.planning.services.floor import read_floor

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
