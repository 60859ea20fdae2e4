"""What a visitor is told at the door when something is wrong with what was sent."""

from __future__ import annotations

import pytest
from django.test import Client

pytestmark = pytest.mark.django_db


def test_a_form_without_its_mark_is_told_to_be_sent_again():
    browser = Client(enforce_csrf_checks=True)

    answer = browser.post("/sign-in/", {"username": "maren", "password": "x"})

    assert answer.status_code == 403
    assert "Go back, load it again and send it once more." in answer.content.decode()


def test_a_request_that_cannot_be_read_gets_a_page_of_ours():
    answer = Client().get("/sign-in/", headers={"host": "bad host"})

    assert answer.status_code == 400
    assert "<h1>Not understood</h1>" in answer.content.decode()


def test_an_address_that_shows_nothing_gets_a_page_of_ours():
    answer = Client().get("/no/such/page/")

    assert answer.status_code == 404
    assert "<h1>Nothing here</h1>" in answer.content.decode()


def test_signing_out_by_its_address_gets_a_page_of_ours():
    answer = Client().get("/sign-out/")

    assert (answer.status_code, answer["Allow"]) == (405, "POST, OPTIONS")
    assert "<h1>Nothing to open</h1>" in answer.content.decode()
