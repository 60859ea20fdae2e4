"""Who calls the API in its tests, and the lists that it has."""

from __future__ import annotations

from typing import Any

from django.test import Client

from tests.workshop.factories import PASSWORD
from workshop.people.models import Staff

LISTS = ("orders", "garments", "quotes", "tax-rates", "fittings", "jobs")


class Caller:
    """Somebody with a token."""

    def __init__(self, staff: Staff) -> None:
        sent = {"username": staff.user.username, "password": PASSWORD}
        token = Client().post("/api/token/", sent, content_type="application/json").json()["token"]
        self.client = Client(headers={"Authorization": f"Token {token}"})

    def get(self, address: str) -> Any:
        return self.client.get(f"/api/{address}")

    def post(self, address: str, body: object = None) -> Any:
        return self.client.post(
            f"/api/{address}", {} if body is None else body, content_type="application/json"
        )
