"""Two at one time, on a database that locks rows."""

from __future__ import annotations

import threading
import uuid
from collections.abc import Callable

import pytest
from django.db import connection

from costing.queries import stock_of
from tests.workshop.orders.house import NOW, accept, buy, draft, garment_of, open_house, send, take
from workshop.errors import REFUSALS, EditedMeanwhile
from workshop.orders import queries, services
from workshop.orders.models import Draft, Order

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def house(transactional_db, plain_hashes):
    return open_house()


def at_once(*calls: Callable[[], object]) -> list[object]:
    """Run the calls in threads that begin together; what each returned or refused, others raise."""
    start = threading.Barrier(len(calls))
    results: list[object] = [None] * len(calls)

    def run(index: int) -> None:
        start.wait()
        try:
            results[index] = calls[index]()
        except Exception as error:
            results[index] = error
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=(index,)) for index in range(len(calls))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for result in results:
        if isinstance(result, Exception) and not isinstance(result, REFUSALS):
            raise result
    return results


def test_take_order_sent_twice_at_once_is_one_order(house):
    submission = uuid.uuid4()

    first, second = at_once(*[lambda: take(house, submission=submission)] * 2)

    assert first == second
    assert Order.objects.count() == 1


def test_take_order_by_several_at_once_numbers_without_a_gap(house):
    at_once(*[lambda: take(house)] * 5)

    assert sorted(Order.objects.values_list("number", flat=True)) == [1, 2, 3, 4, 5]


def test_edit_order_by_two_at_once_tells_one_of_them(house):
    order = take(house)

    results = at_once(
        *(
            lambda note=note: services.edit_order(
                order=order,
                expected_version=1,
                occasion="",
                due_on=order.due_on,
                note=note,
                by=house.owner,
                now=NOW,
            )
            for note in ("mine", "yours")
        )
    )

    assert sorted(type(result).__name__ for result in results) == ["EditedMeanwhile", "Order"]
    assert any(isinstance(result, EditedMeanwhile) for result in results)


def test_draft_garment_twice_at_once_leaves_one_that_holds(house):
    garment = garment_of(take(house))
    draft(house, garment)

    at_once(*[lambda: services.draft_garment(garment=garment, by=house.owner, now=NOW)] * 2)

    assert sorted(Draft.objects.values_list("version", flat=True)) == [1, 2, 3]
    assert queries.current_draft(garment).version == 3


def test_estimate_garment_twice_at_once_leaves_one_that_holds(house):
    order = take(house)
    send(house, order)
    garment = garment_of(order)

    at_once(*[lambda: services.estimate_garment(garment=garment, now=NOW)] * 3)

    assert garment.estimates.filter(superseded_at=None).count() == 1


def test_accept_quote_twice_at_once_asks_for_one_deposit(house):
    order = take(house)
    link = send(house, order)

    at_once(*[lambda: services.accept_quote(link=link, name="Marta", version=1, now=NOW)] * 2)

    assert order.invoices.count() == 1
    assert order.quotes.get().state == "accepted"


def test_cloth_is_set_aside_once_however_many_want_it(house):
    orders = [take(house) for _ in range(3)]
    links = [send(house, order) for order in orders]
    length = queries.current_lays(queries.current_draft(garment_of(orders[0])))[0].buy_length_mm
    buy(house, house.satin, 2 * length)
    buy(house, house.interfacing)

    at_once(
        *(
            lambda link=link: services.accept_quote(link=link, name="Marta", version=1, now=NOW)
            for link in links
        )
    )

    stock = stock_of([house.satin.pk])[house.satin.pk]
    assert (stock.reserved, stock.free) == (2 * length, 0)


def test_buying_two_cloths_at_once_for_the_same_garments_waits_in_no_ring(house):
    for _ in range(3):
        accept(house, take(house))

    at_once(
        lambda: buy(house, house.satin),
        lambda: buy(house, house.interfacing),
        lambda: buy(house, house.satin),
        lambda: buy(house, house.interfacing),
    )

    assert [queries.next_need(garment_of(order)) for order in Order.objects.all()] == [
        "The deposit is not in yet."
    ] * 3
    assert all("Buy cloth" not in str(queries.moves(garment_of(order))) for order in Order.objects.all())
