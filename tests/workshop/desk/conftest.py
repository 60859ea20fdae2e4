"""A house, the house next door, and the people of the first signed in."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.test import Client as Browser

from tests.workshop.desk import made
from tests.workshop.orders.house import House


@pytest.fixture(autouse=True)
def plain_hashes(settings) -> None:
    """Hiring somebody hashes a password, which is slow on purpose; not here."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def files(settings, tmp_path) -> Path:
    """Where documents are kept during a test."""
    settings.MEDIA_ROOT = tmp_path / "files"
    return settings.MEDIA_ROOT


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
