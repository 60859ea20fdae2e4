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

    reckoned = answer.context["what_if"]
    assert reckoned.each.quantity == 3
    assert reckoned.guessed == ("shell",)
    for words in (
        "As held",
        "each of 3",
        "All 3",
        "Guessed from the pieces’ area",
        "Nothing of this is kept.",
    ):
        assert words in answer.text
    assert list(Estimate.objects.values()) == before


def test_estimate_asks_before_it_reckons_another_way(owner, address):
    answer = owner.get(address)

    assert answer.context["what_if"] is None
    assert "Reckon it this way" in answer.text
    assert "As held" not in answer.text


def test_what_if_with_nothing_filled_in_is_the_estimate(owner, address):
    answer = owner.get(address, {"what": "if"})

    assert str(answer.context["what_if"].total) == answer.context["estimate"].content["total"]


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
    ],
)
def test_what_if_refuses_at_the_field(sent, field, owner, address):
    answer = owner.get(address, {"what": "if", **sent})

    assert answer.status_code == 200
    assert field in made.faults(answer, "what_if_form")
    assert answer.context["what_if"] is None


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
