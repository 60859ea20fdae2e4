"""What a garment took, on its estimate's page."""

from __future__ import annotations

import pytest
from django.urls import reverse
from django.utils import timezone

from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.orders import services as orders
from workshop.orders.models import Garment
from workshop.orders.queries import cut_lengths
from workshop.planning.models import Task, TimeEntry


@pytest.fixture
def sewn(house) -> Garment:
    garment = made.to_cut(house)
    built.tick_all(house, garment)
    return orders.move_garment(garment=garment, to="sew", by=house.owner, now=timezone.now())


def time(house, garment: Garment, beyond: float) -> None:
    """Time the sewing, that many minutes above what was planned."""
    task = Task.objects.filter(garment=garment, group="sew").order_by("position").first()
    ended_at = timezone.now()
    started_at = ended_at - made.timedelta(minutes=task.minutes_planned + beyond)
    TimeEntry.objects.create(
        workshop=house.workshop, task=task, staff=house.apprentice, started_at=started_at, ended_at=ended_at
    )
    Task.objects.filter(pk=task.pk).update(started_at=started_at, done_at=ended_at)


def test_estimate_shows_what_it_took_once_something_is_timed(house, owner, sewn):
    address = reverse("desk:estimate", args=[sewn.pk])
    before = owner.get(address)
    time(house, sewn, 75)

    answer = owner.get(address)

    assert before.context["after"] is None
    assert "What the price should have been" not in before.text
    for words in ("Reckoned, and what it took", "+1 h 15 min", "over", "What the price should have been"):
        assert words in answer.text


def test_note_cut_is_kept_and_shown(house, owner, sewn):
    time(house, sewn, 0)
    form = {"cloth": house.satin.pk, "length": "4.5 m"}

    answer = owner.post(reverse("desk:note-cut", args=[sewn.pk]), form)

    assert answer.url == reverse("desk:estimate", args=[sewn.pk])
    assert made.told(answer) == ["Noted; the stock follows."]
    assert cut_lengths(sewn.pk)[house.satin.pk] == 4500
    assert "4.50 m" in owner.get(answer.url).text


@pytest.mark.parametrize(
    "changes",
    [{"length": ""}, {"length": "much"}, {"length": "-1"}, {"length": "900 m"}, {"cloth": "x"}, {"cloth": 0}],
)
def test_note_cut_says_why_it_is_refused(changes, house, owner, sewn):
    before = cut_lengths(sewn.pk)
    form = {"cloth": house.satin.pk, "length": "4 m", **changes}

    answer = owner.post(reverse("desk:note-cut", args=[sewn.pk]), form)

    assert len(made.told(answer)) == 1
    assert "Noted" not in made.told(answer)[0]
    assert cut_lengths(sewn.pk) == before


def test_estimate_shows_expected_and_cautious_minutes_once_tasks_are_listed(house, owner, sewn):
    time(house, sewn, 75)

    answer = owner.get(reverse("desk:estimate", args=[sewn.pk]))

    sewing = next(row for row in answer.context["minutes"].groups if row.title == "sew")
    assert sewing.correction.count == 1
    assert sewing.expected > sewing.standard
    for words in ("How long it will take", "Cautious", "1 task<"):
        assert words in answer.text
