"""A house, the house next door, and the people of the first signed in."""

from __future__ import annotations

import pytest
from django.test import Client as Browser

from tests.workshop.desk import made
from tests.workshop.orders.house import House
from tests.workshop.surfaces import clock, files, plain_hashes

__all__ = ["clock", "files", "plain_hashes"]


@pytest.fixture
def house(db, plain_hashes) -> House:
    return made.open_house()


@pytest.fixture
def next_door(house) -> House:
    return made.open_house("Lantern")


@pytest.fixture
def owner(house) -> Browser:
    return made.signed_in(house.owner)


@pytest.fixture
def apprentice(house) -> Browser:
    return made.signed_in(house.apprentice)


@pytest.fixture
def visitor() -> Browser:
    return Browser()
