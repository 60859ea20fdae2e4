"""Fixtures of the four surfaces; each surface's conftest takes them in."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.test import Client as Browser

from tests.workshop import surfaces
from tests.workshop.orders.house import House

__all__ = ["apprentice", "files", "house", "next_door", "owner", "plain_hashes", "visitor"]


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
    return surfaces.open_house()


@pytest.fixture
def next_door(house) -> House:
    return surfaces.open_house("Lantern")


@pytest.fixture
def owner(house) -> Browser:
    return surfaces.signed_in(house.owner)


@pytest.fixture
def apprentice(house) -> Browser:
    return surfaces.signed_in(house.apprentice)


@pytest.fixture
def visitor() -> Browser:
    return Browser()
