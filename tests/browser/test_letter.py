"""The customer's letter in a real browser: the answer goes through, headers and forms together."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from tests.workshop import factories
from tests.workshop.orders import house as built
from workshop.planning.models import Fitting

pytestmark = pytest.mark.browser


def test_a_customer_accepts_and_books_on_a_phone(site, phone):
    now = timezone.now()
    house = factories.make_house()
    due_on = house.workshop.day_of(now) + timedelta(days=60)
    order = factories.take_order(house, due_on=due_on, now=now)
    link = built.send(house, order, now=now)

    phone.goto(f"{site}/c/{link.secret}/")
    phone.get_by_label("Your name").fill("Marta Quist")
    phone.get_by_role("button", name="Yes, please make it").click()
    phone.get_by_text("Thank you. We have your answer").wait_for()
    # The plan is being made meanwhile, which may move the first times that are offered; the last one stays.
    phone.get_by_text("Later days").click()
    phone.locator("input[name=starts_at]").last.check()
    phone.get_by_role("button", name="Book this time").click()
    phone.get_by_text("Your fitting is booked.").wait_for()

    assert order.quotes.get().answered_by == "Marta Quist"
    assert Fitting.objects.get().garment.order_id == order.pk


def test_the_letter_of_a_guessed_address_is_nothing(site, page, expected_faults):
    expected_faults.append("404")

    answer = page.goto(f"{site}/c/{'a' * 43}/")

    assert answer is not None
    assert answer.status == 404
    assert page.locator("h1").inner_text() == "Nothing here"
