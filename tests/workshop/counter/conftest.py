from __future__ import annotations

import pytest
from django.test import Client

from tests.workshop import factories
from tests.workshop.surfaces import clock, files, house, next_door, plain_hashes
from workshop.orders.models import PrivateLink

__all__ = ["clock", "files", "house", "next_door", "plain_hashes"]


@pytest.fixture
def link(house) -> PrivateLink:
    """The link of an order whose quote is out."""
    return factories.quoted_order(house)


@pytest.fixture
def quote(link):
    return link.order.quotes.get()


@pytest.fixture
def visitor() -> Client:
    return Client()


@pytest.fixture
def accepted(house) -> PrivateLink:
    return factories.accepted_order(house)


@pytest.fixture
def garment(accepted):
    return accepted.order.garments.get()
