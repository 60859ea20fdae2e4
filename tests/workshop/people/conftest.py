"""A workshop of two people, and a second one next door from which nothing may be seen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime

import pytest

from workshop.people import services
from workshop.people.models import Client, Role, Staff, Wearer, Workshop

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
TODAY = date(2026, 3, 2)
PASSWORD = "long-needle-77"
BODY = {"bust_girth": "92", "waist_girth": "74", "hip_girth": "99", "stature": "168"}


@dataclass(frozen=True)
class Room:
    workshop: Workshop
    owner: Staff
    apprentice: Staff
    client: Client
    wearer: Wearer


def open_room(name: str) -> Room:
    workshop = services.create_workshop(now=NOW, name=name, currency="EUR")
    owner, apprentice = (
        services.add_staff(
            workshop=workshop,
            name=person,
            username=f"{person}@{name}",
            password=PASSWORD,
            role=role,
            by=None,
            now=NOW,
        )
        for person, role in (("Fenna", Role.OWNER), ("Ilse", Role.APPRENTICE))
    )
    client = services.create_client(workshop=workshop, name="Marta Quist", by=owner, now=NOW)
    wearer = services.create_wearer(client=client, name="Marta Quist", by=owner, now=NOW)
    return Room(workshop, owner, apprentice, client, wearer)


@pytest.fixture(autouse=True)
def plain_hashes(settings) -> None:
    """Hiring somebody hashes a password, which is slow on purpose; not here."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture
def room(db, plain_hashes) -> Room:
    return open_room("tide")


@pytest.fixture
def next_door(db, plain_hashes) -> Room:
    return open_room("lantern")
