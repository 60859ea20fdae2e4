"""What if, on the estimate's page."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from costing import services as costing
from costing.models import Estimate
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.orders.models import Garment


@pytest.fixture
def address(house, owner) -> str:
    garment = made.drafted(house).garment
    built.set_prices(house)
    address = reverse("desk:estimate", args=[garment.pk])
    owner.post(address)
    return address


def add_cloth(house, name: str, use: str = "shell"):
    return costing.add_cloth(
        workshop=house.workshop, today=built.TODAY, use=use, name=name, width_mm=1400.0,
        price_per_metre=Decimal(60),
    )  # fmt: skip


def test_what_if_stands_beside_the_held_estimate_and_says_what_is_guessed(house, owner, address):
    silk = add_cloth(house, "Silk")
    before = list(Estimate.objects.values())

    answer = owner.get(address, {"what": "if", "shell": silk.pk, "quantity": 3, "learning": "90"})

    held, way = answer.context["ways"]
    assert way.reckoned.each.quantity == 3
    assert way.reckoned.guessed == ("shell",)
    assert (held.words, way.words) == ("As it is", "Silk; 3 of the same")
    assert way.promise.likely_on >= held.promise.likely_on
    for words in ("Can be promised for", "guessed from the pieces’ area", "Nothing of this is kept."):
        assert words in answer.text
    assert list(Estimate.objects.values()) == before


def test_estimate_asks_before_it_reckons_another_way(owner, address):
    answer = owner.get(address)

    assert answer.context["ways"] == []
    assert "Reckon it this way" in answer.text
    assert "As it is" not in answer.text


def test_what_if_with_nothing_filled_in_is_the_estimate(owner, address):
    answer = owner.get(address, {"what": "if"})

    for way in answer.context["ways"]:
        assert str(way.reckoned.total) == answer.context["estimate"].content["total"]


def test_ways_stand_side_by_side_the_oldest_given_up(owner, address):
    beside: list[str] = []
    for pleats in (2, 3, 4, 5):
        answer = owner.get(address, {"what": "if", "pleats": pleats, "beside": beside})
        beside = [way.query for way in answer.context["ways_asked"]]

    words = [way.words for way in answer.context["ways"]]
    assert words == ["As it is", "pleats: 3", "pleats: 4", "pleats: 5"]
    assert all(way.promise for way in answer.context["ways"])


@pytest.mark.parametrize("kept", ["shell=999999", "pleats=99", "\x00", "x" * 5000, "width=NaN", "%%%"])
def test_a_way_that_was_kept_and_makes_no_sense_any_more_is_left_out(kept, owner, address):
    answer = owner.get(address, {"what": "if", "pleats": 4, "beside": [kept, "pleats=5"]})

    words = [way.words for way in answer.context["ways"]]
    assert answer.status_code == 200
    assert words[-2:] == ["pleats: 5", "pleats: 4"]


def test_a_sooner_day_costs_a_rush_and_is_kept_less_often(owner, address, house):
    due_on = Garment.objects.get().order.due_on
    soon = made.timezone.now().date() + made.timedelta(days=2)

    answer = owner.get(address, {"what": "if", "due_on": soon.isoformat()})

    held, way = answer.context["ways"]
    assert way.reckoned.total > held.reckoned.total
    assert way.promise.chance < held.promise.chance
    assert (held.promise.wished_on, way.promise.wished_on) == (due_on, soon)
    assert way.promise.likely_on == held.promise.likely_on


def test_no_day_is_told_once_the_garment_is_begun(owner, address):
    Garment.objects.update(stage="sew")

    answer = owner.get(address, {"what": "if", "pleats": 4})

    assert [way.promise for way in answer.context["ways"]] == [None, None]
    assert "not told" in answer.text


@pytest.mark.parametrize(
    ("sent", "field"),
    [
        ({"shell": "x"}, "shell"),
        ({"shell": "999999"}, "shell"),
        ({"width": "broad"}, "width"),
        ({"width": "a\x00b"}, "width"),
        ({"width": "1 mm"}, "width"),
        ({"lining": "fur"}, "lining"),
        ({"quantity": "13"}, "quantity"),
        ({"quantity": "-1"}, "quantity"),
        ({"learning": "20"}, "learning"),
        ({"learning": "NaN"}, "learning"),
        ({"learning": "101"}, "learning"),
        ({"pleats": "99"}, "pleats"),
        ({"pleats": "NaN"}, "pleats"),
        ({"due_on": "2001-01-01"}, "due_on"),
        ({"due_on": "9999-12-31"}, "due_on"),
        ({"due_on": "soon"}, "due_on"),
        ({"rush": "-1"}, "rush"),
        ({"rush": "NaN"}, "rush"),
    ],
)
def test_what_if_refuses_at_the_field(sent, field, owner, address):
    answer = owner.get(address, {"what": "if", **sent})

    assert answer.status_code == 200
    assert field in made.faults(answer, "what_if_form")
    assert answer.context["ways"] == []


def test_what_if_offers_no_cloth_of_another_workshop(owner, address, next_door):
    answer = owner.get(address, {"what": "if", "shell": next_door.satin.pk})

    assert "shell" in made.faults(answer, "what_if_form")


def test_what_if_asks_the_same_questions_at_one_cloth_and_at_three(house, owner, address):
    silk = add_cloth(house, "Silk")
    sent = {"what": "if", "shell": silk.pk}
    owner.get(address, sent)
    with CaptureQueriesContext(connection) as at_one:
        owner.get(address, sent)
    for number in range(2):
        add_cloth(house, f"Wool {number}")

    with CaptureQueriesContext(connection) as at_three:
        owner.get(address, sent)

    assert len(at_three) == len(at_one)


def test_ways_side_by_side_ask_one_floor(owner, address):
    """One way more costs its own reckoning; the workshop's floor is not read again for it."""

    def floor_reads(**more) -> int:
        with CaptureQueriesContext(connection) as asked:
            owner.get(address, {"what": "if", "pleats": 4, **more})
        return sum('FROM "people_openinghours"' in row["sql"] for row in asked)

    assert floor_reads() == floor_reads(beside=["pleats=5", "pleats=2"]) == 1
