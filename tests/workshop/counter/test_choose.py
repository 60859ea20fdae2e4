"""The customer picks between what a quote offers, and reads what is new in a version."""

from __future__ import annotations

from decimal import Decimal

import pytest

from costing import services as costing
from tests.workshop.counter.letters import letter
from tests.workshop.factories import NOW, TODAY
from tests.workshop.surfaces import words
from workshop.orders import services as orders
from workshop.orders.models import Garment


@pytest.fixture
def offered(house, link):
    """A second version that offers another cloth, at 48.00 a metre instead of 24.00."""
    crepe = costing.add_cloth(
        workshop=house.workshop,
        today=TODAY,
        use="shell",
        name="Wool crepe",
        width_mm=1500.0,
        price_per_metre=Decimal("48.00"),
    )
    quote = orders.prepare_quote(order=link.order, by=house.owner, now=NOW)
    garment = Garment.objects.get(order=link.order)
    orders.offer_alternative(quote=quote, garment=garment, cloth=crepe, by=house.owner, now=NOW)
    orders.send_quote(quote=quote, by=house.owner, now=NOW)
    quote.refresh_from_db()
    return quote


def difference(quote):
    return Decimal(quote.content["options"][0]["alternatives"][1]["difference"])


def test_the_letter_shows_each_alternative_with_what_it_adds(link, visitor, offered):
    page = words(visitor.get(letter(link)))

    assert "Cloth of Grey dress" in page
    assert "Grey satin (as above)" in page
    assert f"Wool crepe, EUR {difference(offered):.2f} more" in page


def test_accept_with_a_pick_agrees_on_its_price(link, visitor, offered):
    response = visitor.post(letter(link, "accept"), {"name": "Marta", "version": "2", "option-0": "1"})

    agreed = link.order.quotes.get(state="accepted")
    page = words(visitor.get(letter(link)))
    assert response.status_code == 302
    assert (agreed.version, agreed.payable) == (3, offered.payable + difference(offered))
    assert f"Total EUR {agreed.payable:.2f}" in page
    assert "You chose: Cloth of Grey dress: Wool crepe" in page


def test_accept_with_a_pick_twice_is_once(link, visitor, offered):
    form = {"name": "Marta", "version": "2", "option-0": "1"}
    visitor.post(letter(link, "accept"), form)

    again = visitor.post(letter(link, "accept"), form)

    assert again.status_code == 302
    assert link.order.quotes.count() == 3
    assert link.order.invoices.count() == 1


@pytest.mark.parametrize("pick", ["", "2", "-1", "x", "9" * 40])
def test_accept_asks_for_a_pick_at_its_field(pick, link, visitor, offered):
    response = visitor.post(letter(link, "accept"), {"name": "Marta", "version": "2", "option-0": pick})

    assert response.status_code == 200
    assert "option-0" in response.context["accept_form"].errors
    assert link.order.quotes.get(version=2).state == "sent"


def test_the_letter_says_what_is_new_in_a_version(house, link, visitor):
    assert "What is new since our quote of before" not in words(visitor.get(letter(link)))
    rates = house.workshop.rates
    rates.hourly_wage *= 2
    rates.save()
    old = link.order.quotes.get().payable
    quote = orders.prepare_quote(order=link.order, by=house.owner, now=NOW)
    orders.send_quote(quote=quote, by=house.owner, now=NOW)

    page = words(visitor.get(letter(link)))

    assert "What is new since our quote of before" in page
    assert f"Price in all: EUR {quote.payable:.2f} instead of EUR {old:.2f}" in page
