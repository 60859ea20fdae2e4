from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from costing.errors import BadAmount
from costing.models import Payment, Receipt
from costing.queries import balance_of, balances, open_invoices, sales_by_month
from costing.rules.tax import TaxKey
from costing.services import (
    credit_invoice,
    issue_deposit_invoice,
    issue_final_invoice,
    issue_receipt,
    record_payment,
)
from costing.services.payments import MoreThanDue
from tests.costing.papers import (
    NOW,
    TODAY,
    issuing,
    make_accepted_quote,
    make_order,
    paying,
    receipting,
)


@pytest.fixture
def agreed(order):
    make_accepted_quote(order, price=Decimal("660.00"))
    return order


def test_record_payment_in_parts_settles_the_order(agreed):
    record_payment(**paying(agreed, "330.00"))
    half = balance_of(agreed)
    record_payment(**paying(agreed, "330.00", method="card"))

    assert (half.paid, half.due, half.deposit_in, half.settled) == (330, 330, True, False)
    assert (balance_of(agreed).due, balance_of(agreed).settled) == (0, True)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"amount": Decimal(0)}, "amount"),
        ({"amount": Decimal(-5)}, "amount"),
        ({"amount": Decimal("NaN")}, "amount"),
        ({"amount": Decimal("Infinity")}, "amount"),
        ({"amount": Decimal("0.001")}, "amount"),
        ({"method": "barter"}, "method"),
        ({"received_on": TODAY + timedelta(days=1)}, "received_on"),
        ({"received_on": date(1, 1, 1)}, "received_on"),
        ({"received_on": TODAY.replace(year=TODAY.year - 11)}, "received_on"),
    ],
)
def test_record_payment_refuses_what_is_no_payment(agreed, changes, field):
    with pytest.raises(BadAmount) as caught:
        record_payment(**{**paying(agreed, "10.00"), **changes})

    assert caught.value.field == field
    assert Payment.objects.count() == 0


def test_record_payment_refuses_more_than_is_due(agreed):
    record_payment(**paying(agreed, "600.00"))

    with pytest.raises(MoreThanDue, match=r"Only EUR\u00a060\.00 is still to pay"):
        record_payment(**paying(agreed, "60.01"))


def test_record_payment_refuses_a_refund_beyond_what_was_paid(agreed):
    record_payment(**paying(agreed, "100.00"))

    with pytest.raises(MoreThanDue, match=r"Only EUR\u00a0100\.00 was paid"):
        record_payment(**paying(agreed, "100.01", refund=True))


def test_record_payment_refuses_money_before_anything_is_agreed(order):
    with pytest.raises(MoreThanDue, match="No quote of this order is accepted yet"):
        record_payment(**paying(order, "1.00"))


def test_issue_receipt_copies_what_was_paid_and_what_is_left(agreed):
    payment = record_payment(**paying(agreed, "330.00", method="transfer"))

    receipt = issue_receipt(payment=payment, **receipting())
    again = issue_receipt(payment=payment, **receipting())

    assert receipt == again
    assert Receipt.objects.count() == 1
    assert Decimal(receipt.content["amount"]) == Decimal(receipt.content["still_due"]) == Decimal("330.00")
    assert receipt.content["method"] == "bank transfer"


def test_balances_of_many_orders_take_as_many_queries_as_of_one(agreed, django_assert_num_queries):
    orders = [agreed, *(make_order(agreed.workshop, number=number) for number in (2, 3))]
    for order in orders[1:]:
        issue_deposit_invoice(quote=make_accepted_quote(order), **issuing())

    with django_assert_num_queries(4):
        one = balances([agreed.pk])
    with django_assert_num_queries(4):
        three = balances([order.pk for order in orders])

    assert one[agreed.pk] == three[agreed.pk]
    assert three[orders[1].pk].invoiced == Decimal("330.010")


def test_open_invoices_are_those_not_paid_up(agreed):
    quote = agreed.quotes.get()
    invoice = issue_deposit_invoice(quote=quote, **issuing())

    before = open_invoices(agreed.workshop, TODAY)
    late = open_invoices(agreed.workshop, invoice.due_on + timedelta(days=1))
    record_payment(**paying(agreed, "330.00"))
    after = open_invoices(agreed.workshop, TODAY)

    assert [(row.invoice, row.due, row.overdue) for row in before] == [(invoice, Decimal("330.00"), False)]
    assert [row.overdue for row in late] == [True]
    assert after == []


def test_open_invoices_pass_over_one_that_was_credited(agreed):
    quote = agreed.quotes.get()
    deposit = issue_deposit_invoice(quote=quote, **issuing())
    final = issue_final_invoice(quote=quote, **issuing(today=TODAY + timedelta(days=1)))
    credit_invoice(invoice=final, reason="too early", today=TODAY, now=NOW)

    left = open_invoices(agreed.workshop, TODAY)

    assert [(row.invoice, row.due) for row in left] == [(deposit, Decimal("330.00"))]


def test_sales_by_month_take_off_credit_notes(agreed):
    invoice = issue_deposit_invoice(quote=agreed.quotes.get(), **issuing())
    sold = sales_by_month(agreed.workshop)
    credit_invoice(invoice=invoice, reason="wrong", today=TODAY, now=NOW)

    assert [(row.year, row.month, row.key, row.net, row.tax) for row in sold] == [
        (2026, 11, TaxKey.of(Decimal(16)), Decimal("284.48"), Decimal("45.52"))
    ]
    assert [row.gross for row in sales_by_month(agreed.workshop)] == [0]
