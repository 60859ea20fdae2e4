"""The quote's page tells which day can be promised."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from tests.workshop.desk import made
from workshop.people.models import Staff


def page_of(owner, order):
    return owner.get(reverse("desk:quote", args=[order.quotes.latest("version").pk]))


def test_a_quote_shows_the_day_that_can_be_promised_beside_the_wished(house, owner):
    order = made.quoted(house).order

    page = page_of(owner, order)

    promise = page.context["promise"]
    assert promise.wished_on == order.due_on
    assert promise.is_kept
    assert "can be promised" in page.text
    assert "What stands in the way" not in page.text


def test_a_quote_says_why_a_wished_day_cannot_be_kept_and_what_would_help(house, owner):
    order = made.quoted(house).order
    order.due_on = house.workshop.day_of(timezone.now()) + timedelta(days=1)
    order.save(update_fields=["due_on"])

    page = page_of(owner, order)

    assert "cannot be promised" in page.text
    assert page.context["promise"].why in page.text.replace("&#x27;", "'")
    assert "can do that and have" in page.context["promise"].why
    assert "What would help" in page.text


def test_an_answered_quote_promises_nothing_anew(house, owner):
    page = page_of(owner, made.accepted(house).order)

    assert "promise" not in page.context
    assert "When it can be ready" not in page.text


def test_a_quote_says_so_where_nobody_is_there_to_do_the_work(house, owner):
    order = made.quoted(house).order
    Staff.objects.filter(workshop=house.workshop).update(weekly_minutes=0)

    page = page_of(owner, order)

    assert page.status_code == 200
    assert "The work fits in nobody&#x27;s hours" in page.text


@pytest.mark.parametrize("count", [1, 3])
def test_the_quotes_page_takes_as_many_queries_however_much_is_open(house, owner, count):
    order = made.quoted(house).order
    for _ in range(count):
        made.drafted(house)
    page_of(owner, order)

    with CaptureQueriesContext(connection) as taken:
        page_of(owner, order)

    assert len(taken) == QUERIES


QUERIES = 40
