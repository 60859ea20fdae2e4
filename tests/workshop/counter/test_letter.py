"""The customer's letter: what it says, when, and to whom."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from tests.workshop import factories
from tests.workshop.counter.letters import GUESSED, letter
from tests.workshop.factories import NOW
from tests.workshop.surfaces import words
from workshop.counter.views import price_lines
from workshop.orders import services as orders


def test_show_order_says_the_quote_that_is_out(link, quote, visitor):
    page = words(visitor.get(letter(link)))

    assert quote.deposit == quote.payable * Decimal("0.40")
    told = (
        f"Total EUR {quote.payable:.2f} Of this, a deposit of EUR {quote.deposit:.2f} is due before we cut."
    )
    assert told in page
    assert "Dear Marta Quist," in page
    assert "Alterations after the second fitting are charged by the hour." in page
    assert "The quote is valid until Monday 23 March 2026." in page


def test_the_letter_speaks_of_cloths_in_the_customers_words(link, visitor):
    page = words(visitor.get(letter(link)))

    assert "Cloth Grey satin" in page
    assert "Inner stiffening Light fusible" in page
    assert "shell" not in page
    assert "Lining none" not in page


def test_price_lines_sum_to_what_is_paid(quote):
    lines = price_lines(quote)

    assert [line["words"] for line in lines][:2] == [quote.content["lines"][0]["words"], "VAT 21 %"]
    assert sum(line["amount"] for line in lines) == quote.payable
    assert quote.payable == quote.net + quote.tax + quote.rounding


def test_price_lines_end_with_the_rounding(quote):
    quote.rounding = Decimal("-0.02")

    lines = price_lines(quote)

    assert lines[-1] == {"words": "Rounding", "amount": Decimal("-0.02")}
    assert sum(line["amount"] for line in lines) == quote.gross - Decimal("0.02")


def test_price_lines_leave_out_a_tax_of_nothing(house):
    house.workshop.tax_rate = Decimal(0)
    house.workshop.save(update_fields=["tax_rate"])
    quote = factories.quoted_order(house).order.quotes.get()

    lines = price_lines(quote)

    assert [line["words"] for line in lines if line["words"] != "Rounding"] == [
        quote.content["lines"][0]["words"]
    ]
    assert sum(line["amount"] for line in lines) == quote.payable


def test_show_order_shows_no_later_version_that_is_not_sent(house, link, quote, visitor):
    before = words(visitor.get(letter(link)))
    house.satin.price_per_metre = Decimal("99.00")
    house.satin.save(update_fields=["price_per_metre"])
    written = orders.prepare_quote(order=link.order, by=house.owner, now=NOW)

    after = words(visitor.get(letter(link)))

    assert written.payable > quote.payable
    assert after == before


@pytest.mark.parametrize("address", [GUESSED, "short", "x" * 65, "n" * 30 + "%00" + "n" * 10])
def test_show_order_shows_nothing_for_a_guessed_address(link, visitor, address):
    response = visitor.get(f"/c/{address}/")

    assert response.status_code == 404
    assert response.content == visitor.get(f"/c/{GUESSED}/").content


def test_show_order_shows_the_same_nothing_once_it_ran_out(link, visitor, clock):
    clock.move_to(link.expires_at - timedelta(seconds=1))
    assert visitor.get(letter(link)).status_code == 200

    clock.move_to(link.expires_at)
    gone = visitor.get(letter(link))

    assert gone.status_code == 404
    assert gone.content == visitor.get(f"/c/{GUESSED}/").content
    assert gone.headers == visitor.get(f"/c/{GUESSED}/").headers


def test_show_order_shows_the_same_nothing_once_withdrawn(house, link, visitor):
    orders.withdraw_link(link=link, by=house.owner, now=NOW)

    gone = visitor.get(letter(link))
    answered = visitor.post(letter(link, "accept"), {"name": "Marta", "version": "1"})

    assert gone.status_code == answered.status_code == 404
    assert gone.content == answered.content == visitor.get(f"/c/{GUESSED}/").content
    assert link.order.quotes.get().state == "sent"


def test_the_letter_is_kept_by_nobody_and_listed_nowhere(link, visitor):
    headers = visitor.get(letter(link)).headers

    assert headers["Cache-Control"] == "private, no-store"
    assert headers["X-Robots-Tag"] == "noindex, nofollow"
    assert headers["Referrer-Policy"] == "same-origin"


@pytest.mark.parametrize("name", ["accept", "decline"])
def test_opening_the_address_of_an_answer_shows_the_letter(link, visitor, name):
    response = visitor.get(letter(link, name))

    assert (response.status_code, response.headers["Location"]) == (302, letter(link))
    assert link.order.quotes.get().state == "sent"
