"""What the letter tells once the quote is accepted: progress, papers, money."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests.workshop import factories
from tests.workshop.counter.letters import letter
from tests.workshop.factories import NOW
from tests.workshop.orders import house as built
from tests.workshop.surfaces import words
from workshop.orders import services as orders
from workshop.orders.models import Garment

READY, LATE = "It will be ready by", "is late, for which we are sorry"


def test_show_order_tells_the_progress_once_accepted(house, accepted, visitor):
    assert "The pattern is being drafted." in words(visitor.get(letter(accepted)))


@pytest.mark.parametrize(
    ("stage", "days", "told"),
    [("sew", 0, [READY]), ("sew", 1, [LATE]), ("delivered", 1, [])],
)
def test_show_order_says_by_when_it_will_be_ready_or_that_it_is_late(accepted, clock, stage, days, told):
    Garment.objects.filter(order=accepted.order).update(stage=stage)
    clock.move_to(datetime.combine(accepted.order.due_on, time(12), UTC) + timedelta(days=days))

    page = words(Client().get(letter(accepted)))

    assert [sentence for sentence in (READY, LATE) if sentence in page] == told


def test_paper_sends_only_papers_of_this_order(house, accepted, run_jobs, visitor):
    other = factories.accepted_order(house)
    run_jobs()
    own, foreign = accepted.order.documents.get(kind="invoice"), other.order.documents.get(kind="invoice")
    pattern = accepted.order.documents.filter(kind="pattern-a4").first()

    response = visitor.get(letter(accepted, "paper", own.pk))

    assert b"".join(response.streaming_content).startswith(b"%PDF-")
    assert response.headers["Cache-Control"] == "private, no-store"
    assert own.document.name in words(visitor.get(letter(accepted)))
    assert visitor.get(letter(accepted, "paper", foreign.pk)).status_code == 404
    assert pattern is None or visitor.get(letter(accepted, "paper", pattern.pk)).status_code == 404


def test_paper_that_is_gone_from_the_disk_is_nothing(accepted, run_jobs, visitor):
    run_jobs()
    paper = accepted.order.documents.get(kind="invoice")
    paper.document.file.storage.delete(paper.document.file.name)

    assert visitor.get(letter(accepted, "paper", paper.pk)).status_code == 404


def test_show_order_tells_what_is_still_to_pay(house, accepted, visitor):
    quote = accepted.order.quotes.get()
    built.pay(house, accepted.order, quote.deposit)

    page = words(visitor.get(letter(accepted)))

    left = quote.payable - quote.deposit
    assert (
        f"Agreed price EUR {quote.payable:.2f} Paid EUR {quote.deposit:.2f} Still to pay EUR {left:.2f}"
        in page
    )


def test_papers_stay_when_a_new_version_is_out(house, accepted, run_jobs, visitor):
    run_jobs()
    newer = orders.prepare_quote(order=accepted.order, by=house.owner, now=NOW)
    orders.send_quote(quote=newer, by=house.owner, now=NOW)

    page = words(visitor.get(letter(accepted)))

    assert accepted.order.documents.get(kind="invoice").document.name in page


def test_the_letter_asks_the_database_as_often_for_three_garments(house, visitor):
    counted = []
    for number in (1, 3):
        wishes = [factories.make_wish(house, title=f"Dress {index}") for index in range(number)]
        link = factories.quoted_order(house, factories.take_order(house, garments=wishes))
        with CaptureQueriesContext(connection) as asked:
            page = words(visitor.get(letter(link)))
        counted.append(len(asked))
        assert f"Dress {number - 1}, for Marta Quist" in page

    assert counted[0] == counted[1]
