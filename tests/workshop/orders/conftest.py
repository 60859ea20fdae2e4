from __future__ import annotations

from pathlib import Path

import pytest

from tests.workshop.orders.house import House, garment_of, open_house, take


@pytest.fixture(autouse=True)
def plain_hashes(settings) -> None:
    """Hiring somebody hashes a password, which is slow on purpose; not here."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def house(db, plain_hashes) -> House:
    return open_house()


@pytest.fixture
def order(house):
    return take(house)


@pytest.fixture
def garment(order):
    return garment_of(order)


@pytest.fixture(autouse=True)
def files(settings, tmp_path) -> Path:
    """Where documents are kept during a test."""
    settings.MEDIA_ROOT = tmp_path / "files"
    return settings.MEDIA_ROOT
