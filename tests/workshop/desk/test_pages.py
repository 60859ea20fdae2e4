"""Every page of the owner answers, with nothing in the book and with much; lists cost the same at 1 and 3."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from costing.models import Invoice
from tests.workshop.desk import made
from tests.workshop.orders import house as built
from workshop.people import services as people

PLAIN = [
    "rail", "week", "orders", "take-order", "clients", "prices", "buying", "import-prices", "rates",
    "add-cloth", "add-notion", "money", "house", "settings", "add-staff",
]  # fmt: skip


@pytest.mark.parametrize("name", PLAIN)
def test_page_answers_in_an_empty_workshop(name, db, plain_hashes):
    now = timezone.now()
    workshop = people.create_workshop(now=now, name="Bare")
    boss = people.add_staff(
        workshop=workshop, name="Ada", username="ada", password="long-needle-77", role="owner", by=None,
        now=now,
    )  # fmt: skip

    assert made.signed_in(boss).get(reverse(f"desk:{name}")).status_code == 200


def test_every_page_answers_with_an_order_under_way(house, owner):
    garment = made.to_cut(house)
    order = garment.order
    invoice = Invoice.objects.get(order=order)
    fitting = made.book(house, garment)
    plain = [reverse(f"desk:{name}") for name in PLAIN]
    rows = {
        "order": order.number, "edit-order": order.number, "add-garment": order.number,
        "take-payment": order.number, "quote": order.quotes.get().pk, "credit-invoice": invoice.pk,
        "garment": garment.pk, "measure": garment.pk, "change-garment": garment.pk, "estimate": garment.pk,
        "book-fitting": garment.pk, "fitting": fitting.pk, "move-fitting": fitting.pk,
        "client": house.client.pk, "wearer": house.wearer.pk, "cloth": house.satin.pk,
        "notion": house.workshop.notions.first().pk, "edit-staff": house.apprentice.pk,
    }  # fmt: skip

    answers = {path: owner.get(path).status_code for path in plain}
    answers |= {
        name: owner.get(reverse(f"desk:{name}", args=[key])).status_code for name, key in rows.items()
    }

    assert set(answers.values()) == {200}, answers


PRESSED = [
    "replan", "set-hours", "close-days", "reopen-days", "move-stock", "issue-invoice", "prepare-quote",
    "send-quote", "withdraw-link", "cancel-order", "draft-garment", "move-garment", "make-files", "make-lays",
    "waive-checks", "buy-cloth", "set-cloth-aside", "buy-notion", "take-prices", "cancel-fitting",
    "erase-wearer", "settle-letter", "note-cut", "withdraw-quote",
]  # fmt: skip
TAKEN = dict(made.patterns("desk"))


@pytest.mark.parametrize("name", PRESSED)
def test_an_address_that_a_button_sends_to_says_so_when_it_is_opened(name, owner):
    answer = owner.get(reverse(f"desk:{name}", args=[1] * len(TAKEN[f"desk:{name}"])))

    assert (answer.status_code, answer["Allow"]) == (405, "POST")
    assert "<h1>Nothing to open</h1>" in answer.text
    assert "Go back to the page with the button and press it there." in answer.text


@pytest.mark.parametrize("start", ["", "2026-02-30", "nonsense", "0001-01-01", "9999-12-31", "a\x00b"])
def test_week_shows_this_week_for_a_day_that_cannot_be_read(start, owner, house):
    today = house.workshop.day_of(timezone.now())

    answer = owner.get(reverse("desk:week"), {"from": start})

    assert answer.context["monday"] == today - timedelta(days=today.weekday())


@pytest.mark.parametrize("name", ["orders", "clients"])
@pytest.mark.parametrize("search", ["a\x00b", "%", "9" * 200, "é" * 5000])
def test_search_finds_nothing_for_odd_words(name, search, owner, house):
    made.take(house)

    answer = owner.get(reverse(f"desk:{name}"), {"search": search})

    assert answer.status_code == 200
    assert list(answer.context[name]) == []


def test_orders_are_found_by_client_and_number(owner, house):
    order = made.take(house)

    by_name = owner.get(reverse("desk:orders"), {"search": "quist"})
    by_number = owner.get(reverse("desk:orders"), {"search": str(order.number)})

    assert list(by_name.context["orders"]) == list(by_number.context["orders"]) == [order]


def more(house) -> None:
    """One more of everything that the lists show."""
    client = people.create_client(workshop=house.workshop, name="Lena", by=house.owner, now=timezone.now())
    wearer = built.add_wearer(client, "Lena")
    wish = built.wish(house, wearer=wearer)
    order = made.take(house, client=client, garments=[wish])
    made.accepted(house, order)
    sent = made.take(house, client=client, garments=[wish])
    built.quote(house, sent, now=timezone.now())


@pytest.mark.parametrize("name", ["rail", "orders", "clients", "money", "week", "buying"])
def test_list_asks_the_same_questions_at_one_row_and_at_three(name, owner, house):
    more(house)
    address = reverse(f"desk:{name}")
    owner.get(address)
    with CaptureQueriesContext(
        connection,
    ) as at_one:
        first = owner.get(address).text
    more(house)
    more(house)

    with CaptureQueriesContext(connection) as at_three:
        third = owner.get(address).text

    assert len(third) > len(first) or name == "week"
    assert len(at_three) == len(at_one), [query["sql"][:200] for query in at_three.captured_queries]


def test_prices_ask_the_same_questions_at_one_cloth_and_at_three(owner, house):
    address = reverse("desk:prices")
    with CaptureQueriesContext(connection) as at_two:
        owner.get(address)
    for number in range(3):
        built.costing.add_cloth(
            workshop=house.workshop, today=built.TODAY, use="shell", name=f"Wool {number}", width_mm=1400.0,
            price_per_metre=built.Decimal(30),
        )  # fmt: skip

    with CaptureQueriesContext(connection) as at_five:
        answer = owner.get(address)

    assert len(answer.context["cloths"]) == 5
    assert len(at_five) == len(at_two)
