"""REST: who may come in, and what each may see and decide."""

from __future__ import annotations

import pytest
from django.test import Client

from tests.workshop import factories
from tests.workshop.api.caller import LISTS, Caller
from tests.workshop.orders import house as built
from workshop.people.models import Staff


@pytest.mark.parametrize("name", LISTS)
def test_a_list_asks_for_a_token(name):
    response = Client().get(f"/api/{name}/")

    assert response.status_code == 401
    assert response.json() == {"detail": "Authentication credentials were not provided."}


def test_token_refuses_a_wrong_password(house):
    sent = {"username": house.owner.user.username, "password": "guessed"}

    assert Client().post("/api/token/", sent, content_type="application/json").status_code == 400


def test_token_waits_after_twenty_tries(house):
    sent = {"username": house.owner.user.username, "password": "guessed"}
    answers = [Client().post("/api/token/", sent, content_type="application/json") for _ in range(21)]

    assert [answer.status_code for answer in answers] == [400] * 20 + [429]


def test_a_token_ends_with_the_work(house, owner):
    Staff.objects.filter(pk=house.owner.pk).update(active=False)

    assert owner.get("orders/").status_code == 403


def test_a_session_serves_too(house):
    client = Client()
    client.force_login(house.owner.user)

    assert client.get("/api/orders/").status_code == 200


def test_nothing_of_another_workshop_is_there(house, owner, next_door):
    draft = factories.drafted_garment(next_door)
    garment, order = draft.garment, draft.garment.order
    fitting = built.hold(next_door, garment)
    quote = built.quote(next_door, order)

    asked = [
        f"garments/{garment.pk}/",
        f"drafts/{draft.pk}/",
        f"quotes/{quote.pk}/",
        f"fittings/{fitting.pk}/",
    ]
    asked += [f"orders/{order.number}/", f"garments/{garment.pk}/fitting-times/"]
    sent = [f"garments/{garment.pk}/draft/", f"quotes/{quote.pk}/send/"]
    sent += [f"fittings/{fitting.pk}/{deed}/" for deed in ("cancel", "hold")]
    lists = [
        owner.get(f"{name}/").json()["count"] for name in ("orders", "garments", "quotes", "fittings", "jobs")
    ]

    assert [owner.get(address).status_code for address in asked] == [404] * 6
    assert [owner.post(address).status_code for address in sent] == [404] * 4
    assert lists == [0] * 5
    assert Caller(next_door.owner).get("garments/").json()["count"] == 1


def test_an_apprentice_reads_initials_and_decides_nothing(house, apprentice):
    garment = factories.measured_garment(house)
    number = garment.order.number

    assert apprentice.get(f"garments/{garment.pk}/").json()["wearer"] == "MQ"
    assert apprentice.get(f"orders/{number}/").json()["client"] == "MQ"
    assert apprentice.get("quotes/").status_code == 403
    refused = apprentice.post(f"garments/{garment.pk}/draft/")
    assert (refused.status_code, refused.json()) == (403, {"detail": "Only the owner can do this."})
    assert not garment.drafts.exists()
