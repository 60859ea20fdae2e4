"""Unpaid invoices, deposits held, sales by month and rate; each costs the same at one order and at three."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from costing.queries import deposits_held, open_invoices, sales_by_month
from costing.rules.tax import TaxKey
from costing.services import credit_invoice, issue_deposit_invoice, issue_final_invoice, record_payment
from tests.costing.papers import NOW, TODAY, issuing, make_accepted_quote, make_order, make_workshop, paying

DUE = date(2026, 12, 9)


def asked(order, **options):
    """The deposit invoice of an agreed order; 330.00 of 660.00."""
    quote = make_accepted_quote(order, price=Decimal("660.00"), **options)
    return issue_deposit_invoice(quote=quote, **issuing())


def finally_invoiced(order, due_on=DUE + timedelta(days=30)):
    return issue_final_invoice(quote=order.quotes.get(), **issuing(due_on=due_on))


def test_open_invoices_count_days_and_settle_the_oldest_first(order):
    deposit = asked(order)
    final = finally_invoiced(order)
    record_payment(**paying(order, "400.00"))

    rows = open_invoices(order.workshop, DUE + timedelta(days=33))
    on_the_day = open_invoices(order.workshop, DUE + timedelta(days=30))

    assert [(row.invoice, row.due, row.days_overdue, row.overdue) for row in rows] == [
        (final, Decimal("260.00"), 3, True)
    ]
    assert [row.days_overdue for row in on_the_day] == [0]
    assert deposit.payable + final.payable == 660


def test_open_invoices_list_each_that_is_unpaid_the_first_due_before(order):
    deposit, final = asked(order), finally_invoiced(order)

    rows = open_invoices(order.workshop, DUE + timedelta(days=1))

    assert [(row.invoice, row.days_overdue) for row in rows] == [(deposit, 1), (final, 0)]


def test_open_invoices_ask_again_for_what_was_paid_back(order):
    deposit = asked(order)
    record_payment(**paying(order, "330.00"))
    paid = open_invoices(order.workshop, TODAY)
    record_payment(**paying(order, "100.00", refund=True))

    rows = open_invoices(order.workshop, TODAY)

    assert paid == []
    assert [(row.invoice, row.due) for row in rows] == [(deposit, Decimal("100.00"))]


def test_open_invoices_ask_only_for_what_was_not_credited(order):
    deposit = asked(order)
    credit_invoice(invoice=deposit, reason="a slip", parts={0: Decimal("30.00")}, today=TODAY, now=NOW)
    part = open_invoices(order.workshop, TODAY)
    credit_invoice(invoice=deposit, reason="a slip", today=TODAY, now=NOW)

    assert [row.due for row in part] == [Decimal("300.00")]
    assert open_invoices(order.workshop, TODAY) == []


def test_deposits_held_are_not_ended_by_a_part_credit_of_the_final_invoice(order):
    asked(order)
    record_payment(**paying(order, "330.00"))
    final = finally_invoiced(order)
    credit_invoice(invoice=final, reason="a slip", parts={0: Decimal("30.00")}, today=TODAY, now=NOW)
    part = deposits_held(order.workshop)
    credit_invoice(invoice=final, reason="a slip", today=TODAY, now=NOW)

    assert part == []
    assert [row.amount for row in deposits_held(order.workshop)] == [330]


def test_deposits_held_end_with_the_final_invoice_and_begin_again_when_it_is_credited(order):
    asked(order)
    unpaid = deposits_held(order.workshop)
    record_payment(**paying(order, "200.00"))
    record_payment(**paying(order, "130.00"))
    record_payment(**paying(order, "30.00", refund=True))
    paid = deposits_held(order.workshop)
    final = finally_invoiced(order)
    invoiced = deposits_held(order.workshop)
    credit_invoice(invoice=final, reason="too early", today=TODAY, now=NOW)

    (again,) = deposits_held(order.workshop)

    assert unpaid == invoiced == []
    assert [(row.order, row.since_on, row.asked, row.amount) for row in paid] == [
        (order, TODAY, Decimal("330.00"), Decimal("300.00"))
    ]
    assert again.amount == 300


def test_deposits_held_leave_out_what_was_paid_back(order):
    asked(order)
    record_payment(**paying(order, "330.00"))
    record_payment(**paying(order, "330.00", refund=True))

    assert deposits_held(order.workshop) == []


def test_sales_by_month_keep_the_rates_apart(order):
    asked(order)
    asked(make_order(order.workshop, number=2), rate=Decimal(8))
    issued = issue_final_invoice(quote=order.quotes.get(), **issuing(today=date(2026, 12, 1)))

    rows = [row for row in sales_by_month(order.workshop) if row.key]

    standard, reduced = TaxKey.of(Decimal(16)), TaxKey.of(Decimal(8))
    assert [(row.year, row.month, row.key) for row in rows] == [
        (2026, 12, standard),
        (2026, 11, reduced),
        (2026, 11, standard),
    ]
    assert (rows[0].net, rows[0].tax, rows[0].gross) == (issued.net, issued.tax, issued.gross)
    assert (rows[2].net, rows[2].tax) == (Decimal("284.48"), Decimal("45.52"))


def test_sales_by_month_put_a_credit_note_into_its_own_month(order):
    invoice = asked(order)
    credit_invoice(invoice=invoice, reason="wrong", today=date(2027, 1, 4), now=NOW)

    rows = sales_by_month(order.workshop)

    assert [(row.year, row.month, row.net, row.tax) for row in rows] == [
        (2027, 1, -invoice.net, -invoice.tax),
        (2026, 11, invoice.net, invoice.tax),
    ]


def test_sales_by_month_sum_to_what_the_papers_come_to(order):
    """At 21 % no amount before tax makes 100.00: 82.64 makes 99.99, the rest is rounding."""
    quote = make_accepted_quote(
        order, nets=[Decimal("82.64")], rate=Decimal(21), price=Decimal(100), deposit=0
    )
    final = issue_final_invoice(quote=quote, **issuing())

    by_rate, rounding = sales_by_month(order.workshop)

    assert (by_rate.net, by_rate.tax, by_rate.rounding) == (Decimal("82.64"), Decimal("17.35"), 0)
    assert (rounding.key, rounding.net, rounding.tax, rounding.rounding) == (None, 0, 0, Decimal("0.01"))
    assert by_rate.gross + rounding.gross == final.payable == 100
    credit_invoice(invoice=final, reason="a slip", today=TODAY, now=NOW)
    assert [row.gross for row in sales_by_month(order.workshop)] == [0]


@pytest.mark.parametrize(
    ("statement", "queries"),
    [(lambda w: open_invoices(w, TODAY), 3), (deposits_held, 3), (sales_by_month, 2)],
)
def test_statement_takes_as_many_queries_at_one_order_as_at_three(
    statement, queries, order, django_assert_num_queries
):
    asked(order)
    record_payment(**paying(order, "30.00"))
    with django_assert_num_queries(queries):
        one = statement(order.workshop)
    for number in (2, 3):
        more = make_order(order.workshop, number=number)
        asked(more, rate=Decimal(number))
        record_payment(**paying(more, "30.00"))

    with django_assert_num_queries(queries):
        three = statement(order.workshop)
        [str(row.order.client.name) for row in three if hasattr(row, "order")]
        [str(row.invoice.order.client.name) for row in three if hasattr(row, "invoice")]

    assert (len(one), len(three)) == (1, 3)


@pytest.mark.parametrize("statement", [lambda w: open_invoices(w, TODAY), deposits_held, sales_by_month])
def test_statement_shows_nothing_of_another_workshop(statement, order):
    asked(order)
    record_payment(**paying(order, "30.00"))

    assert len(statement(order.workshop)) == 1
    assert statement(make_workshop()) == []
