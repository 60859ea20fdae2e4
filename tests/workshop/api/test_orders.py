"""REST: taking an order, and how one is refused."""

from __future__ import annotations

import uuid

import pytest

from tests.workshop.factories import STYLE
from workshop.orders.models import Order


def order_of(house, **changes: object) -> dict[str, object]:
    wish = {
        "wearer": house.wearer.pk,
        "title": "Blue dress",
        "style": STYLE,
        "choices": {},
        "cloths": [{"role": "shell", "cloth": house.satin.pk}],
    }
    return {
        "client": house.client.pk,
        "due_on": "2026-05-30",
        "submission": str(uuid.uuid4()),
        "garments": [wish],
        **changes,
    }


def test_orders_takes_an_order_once(house, owner):
    body = order_of(house)

    first, again = owner.post("orders/", body), owner.post("orders/", body)

    assert (first.status_code, again.status_code) == (201, 201)
    assert first.json() == again.json()
    assert first.json()["garments"][0]["title"] == "Blue dress"
    assert Order.objects.count() == 1


def test_orders_names_the_field_that_is_wrong(house, owner):
    response = owner.post("orders/", order_of(house, due_on="soon", garments=[], submission="x"))

    assert response.status_code == 400
    assert sorted(response.json()) == ["due_on", "garments", "submission"]


def test_orders_refuses_in_words(house, owner):
    response = owner.post("orders/", order_of(house, due_on="2026-03-01"))

    assert (response.status_code, response.json()) == (
        409,
        {"detail": "That day is past; choose today or a later one.", "field": "due_on"},
    )


def test_orders_refuses_a_stranger_from_next_door(house, owner, next_door):
    wish = {**order_of(house)["garments"][0], "wearer": next_door.wearer.pk}
    cloth = {**order_of(house)["garments"][0], "cloths": [{"role": "shell", "cloth": next_door.satin.pk}]}

    answers = [
        owner.post("orders/", order_of(house, client=next_door.client.pk)),
        owner.post("orders/", order_of(house, garments=[wish])),
        owner.post("orders/", order_of(house, garments=[cloth])),
    ]

    assert [(answer.status_code, answer.json()["field"]) for answer in answers] == [
        (409, "client"),
        (409, "wearer"),
        (409, "cloth"),
    ]
    assert Order.objects.count() == 0


@pytest.mark.parametrize(
    "choices",
    [
        {"bodice_ease": [1, 2]},
        {"unheard_of": 3},
        {"skirt_length": "nan"},
        {"skirt_length": -5},
        {"skirt_length": 10**400},
        {"skirt_length": {"mm": 5}},
        {"skirt_length": None},
        {"collar": "\x00"},
    ],
)
def test_orders_answers_odd_choices_with_words(house, owner, choices):
    wish = {**order_of(house)["garments"][0], "choices": choices}

    response = owner.post("orders/", order_of(house, garments=[wish]))

    assert response.status_code == 409, response.content
    assert response.json()["detail"]


@pytest.mark.parametrize("body", ["", "[]", "{", '{"client": NaN}', "null", '"x"', "[" * 2000])
def test_orders_answers_odd_bodies_with_400(owner, body):
    response = owner.client.post("/api/orders/", body, content_type="application/json")

    assert response.status_code == 400


@pytest.mark.parametrize("number", [10**30, -1, 0])
def test_orders_answers_odd_keys_with_words(house, owner, number):
    response = owner.post("orders/", order_of(house, client=number))

    assert response.status_code in {400, 409}
    assert Order.objects.count() == 0


def test_an_address_with_a_huge_key_is_nothing(owner):
    asked = [f"{name}/{10**30}/" for name in ("orders", "garments", "drafts", "quotes", "fittings", "jobs")]

    assert [owner.get(address).status_code for address in asked] == [404] * 6
