"""Every page that makes something, sent twice with one mark: one thing is made, and both lead to it."""

from __future__ import annotations

import re
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import pytest
from django.db.models import Model
from django.urls import reverse
from django.utils import timezone

from costing.models import Cloth, CreditNote, Invoice, Notion, Payment, StockMove
from tests.workshop.desk import made
from tests.workshop.desk.test_order_forms import STYLE, filled
from tests.workshop.desk.test_price_forms import CLOTH, NOTION
from tests.workshop.desk.test_settings_and_people import PERSON
from tests.workshop.orders import house as built
from workshop.orders.models import Garment, Order
from workshop.pages import DAMAGED, SENT_BEFORE
from workshop.people.models import MeasurementSet, Staff, Wearer
from workshop.planning.models import Closure, Fitting


@dataclass(frozen=True)
class Page:
    """A page that makes something.

    ``ready``: makes what the page needs; returns the arguments of its address. ``sent``: what is filled in.
    ``shown_at``: the page with its form, where that has another address. ``makes``: the rows it makes one of.
    """

    name: str
    ready: Callable[[Any], list[Any]]
    sent: Callable[[Any], dict[str, Any]]
    makes: tuple[type[Model], ...]
    shown_at: str = ""


def nothing(_: Any) -> list[Any]:
    return []


def accepted_order(house: Any) -> list[Any]:
    return [made.accepted(house).order.number]


def deposit_invoice(house: Any) -> list[Any]:
    return [Invoice.objects.get(order=made.accepted(house).order).pk]


def day(house: Any, days: int = 0) -> Any:
    return house.workshop.day_of(timezone.now()) + timedelta(days=days)


PAGES = [
    Page("take-order", nothing, filled, (Order, Garment, Wearer)),
    Page(
        "add-garment",
        lambda house: [made.take(house).number],
        lambda house: {"wearer_name": "New", "title": "Cape", "style": STYLE},
        (Garment, Wearer),
    ),
    Page("add-cloth", nothing, lambda house: CLOTH, (Cloth,)),
    Page("add-notion", nothing, lambda house: NOTION, (Notion,)),
    Page(
        "move-stock",
        lambda house: [house.satin.pk],
        lambda house: {"kind": "bought", "length": "3"},
        (StockMove,),
        shown_at="cloth",
    ),
    Page("add-staff", nothing, lambda house: PERSON, (Staff,)),
    Page(
        "close-days",
        nothing,
        lambda house: {"from_on": day(house, 30), "to_on": day(house, 30)},
        (Closure,),
        shown_at="settings",
    ),
    Page(
        "measure",
        lambda house: [made.garment(house).pk],
        lambda house: {"taken_on": day(house), **built.BODY},
        (MeasurementSet,),
    ),
    Page(
        "book-fitting",
        lambda house: [made.garment(house).pk],
        lambda house: {"other": f"{made.at_noon(40):%Y-%m-%dT%H:%M}"},
        (Fitting,),
    ),
    Page(
        "issue-invoice",
        accepted_order,
        lambda house: {"kind": "final"},
        (Invoice,),
        shown_at="order",
    ),
    Page(
        "take-payment",
        accepted_order,
        lambda house: {"amount": "50.00", "method": "cash", "received_on": day(house)},
        (Payment,),
    ),
    Page(
        "credit-invoice",
        deposit_invoice,
        lambda house: {"whole": "yes", "then": "again", "reason": "wrong name"},
        (CreditNote,),
    ),
]


def counts(page: Page) -> list[int]:
    return [model._default_manager.count() for model in page.makes]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_sent_twice_is_done_once(page, house, owner):
    at = page.ready(house)
    address = reverse(f"desk:{page.name}", args=at)
    form = {**page.sent(house), "submission": uuid.uuid4()}
    before = counts(page)

    first, second = owner.post(address, form), owner.post(address, form)

    assert (first.status_code, second.status_code) == (302, 302)
    assert first.url == second.url
    assert made.told(second)[-1] == SENT_BEFORE
    assert counts(page) == [count + 1 for count in before]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_each_page_carries_a_mark_of_its_own(page, house, owner):
    at = page.ready(house)
    shown = reverse(f"desk:{page.shown_at or page.name}", args=at)
    mark = re.compile(r'<input type="hidden" name="submission" value="([0-9a-f-]{36})">')

    def marks() -> list[str]:
        forms = re.findall(r"<form.*?</form>", owner.get(shown).text, re.DOTALL)
        address = f'action="{reverse(f"desk:{page.name}", args=at)}"'
        own = [form for form in forms if address in form] or [form for form in forms if mark.search(form)]
        return mark.findall("".join(own))

    first, second = marks(), marks()

    assert len(first) == len(second) == 1
    assert first != second


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
@pytest.mark.parametrize("mark", ["", "x", "\x00"])
def test_without_its_mark_nothing_is_made(mark, page, house, owner):
    at = page.ready(house)
    before = counts(page)

    answer = owner.post(reverse(f"desk:{page.name}", args=at), {**page.sent(house), "submission": mark})

    said = made.told(answer) if answer.status_code == 302 else answer.text
    assert DAMAGED in said
    assert counts(page) == before


def test_a_form_with_faults_keeps_its_mark_and_can_be_sent_again(house, owner):
    address = reverse("desk:add-notion")
    mark = uuid.uuid4()

    wrong = owner.post(address, {**NOTION, "price_each": "free", "submission": mark})
    right = owner.post(address, {**NOTION, "submission": mark})

    assert f'name="submission" value="{mark}"' in wrong.text
    assert made.told(right) == ["Silk thread is on the list."]


def test_a_quote_sent_twice_goes_out_once(house, owner):
    link = made.quoted(house)
    quote = link.order.quotes.get()
    quote.state, quote.sent_at = "open", None
    quote.save(update_fields=["state", "sent_at"])
    address, form = reverse("desk:send-quote", args=[quote.pk]), {"submission": uuid.uuid4()}

    first, second = owner.post(address, form), owner.post(address, form)

    assert made.told(first)[0].startswith("Version 1 is sent and frozen.")
    assert made.told(second)[-1] == SENT_BEFORE
