from __future__ import annotations

from datetime import date

import pytest

from costing.errors import BadAmount
from costing.queries import reserved_for, stock_of
from tests.workshop.orders.house import NOW, accept, buy, garment_of, open_house, send, take
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders import queries, services
from workshop.people.models import LogEntry


def lengths(garment):
    """What must be set aside for a garment, mm: shell, interfacing."""
    return [lay.need_mm for lay in queries.current_lays(queries.current_draft(garment))]


def test_accept_quote_sets_aside_the_cloth_that_lies_free(house, order, garment):
    buy(house, house.satin)
    buy(house, house.interfacing)
    assert reserved_for(garment.pk) == {}

    accept(house, order)

    shell, fusible = lengths(garment)
    assert reserved_for(garment.pk) == {house.satin.pk: shell, house.interfacing.pk: fusible}


def test_accept_quote_sets_aside_a_whole_length_or_nothing(house, order, garment):
    buy(house, house.satin, 500.0)
    buy(house, house.interfacing)

    accept(house, order)

    assert reserved_for(garment.pk) == {house.interfacing.pk: lengths(garment)[1]}


def test_mark_cloth_bought_serves_the_earliest_due_first(house):
    late = take(house, due_on=date(2026, 5, 20))
    soon = take(house, due_on=date(2026, 4, 1))
    for order in (late, soon):
        accept(house, order)
    length = lengths(garment_of(soon))[0]

    first = buy(house, house.satin, length)
    second = buy(house, house.satin, length)

    assert first == [garment_of(soon)]
    assert second == [garment_of(late)]
    assert stock_of([house.satin.pk])[house.satin.pk].free == 0


def test_mark_cloth_bought_leaves_alone_what_was_not_accepted_or_was_cancelled(house):
    sent = take(house)
    cancelled = take(house)
    send(house, sent)
    accept(house, cancelled)
    services.cancel_order(order=cancelled, reason="moved away", by=house.owner, now=NOW)

    served = buy(house, house.satin)

    assert served == []
    assert stock_of([house.satin.pk])[house.satin.pk].reserved == 0


def test_mark_cloth_bought_is_logged_and_plans_anew(house, order, garment):
    accept(house, order)
    Job.objects.filter(kind="refresh_plan").delete()

    buy(house, house.satin, 12_340.0)

    entry = LogEntry.objects.get(action="buy cloth")
    assert entry.summary == "Bought 12.34 m of Grey satin"
    assert entry.after == {"length_mm": 12340.0, "set_aside_for": [garment.pk]}
    assert Job.objects.filter(kind="refresh_plan").count() == 1


@pytest.mark.parametrize("length", [0.0, -1.0, float("nan"), float("inf"), 1e12])
def test_mark_cloth_bought_refuses_what_is_no_length(house, length):
    with pytest.raises(BadAmount, match=r"^A length of cloth is above zero and at most 1,000 m\.$"):
        buy(house, house.satin, length)

    assert house.workshop.stock_moves.count() == 0


def test_mark_cloth_bought_refuses_another_workshop_s_cloth(house):
    with pytest.raises(Refusal, match=r"^There is no such cloth in this workshop\.$"):
        buy(house, open_house("Other").satin)


def test_cancel_order_frees_the_cloth_and_withdraws_the_quote(house, order, garment):
    buy(house, house.satin)
    accept(house, order)
    services.prepare_quote(order=order, by=house.owner, now=NOW)
    assert set(reserved_for(garment.pk)) == {house.satin.pk}

    services.cancel_order(order=order, reason="moved away", by=house.owner, now=NOW)

    order.refresh_from_db()
    assert reserved_for(garment.pk) == {}
    assert list(order.quotes.order_by("version").values_list("state", flat=True)) == ["accepted", "withdrawn"]
    assert (order.cancelled_at, order.version) == (NOW, 2)
    assert queries.next_need(garment) == "Cancelled."
