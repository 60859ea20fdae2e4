"""The customer accepts a quote or declines it."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.test import Client

from tests.workshop.counter.letters import letter
from tests.workshop.factories import NOW
from tests.workshop.surfaces import words
from workshop.orders import services as orders


def test_accept_notes_who_and_goes_back_to_the_letter(link, visitor):
    response = visitor.post(letter(link, "accept"), {"name": "Marta Quist", "version": "1"})

    quote = link.order.quotes.get()
    assert (response.status_code, response.headers["Location"]) == (302, letter(link))
    assert (quote.state, quote.answered_by, quote.answered_at) == ("accepted", "Marta Quist", NOW)
    assert link.order.invoices.count() == 1


def test_accept_twice_is_once(link, visitor):
    for name in ("Marta Quist", "Somebody else"):
        response = visitor.post(letter(link, "accept"), {"name": name, "version": "1"})

    assert response.status_code == 302
    assert link.order.quotes.get().answered_by == "Marta Quist"
    assert link.order.invoices.count() == 1


@pytest.mark.parametrize(
    ("typed", "fault"),
    [
        ({"name": "", "version": "1"}, "This field is required."),
        ({"name": "M" * 121, "version": "1"}, "at most 120 characters (it has 121)"),
        ({"name": "Marta"}, "Please open the letter again and answer the quote that it shows."),
        ({"name": "Marta", "version": "nan"}, "Please open the letter again"),
        ({"name": "Marta", "version": "9" * 40}, "Please open the letter again"),
        ({"name": "Mar\x00ta", "version": "1"}, "Null characters are not allowed."),
    ],
)
def test_accept_says_what_is_wrong(link, visitor, typed, fault):
    response = visitor.post(letter(link, "accept"), typed)

    assert response.status_code == 200
    assert fault in words(response)
    assert link.order.quotes.get().state == "sent"


def test_accept_keeps_what_was_typed(link, visitor):
    response = visitor.post(letter(link, "accept"), {"name": "M" * 121, "version": "1"})

    assert f'value="{"M" * 121}"' in response.content.decode()


def test_accept_of_an_older_version_shows_the_newer(house, link, visitor):
    newer = orders.prepare_quote(order=link.order, by=house.owner, now=NOW)
    orders.send_quote(quote=newer, by=house.owner, now=NOW)

    response = visitor.post(letter(link, "accept"), {"name": "Marta", "version": "1"}, follow=True)

    assert "We have sent a newer version of this quote" in words(response)
    assert '<input type="hidden" name="version" value="2"' in response.content.decode()
    assert sorted(link.order.quotes.values_list("version", "state")) == [(1, "superseded"), (2, "sent")]


def test_accept_is_refused_after_the_last_day(link, visitor, clock):
    clock.move_to(NOW + timedelta(days=22))

    response = visitor.post(letter(link, "accept"), {"name": "Marta", "version": "1"})

    assert "This quote was valid until 23 March 2026; ask for a new one." in words(response)
    assert "Your answer" not in words(response)
    assert link.order.quotes.get().state == "sent"


def test_accept_is_refused_for_a_cancelled_order(house, link, visitor):
    orders.cancel_order(order=link.order, reason="moved away", by=house.owner, now=NOW)

    response = visitor.post(letter(link, "accept"), {"name": "Marta", "version": "1"})

    assert "This order was cancelled; please call us." in words(response)
    assert "moved away" not in words(response)
    assert link.order.quotes.get().state == "withdrawn"


def test_accept_works_with_the_guard_against_forged_forms(link):
    browser = Client(enforce_csrf_checks=True)
    page = browser.get(letter(link)).content.decode()
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', page).group(1)
    typed = {"name": "Marta", "version": "1"}

    forged = browser.post(letter(link, "accept"), typed)
    sent = browser.post(
        letter(link, "accept"),
        {**typed, "csrfmiddlewaretoken": token},
        headers={"Origin": "http://testserver"},
    )

    assert (forged.status_code, sent.status_code) == (403, 302)
    assert link.order.quotes.get().state == "accepted"


def test_decline_notes_the_reason(link, visitor):
    response = visitor.post(
        letter(link, "decline"), {"reason": "Too dear <for> us", "version": "1"}, follow=True
    )

    quote = link.order.quotes.get()
    assert (quote.state, quote.decline_reason) == ("declined", "Too dear <for> us")
    assert "You declined our quote: “Too dear <for> us”." in words(response)
    assert b"<for>" not in response.content


def test_decline_of_an_older_version_leaves_the_newer_open(house, link, visitor):
    newer = orders.prepare_quote(order=link.order, by=house.owner, now=NOW)
    orders.send_quote(quote=newer, by=house.owner, now=NOW)

    visitor.post(letter(link, "decline"), {"reason": "", "version": "1"})

    newer.refresh_from_db()
    assert newer.state == "sent"


def test_decline_keeps_a_reason_that_is_too_long(link, visitor):
    response = visitor.post(letter(link, "decline"), {"reason": "r" * 301, "version": "1"})

    assert "at most 300 characters (it has 301)" in words(response)
    assert "r" * 301 in response.content.decode()
    assert link.order.quotes.get().state == "sent"
