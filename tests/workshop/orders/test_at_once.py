"""Two at one time, on a database that locks rows."""

from __future__ import annotations

import threading
import uuid
from collections.abc import Callable
from functools import partial

import pytest
from django.db import connection

from costing import services as costing
from costing.models import Notion
from costing.queries import held_lengths, stock_of
from tests.workshop.orders.house import NOW, accept, buy, draft, garment_of, open_house, send, take, wish
from workshop.errors import REFUSALS, EditedMeanwhile
from workshop.orders import queries, services
from workshop.orders.models import Draft, JointLay, Order, Parcel
from workshop.orders.queries.buying import cloth_to_buy
from workshop.people import services as people
from workshop.people.services import do_once

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


def test_what_is_sent_twice_at_once_is_done_once(house):
    mark = uuid.uuid4()

    first, second = at_once(
        *[lambda: do_once(workshop=house.workshop, mark=mark, now=NOW, deed=lambda: str(take(house).number))]
        * 2
    )

    assert sorted([first.is_first, second.is_first]) == [False, True]
    assert (first.led_to, second.led_to) == ("1", "1")
    assert Order.objects.count() == 1


def test_take_order_by_several_at_once_numbers_without_a_gap(house):
    at_once(*[lambda: take(house)] * 5)

    assert sorted(Order.objects.values_list("number", flat=True)) == [1, 2, 3, 4, 5]


EDITS = {
    "order": lambda house, order: partial(
        services.edit_order, order=order, occasion="", due_on=order.due_on, by=house.owner
    ),
    "client": lambda house, _: partial(people.edit_client, client=house.client, name="Ada", by=house.owner),
    "wearer": lambda house, _: partial(people.edit_wearer, wearer=house.wearer, name="Ada", by=house.owner),
    "staff": lambda house, _: partial(
        people.edit_staff, staff=house.apprentice, role="apprentice", by=house.owner
    ),
    "workshop": lambda house, _: partial(people.edit_workshop, workshop=house.workshop, by=house.owner),
}
TOLD_APART_BY = {
    "client": "note",
    "wearer": "fit_notes",
    "staff": "name",
    "workshop": "name",
    "order": "note",
}


@pytest.mark.parametrize("kind", EDITS)
def test_edits_by_two_at_once_tell_one_of_them(kind, house):
    order = take(house)
    house.workshop.refresh_from_db()
    edit = EDITS[kind](house, order)
    row = {"order": order, **vars(house)}["apprentice" if kind == "staff" else kind]

    results = at_once(
        *(
            lambda words=words: edit(expected_version=row.version, now=NOW, **{TOLD_APART_BY[kind]: words})
            for words in ("mine", "yours")
        )
    )

    told = [result for result in results if isinstance(result, EditedMeanwhile)]
    kept = [result for result in results if not isinstance(result, EditedMeanwhile)]
    assert (len(told), len(kept)) == (1, 1)
    assert str(told[0]) == f"Somebody else changed this {kind} meanwhile."
    before = row.version
    row.refresh_from_db()
    assert getattr(row, TOLD_APART_BY[kind]) == getattr(kept[0], TOLD_APART_BY[kind])
    assert row.version == before + 1


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
    lay = queries.current_lays(queries.current_draft(garment_of(orders[0])))[0]
    buy(house, house.satin, 2 * lay.buy_length_mm)
    buy(house, house.interfacing)

    at_once(
        *(
            lambda link=link: services.accept_quote(link=link, name="Marta", version=1, now=NOW)
            for link in links
        )
    )

    stock = stock_of([house.satin.pk])[house.satin.pk]
    assert stock.reserved == 2 * lay.need_mm
    assert 0 <= stock.free < lay.need_mm


def test_what_is_spoilt_by_two_at_once_never_takes_the_shelf_below_nothing(house):
    buy(house, house.satin, 3000.0)

    results = at_once(*[lambda: costing.waste_cloth(cloth=house.satin, length_mm=2000, now=NOW)] * 3)

    assert sorted(type(result).__name__ for result in results) == ["NotInStock", "NotInStock", "StockMove"]
    assert stock_of([house.satin.pk])[house.satin.pk].on_shelf == 1000


def test_what_is_left_over_is_taken_over_once_by_two_at_once(house):
    gone = take(house)
    accept(house, gone)
    zipped = Notion.objects.get(kind="zip")
    services.buy_listed_notion(workshop=house.workshop, notion=zipped, shown=1, by=house.owner, now=NOW)
    services.cancel_order(order=gone, reason="moved away", by=house.owner, now=NOW)
    accept(house, take(house))

    results = at_once(
        *[
            lambda: services.take_over_notion(
                workshop=house.workshop, notion=zipped, shown=1, by=house.owner, now=NOW
            )
        ]
        * 2
    )

    assert sorted(type(result).__name__ for result in results) == ["ListChanged", "list"]
    assert sorted(zipped.moves.values_list("kind", flat=True)) == ["bought", "reserved", "returned"]


def test_a_parcel_that_two_say_came_is_booked_once(house):
    accept(house, take(house))
    line = cloth_to_buy(house.workshop, house.satin)
    order = {"workshop": house.workshop, "cloth": house.satin, "shown_mm": line.amount, "by": house.owner}
    results = at_once(*[lambda: services.order_listed_cloth(**order, expected_on=None, now=NOW)] * 2)
    assert sorted(type(result).__name__ for result in results) == ["ListChanged", "Parcel"]
    [parcel] = Parcel.objects.all()

    results = at_once(
        *[lambda: services.receive_parcel(parcel=parcel, by=house.owner, now=NOW)] * 2,
        lambda: services.give_up_parcel(parcel=parcel, by=house.owner, now=NOW),
    )

    assert [type(result).__name__ for result in results].count("ParcelClosed") == 2
    parcel.refresh_from_db()
    came = parcel.came_at is not None
    assert stock_of([house.satin.pk])[house.satin.pk].on_shelf == (line.amount if came else 0)


def test_garments_laid_together_twice_at_once_have_one_joint_lay_that_holds(house):
    order = take(house, wishes=[wish(house, title=title) for title in ("Bride", "Maid")])
    accept(house, order)
    buy(house, house.satin)
    drafts = [queries.current_draft(garment) for garment in order.garments.order_by("position")]

    at_once(*[lambda: services.make_joint_lay(cloth=house.satin, drafts=drafts, now=NOW, seconds=0.3)] * 2)

    [joint] = JointLay.objects.filter(workshop=house.workshop, dissolved_at=None)
    parts = [queries.current_lays(draft)[0] for draft in drafts]
    assert {part.joint_id for part in parts} == {joint.pk}
    assert stock_of([house.satin.pk])[house.satin.pk].reserved == pytest.approx(
        sum(part.need_mm for part in parts)
    )


def test_a_remnant_that_two_lays_take_at_once_is_set_aside_for_one(house):
    orders = [take(house) for _ in range(2)]
    for order in orders:
        accept(house, order)
    remnant = costing.buy_cloth(cloth=house.satin, length_mm=1200.0, now=NOW).pk
    drafts = [queries.current_draft(garment_of(order)) for order in orders]

    at_once(
        *(
            lambda draft=draft: services.lay_on_lengths(
                draft=draft, role="shell", lengths=[remnant, None], now=NOW, seconds=0.3
            )
            for draft in drafts
        )
    )

    held = held_lengths([draft.garment_id for draft in drafts])
    assert [list(keys) for (_, cloth), keys in held.items() if cloth == house.satin.pk] == [[remnant]]
    assert stock_of([house.satin.pk])[house.satin.pk].free >= 0


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
