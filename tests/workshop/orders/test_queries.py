from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.workshop.orders.house import (
    NOW,
    accept,
    add_wearer,
    draft,
    garment_of,
    hold,
    lay,
    open_house,
    send,
    take,
    tick_all,
    to_cut,
    wish,
)
from workshop.orders import queries, services
from workshop.orders.models import Garment


def counted(ask) -> int:
    with CaptureQueriesContext(
        connection,
    ) as asked:
        ask()
    return len(asked)


def hung(house):
    rows = Garment.objects.filter(workshop=house.workshop).select_related(
        "workshop", "order__workshop", "wearer"
    )
    return list(rows.order_by("pk"))


def test_facts_of_and_next_needs_ask_the_same_number_of_queries_for_one_and_three(house):
    to_cut(house, take(house))
    hold(house, hung(house)[0])
    one_facts = counted(lambda: queries.facts_of(hung(house), now=NOW))
    one_needs = counted(lambda: queries.next_needs(hung(house), now=NOW))
    to_cut(house, take(house))
    accept(house, take(house, wishes=[wish(house, wearer=add_wearer(house.client, "Lise"))]))

    assert len(queries.next_needs(hung(house), now=NOW)) == 3
    assert counted(lambda: queries.facts_of(hung(house), now=NOW)) == one_facts
    assert counted(lambda: queries.next_needs(hung(house), now=NOW)) == one_needs


def test_orders_ask_the_same_number_of_queries_for_one_and_three(house):
    def ask():
        return [
            (order.client.name, [garment.title for garment in order.garments.all()])
            for order in queries.orders(house.workshop)
        ]

    take(house)
    one = counted(ask)
    take(house)
    take(house)

    assert len(ask()) == 3
    assert counted(ask) == one


def test_to_cut_asks_the_same_number_of_queries_for_one_and_three(house):
    def ask():
        return [
            (garment.wearer.name, garment.order.number, garment.lines, garment.lines_done)
            for garment in queries.to_cut(house.workshop)
        ]

    to_cut(house, take(house))
    one = counted(ask)
    to_cut(house, take(house))
    to_cut(house, take(house))

    assert len(ask()) == 3
    assert counted(ask) == one == 1


def test_to_cut_counts_the_lines_of_the_draft_that_holds_due_first(house):
    late = to_cut(house, take(house, due_on=date(2026, 5, 9)))
    soon = to_cut(house, take(house, due_on=date(2026, 4, 9)))
    lay(services.draft_garment(garment=soon, by=house.owner, now=NOW))
    Garment.objects.filter(pk=soon.pk).update(stage="cut")
    tick_all(house, late)
    gone = take(house)
    to_cut(house, gone)
    services.cancel_order(order=gone, reason="moved away", by=house.owner, now=NOW)
    lines = queries.current_draft(late).cutting_lines.count()

    found = [(row.pk, row.lines, row.lines_done) for row in queries.to_cut(house.workshop)]

    assert found == [(soon.pk, lines, 0), (late.pk, lines, lines)]


@pytest.mark.parametrize(
    ("search", "found"),
    [
        ("", [3, 2, 1]),
        ("marta", [3, 2, 1]),
        ("WEDDING", [2]),
        ("lise", [3]),
        ("cape", [3]),
        ("2", [2]),
        ("٢", []),
        ("99999999999999999999", []),
        ("nobody", []),
    ],
)
def test_orders_are_found_by_number_client_wearer_garment_and_occasion(house, search, found):
    take(house)
    take(house, occasion="wedding")
    lise = add_wearer(house.client, "Lise Quist")
    take(house, wishes=[wish(house, wearer=lise), wish(house, wearer=lise, title="Cape")])
    take(open_house("Other"), occasion="wedding")

    assert [order.number for order in queries.orders(house.workshop, search=search)] == found


def test_next_need_follows_a_garment_on_its_way(house, order, garment):
    needs = [queries.next_need(garment, now=NOW)]
    made = draft(house, garment)
    needs.append(queries.next_need(garment, now=NOW))
    lay(made)
    send(house, order)
    needs.append(queries.next_need(garment, now=NOW))

    assert needs == [
        "Measure Marta Quist.",
        "Prepare the quote.",
        "The customer has not answered the quote yet.",
    ]


def test_moves_of_a_garment_at_fit_show_the_fitting_that_is_booked(house, garment):
    made = hold(house, garment)
    made.held_at = None
    made.save()
    Garment.objects.filter(pk=garment.pk).update(stage="fit")

    shown = queries.moves(garment)

    assert [(move.to, move.back, move.refusals, move.waivable) for move in shown] == [
        ("deliver", False, ["The fitting is on Wednesday 11 March, 09:00."], True),
        ("sew", True, [], False),
        ("cut", True, [], False),
        ("measure", True, [], False),
    ]


def test_rows_of_another_workshop_are_not_there(house, order, garment):
    made = draft(house, garment)
    line = made.cutting_lines.first()
    other = open_house("Other").workshop

    assert queries.order_of(house.workshop, order.number) == order
    assert queries.garment_of(house.workshop, garment.pk) == garment
    assert queries.draft_of(house.workshop, made.pk) == made
    assert queries.line_of(house.workshop, line.pk) == line
    assert queries.order_of(other, order.number) is None
    assert queries.garment_of(other, garment.pk) is None
    assert queries.draft_of(other, made.pk) is None
    assert queries.line_of(other, line.pk) is None
    assert list(queries.orders(other)) == []
    assert list(queries.to_cut(other)) == []
    assert queries.waiting_for_owner(other, NOW) == []


def test_quotes_of_another_workshop_do_not_wait_for_its_owner(house, order):
    send(house, order)
    services.prepare_quote(order=order, by=house.owner, now=NOW)

    assert len(queries.waiting_for_owner(house.workshop, NOW)) == 1
    assert queries.waiting_for_owner(open_house("Other").workshop, NOW) == []


def test_garment_of_order_stands_at_measure_first(house):
    assert garment_of(take(house)).stage == "measure"
