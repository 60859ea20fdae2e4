"""A small workshop in Lisbon: Ada owns it, Bo learns; open on weekdays from 9 to 13 and 14 to 18."""

from __future__ import annotations

import uuid
from datetime import UTC, date, datetime, time
from types import SimpleNamespace

import pytest
from django.contrib.auth import get_user_model

from workshop.orders.models import Garment, Order, Stage
from workshop.people.models import Client, OpeningHours, Role, Staff, Wearer, Workshop
from workshop.planning.models import Task

NOW = datetime(2025, 3, 24, 9, 0, tzinfo=UTC)
"""A Monday in winter time, so the wall clock shows 9:00; summer time begins on the Sunday after."""


@pytest.fixture
def now():
    return NOW


@pytest.fixture
def place(db):
    """The workshop and its people."""
    return make_place()


def make_place() -> SimpleNamespace:
    workshop = Workshop.objects.create(
        name="The Needle", time_zone="Europe/Lisbon", fitting_minutes=60, created_at=NOW, phone="555"
    )
    for weekday in range(5):
        OpeningHours.objects.create(workshop=workshop, weekday=weekday, opens_at=time(9), closes_at=time(13))
        OpeningHours.objects.create(workshop=workshop, weekday=weekday, opens_at=time(14), closes_at=time(18))
    ada = make_staff(workshop, "Ada", Role.OWNER, ["cut", "sew", "press", "fit", "alter"])
    bo = make_staff(workshop, "Bo", Role.APPRENTICE, ["prepare", "finish"])
    return SimpleNamespace(workshop=workshop, ada=ada, bo=bo)


def make_staff(workshop: Workshop, name: str, role: str, skills: list[str]) -> Staff:
    user = get_user_model().objects.create_user(username=f"{name}-{uuid.uuid4().hex[:8]}", password="x")
    return Staff.objects.create(workshop=workshop, user=user, name=name, role=role, skills=skills)


def make_garment(workshop, *, due_on=date(2025, 4, 4), stage=Stage.SEW, title="Blue dress") -> Garment:
    client = Client.objects.create(workshop=workshop, name="Clara", created_at=NOW)
    wearer = Wearer.objects.create(workshop=workshop, client=client, name="Clara")
    order = Order.objects.create(
        workshop=workshop,
        number=Order.objects.filter(workshop=workshop).count() + 1,
        client=client,
        due_on=due_on,
        created_at=NOW,
    )
    return Garment.objects.create(
        workshop=workshop,
        order=order,
        position=1,
        wearer=wearer,
        title=title,
        style="notched-collar-dress",
        stage=stage,
        stage_since_at=NOW,
    )


def make_task(garment, position, group, minutes, *, after_fitting=False, **fields) -> Task:
    step = {"name": group, "minutes": minutes, "why": "", "after_fitting": after_fitting}
    return Task.objects.create(
        workshop=garment.workshop,
        garment=garment,
        position=position,
        group=group,
        title=group.capitalize(),
        minutes_planned=minutes,
        operations=[step],
        **fields,
    )


@pytest.fixture
def garment(place):
    return make_garment(place.workshop)
