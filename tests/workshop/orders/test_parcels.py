"""Cloth that is ordered: on its way it is neither to buy nor in the stock; it comes once."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from costing.queries import reserved_for, stock_of
from tests.workshop.orders.house import NOW, accept, buy, garment_of, open_house, take
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders import queries, services
from workshop.orders.queries.buying import cloth_to_buy
from workshop.orders.queries.facts import facts_of_one
from workshop.orders.rules.buying import Want, still_to_buy
from workshop.orders.rules.stages import cloth_is_there
from workshop.orders.services import ListChanged
from workshop.orders.services.parcels import ParcelClosed
from workshop.people.models import LogEntry

TODAY = date(2026, 3, 2)


@pytest.fixture
def house(db):
    return open_house()


def accepted_garment(house):
    return garment_of(accept(house, take(house)).order)


@pytest.fixture
def garment(house):
    """Of an accepted order; all its cloth but the satin is here."""
    garment = accepted_garment(house)
    buy(house, house.interfacing)
    return garment


def order_satin(house, **changed):
    line = cloth_to_buy(house.workshop, house.satin)
    amount = 1.0 if line is None else line.amount
    return services.order_listed_cloth(
        **{
            "workshop": house.workshop,
            "cloth": house.satin,
            "shown_mm": amount,
            "expected_on": house.workshop.day_of(NOW) + timedelta(days=10),
            "by": house.owner,
            "now": NOW,
        }
        | changed
    )


def waits_for(garment) -> str | None:
    return cloth_is_there(facts_of_one(garment, now=NOW))


def asked_for_plan(house) -> int:
    """Forget what was asked, and return how often a plan was."""
    jobs = Job.objects.filter(workshop=house.workshop, kind="refresh_plan")
    return jobs.delete()[0]


def test_what_is_on_its_way_is_not_to_buy_again_and_not_in_the_stock(house, garment):
    parcel = order_satin(house)

    found = queries.buying_list(house.workshop, {})
    assert [line.row for _, lines in found.suppliers for line in lines if line.is_cloth] == []
    assert found.coming == (parcel,)
    assert stock_of([house.satin.pk])[house.satin.pk].on_shelf == 0
    day = parcel.expected_on
    assert re.fullmatch(
        rf"Wait for cloth: [\d.]+ m of Grey satin, expected {day:%a} {day.day} {day:%b}\.", waits_for(garment)
    )


def test_receive_parcel_books_it_once_and_sets_it_aside(house, garment):
    parcel = order_satin(house)

    served = services.receive_parcel(parcel=parcel, by=house.owner, now=NOW)

    assert served == [garment]
    assert stock_of([house.satin.pk])[house.satin.pk].on_shelf == parcel.length_mm
    assert reserved_for(garment.pk)[house.satin.pk] == pytest.approx(
        queries.current_lays(queries.current_draft(garment))[0].need_mm
    )
    assert queries.buying_list(house.workshop, {}).coming == ()
    for again in (services.receive_parcel, services.give_up_parcel):
        with pytest.raises(ParcelClosed, match="Grey satin came already and lies in the stock"):
            again(parcel=parcel, by=house.owner, now=NOW)
    assert LogEntry.objects.filter(workshop=house.workshop, action="receive cloth").count() == 1


def test_a_later_garment_of_the_same_cloth_is_still_to_buy_for(house, garment):
    order_satin(house)
    later = accepted_garment(house)

    assert cloth_to_buy(house.workshop, house.satin).garments == (later,)
    assert waits_for(later).startswith("Buy cloth: ")


def test_order_listed_cloth_refuses_a_second_tap_and_a_day_that_is_past(house, garment):
    line = cloth_to_buy(house.workshop, house.satin)
    with pytest.raises(Refusal, match="a day from today to a year ahead") as refused:
        order_satin(house, expected_on=house.workshop.day_of(NOW) - timedelta(days=1))
    assert refused.value.field == "expected_on"
    order_satin(house)

    with pytest.raises(ListChanged):
        order_satin(house, shown_mm=line.amount)


def test_late_parcels_are_named_from_the_day_after(house, garment):
    parcel = order_satin(house)

    assert queries.late_parcels(house.workshop, parcel.expected_on) == []
    assert queries.late_parcels(house.workshop, parcel.expected_on + timedelta(days=1)) == [parcel]
    services.expect_parcel(
        parcel=parcel, expected_on=parcel.expected_on + timedelta(days=7), by=house.owner, now=NOW
    )
    assert queries.late_parcels(house.workshop, parcel.expected_on + timedelta(days=7)) == []


def test_each_change_of_a_parcel_asks_for_a_plan(house, garment):
    asked_for_plan(house)
    parcel = order_satin(house)
    assert asked_for_plan(house) == 1
    services.expect_parcel(parcel=parcel, expected_on=parcel.expected_on, by=house.owner, now=NOW)
    assert asked_for_plan(house) == 1
    services.give_up_parcel(parcel=parcel, by=house.owner, now=NOW)
    assert asked_for_plan(house) == 1
    services.receive_parcel(parcel=order_satin(house), by=house.owner, now=NOW)
    assert asked_for_plan(house) == 1


def test_still_to_buy_gives_a_parcel_to_whom_it_is_for_as_far_as_it_is_long():
    wants = [Want((1,), 900.0, TODAY), Want((2,), 800.0, TODAY), Want((3,), 100.0, TODAY)]

    assert still_to_buy(wants, [({1, 2}, 1000.0)]) == (wants[1], wants[2])
    assert still_to_buy(wants, [({1, 2}, 1700.0)]) == (wants[2],)
    assert still_to_buy(wants, [({3}, 1000.0), ({1}, 900.0)]) == (wants[1],)
