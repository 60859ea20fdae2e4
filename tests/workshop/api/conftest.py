from __future__ import annotations

import pytest
from django.core.cache import cache

from tests.workshop.api.caller import Caller
from tests.workshop.surfaces import clock, files, house, next_door, plain_hashes

__all__ = ["clock", "files", "house", "next_door", "plain_hashes"]


@pytest.fixture(autouse=True)
def nothing_counted(db) -> None:
    """The throttle counts in the cache; each test begins anew."""
    cache.clear()


@pytest.fixture
def owner(house) -> Caller:
    return Caller(house.owner)


@pytest.fixture
def apprentice(house) -> Caller:
    return Caller(house.apprentice)
