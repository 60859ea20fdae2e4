"""What delivered garments earned, by style: agreed prices less what they took."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from costing.models import Cloth
from costing.queries import rates_of
from costing.rules.money import shared_out
from tests.workshop.orders import house as built
from tests.workshop.orders.house import NOW, accept, garment_of, open_house, take, wish
from workshop.orders import services as orders
from workshop.orders.models import Garment
from workshop.orders.queries import current_estimate, cut_lengths
from workshop.planning.models import Task, TimeEntry
from workshop.planning.queries import after_of, month_of, profit_by_style
from workshop.planning.services import sync_tasks

pytestmark = pytest.mark.django_db


@pytest.fixture
def house():
    return open_house()


def deliver(*garments: Garment) -> None:
    Garment.objects.filter(pk__in=[garment.pk for garment in garments]).update(stage="delivered")


def sewn(house) -> Garment:
    garment = built.to_sew(house, take(house))
    sync_tasks(garment=garment, now=NOW)
    return garment


def time(house, garment: Garment, beyond: float) -> None:
    """Time the first sewing, that many minutes above what was planned."""
    task = Task.objects.filter(garment=garment, group="sew").order_by("position").first()
    ended_at = NOW + timedelta(minutes=task.minutes_planned + beyond)
    TimeEntry.objects.create(
        workshop=house.workshop, task=task, staff=house.apprentice, started_at=NOW, ended_at=ended_at
    )
    Task.objects.filter(pk=task.pk).update(started_at=NOW, done_at=ended_at)


def test_profit_by_style_is_price_less_cost_of_what_was_delivered(house):
    order = take(house, wishes=[wish(house), wish(house, title="Second")])
    quote = accept(house, order)
    deliver(garment_of(order))
    first = current_estimate(garment_of(order)).content

    (row,) = profit_by_style(house.workshop)

    assert (row.title, row.garments, row.timed) == ("Dress with notched collar and pleated skirt", 1, 0)
    assert (row.price, row.cost) == (Decimal(first["net"]), Decimal(first["cost"]))
    assert row.reckoned == row.cost
    assert row.price == Decimal(quote.content["garments"][0]["net"])
    assert row.profit == row.price - row.cost
    assert row.margin == row.profit / row.price


def test_profit_by_style_takes_the_hours_that_were_timed_and_the_cloth_that_was_cut(house):
    garment = sewn(house)
    time(house, garment, 90)
    more = cut_lengths(garment.pk)[house.satin.pk] + 500
    orders.note_cut_length(garment=garment, cloth=house.satin, length_mm=more, by=house.owner, now=NOW)
    reckoned = Decimal(current_estimate(garment).content["cost"])
    deliver(garment)

    (row,) = profit_by_style(house.workshop)

    # An hour and a half at 15 + 4; half a metre at 24.
    assert row.cost - row.reckoned == Decimal("28.50") + Decimal("12.00")
    assert (row.reckoned, row.timed) == (reckoned, 1)


def test_a_price_that_changed_since_moves_neither_profit_nor_after(house):
    garment = sewn(house)
    time(house, garment, 0)
    more = cut_lengths(garment.pk)[house.satin.pk] + 1000
    orders.note_cut_length(garment=garment, cloth=house.satin, length_mm=more, by=house.owner, now=NOW)
    deliver(garment)
    before = profit_by_style(house.workshop), after_of(garment, rates_of(house.workshop))

    Cloth.objects.filter(pk=house.satin.pk).update(price_per_metre=Decimal(99))
    Garment.objects.filter(pk=garment.pk).update(stage="sew")
    orders.estimate_garment(garment=garment, now=NOW + timedelta(days=3))  # anew, at the new price
    deliver(garment)

    assert (profit_by_style(house.workshop), after_of(garment, rates_of(house.workshop))) == before


def test_profit_by_style_takes_the_price_of_the_very_garment(house):
    order = take(house, wishes=[wish(house), wish(house, title="Long", choices={"lining": "full"})])
    quote = accept(house, order)
    deliver(order.garments.get(position=2))

    (row,) = profit_by_style(house.workshop)

    nets = [Decimal(garment["net"]) for garment in quote.content["garments"]]
    assert row.price == nets[1] != nets[0]


def test_profit_by_style_takes_off_what_credit_notes_took_off_the_price(house):
    """30.25 with 21 % is 25.00 of the garment; 60.50 of the deposit is 50.00 of both, by their prices."""
    order = take(house, wishes=[wish(house), wish(house, title="Second")])
    accept(house, order)
    deliver(garment_of(order))
    (before,) = profit_by_style(house.workshop)
    deposit = order.invoices.get()
    final = orders.issue_invoice(order=order, kind="final", by=house.owner, now=NOW)
    notes = ((final, "30.25", True), (deposit, "60.50", True), (final, "12.10", False))
    for invoice, amount, lowers in notes:
        orders.credit_invoice(
            invoice=invoice,
            reason="a fault",
            parts={0: Decimal(amount)},
            lowers_price=lowers,
            by=house.owner,
            now=NOW,
        )

    (after,) = profit_by_style(house.workshop)

    nets = [Decimal(line["net"]) for line in order.quotes.get().content["lines"]]
    assert before.price == nets[0]
    assert after.price == nets[0] - 25 - shared_out(Decimal(50), nets, "EUR")[0]
    assert after.profit == after.price - after.cost


def test_profit_by_style_leaves_out_what_has_no_price_and_other_workshops(house):
    next_door = open_house("Lantern")
    deliver(garment_of(take(house)))
    order = take(next_door)
    accept(next_door, order)
    deliver(garment_of(order))

    assert profit_by_style(house.workshop) == []
    assert len(profit_by_style(next_door.workshop)) == 1


def test_profit_by_style_takes_as_many_queries_at_one_garment_and_at_three(house, django_assert_num_queries):
    for count in (1, 3):
        while Garment.objects.filter(stage="delivered").count() < count:
            order = take(house)
            accept(house, order)
            deliver(garment_of(order))
        with django_assert_num_queries(8):
            (row,) = profit_by_style(house.workshop)
        assert row.garments == count


def test_month_says_what_the_timed_hours_carried_and_how_many_garments_pay_it(house):
    garment, other = sewn(house), sewn(house)
    time(house, other, 0)
    TimeEntry.objects.update(ended_at=NOW + timedelta(hours=100))
    deliver(garment)
    rates = rates_of(house.workshop)

    found = month_of(house.workshop, rates, NOW + timedelta(days=31))

    assert (found.overhead, found.rate, found.timed) == (Decimal(1200), Decimal("4.00"), Decimal(100))
    assert found.uncarried == Decimal("800.00")
    assert found.delivered == 1
    (row,) = profit_by_style(house.workshop)
    assert (found.garments - 1) * (row.price - row.variable_cost) < 1200
    assert found.garments * (row.price - row.variable_cost) >= 1200


def test_month_is_silent_where_nothing_was_timed_or_delivered(house):
    assert month_of(house.workshop, rates_of(house.workshop), NOW) is None
    built.set_prices(house)

    found = month_of(house.workshop, rates_of(house.workshop), NOW)

    assert (found.timed, found.uncarried, found.garments, found.delivered) == (None, None, None, 0)
