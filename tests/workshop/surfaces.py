"""What the tests of the three surfaces share: a house, a still clock, somebody who is signed in."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime
from html import unescape
from pathlib import Path

import pytest
import time_machine
from django.contrib.messages import get_messages

from tests.workshop.browsing import Browser
from tests.workshop.factories import NOW, House, make_house
from workshop.people.models import Staff


@pytest.fixture(autouse=True)
def plain_hashes(settings) -> None:
    """Hiring somebody hashes a password, which is slow on purpose; not here."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def files(settings, tmp_path) -> Path:
    """Where documents are kept during a test."""
    settings.MEDIA_ROOT = tmp_path / "files"
    return settings.MEDIA_ROOT


@pytest.fixture(autouse=True)
def clock() -> Iterator[time_machine.Coordinates]:
    """Pages read the clock: it stands at NOW; ``clock.move_to`` sets it."""
    with time_machine.travel(NOW, tick=False) as clock:
        yield clock


@pytest.fixture
def house(db, plain_hashes) -> House:
    return make_house()


@pytest.fixture
def next_door(db, plain_hashes) -> House:
    """Another workshop, of which nothing may be seen."""
    return make_house("Needle & Lantern")


def sign_in(staff: Staff) -> Browser:
    client = Browser()
    client.force_login(staff.user)
    return client


def told(response) -> list[str]:
    """The messages that the next page shows."""
    return [str(message) for message in get_messages(response.wsgi_request)]


def words(response) -> str:
    """The page without its markup, blanks joined: what a person reads."""
    text = re.sub(r"<(svg|head)\b.*?</\1>", " ", response.content.decode(), flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())


def at(moment: datetime) -> str:
    return moment.isoformat()
