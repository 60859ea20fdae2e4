from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from costing.errors import BadAmount
from costing.models import Invoice, Payment, Receipt
from costing.services.invoices import NothingToInvoice
from costing.services.payments import MoreThanDue
from tests.workshop.orders.house import NOW, TODAY, accept, open_house, pay, send
from workshop.errors import Refusal
from workshop.jobs.models import Job
from workshop.orders import queries, services
from workshop.people.models import LogEntry


def issue(house, order, kind="final"):
    return services.issue_invoice(order=order, kind=kind, by=house.owner, now=NOW)


def test_issue_invoice_deposit_and_final_sum_to_the_price(house, order):
    price = accept(house, order).payable

    final = issue(house, order)

    deposit = order.invoices.get(kind="deposit")
    assert deposit.payable + final.payable == price
    assert [(row.year, row.number) for row in (deposit, final)] == [(2026, 1), (2026, 2)]
    assert (final.issued_on, final.due_on) == (TODAY, TODAY + timedelta(days=14))
    assert Job.objects.filter(kind="paper", key=f"invoice-{final.pk}").count() == 1
    assert LogEntry.objects.latest("pk").summary == "Issued final invoice 2026-0002"


def test_issue_invoice_refuses_a_second_of_either_kind(house, order):
    accept(house, order)
    issue(house, order)

    with pytest.raises(NothingToInvoice, match=r"^The whole price was invoiced already\.$"):
        issue(house, order)
    with pytest.raises(NothingToInvoice, match=r"^The deposit was asked for already"):
        issue(house, order, "deposit")
    assert Invoice.objects.count() == 2


def test_issue_invoice_refuses_before_the_answer(house, order):
    with pytest.raises(
        NothingToInvoice, match="No quote of this order is accepted; there is no price to invoice"
    ):
        issue(house, order)

    send(house, order)

    with pytest.raises(NothingToInvoice, match="The quote that is out is not answered yet"):
        issue(house, order)


def test_issue_invoice_refuses_an_unknown_kind_and_a_cancelled_order(house, order):
    accept(house, order)

    with pytest.raises(Refusal, match=r"^Choose the deposit or the final invoice\.$"):
        issue(house, order, "banana")
    services.cancel_order(order=order, reason="moved away", by=house.owner, now=NOW)
    with pytest.raises(Refusal, match=r"^This order was cancelled; credit what was invoiced"):
        issue(house, order)


def test_record_payment_issues_a_receipt(house, order):
    made = accept(house, order)

    payment = pay(house, order, made.deposit, note="by hand")

    receipt = Receipt.objects.get()
    assert (receipt.payment, receipt.number, payment.note) == (payment, 1, "by hand")
    assert Decimal(receipt.content["still_due"]) == made.payable - made.deposit
    assert Job.objects.filter(kind="paper", key=f"receipt-{receipt.pk}").count() == 1
    balance = queries.balance(order)
    assert (balance.paid, balance.due) == (made.deposit, made.payable - made.deposit)
    assert LogEntry.objects.latest("pk").summary == f"Received EUR\u00a0{made.deposit:.2f}"


@pytest.mark.parametrize(
    ("amount", "more", "field"),
    [
        (Decimal("0"), {}, "amount"),
        (Decimal("-5"), {}, "amount"),
        (Decimal("NaN"), {}, "amount"),
        (Decimal("Infinity"), {}, "amount"),
        (Decimal("1.005"), {}, "amount"),
        (Decimal("999999"), {}, "amount"),
        (Decimal("5"), {"method": "seashells"}, "method"),
        (Decimal("5"), {"received_on": TODAY + timedelta(days=1)}, "received_on"),
        (Decimal("5"), {"note": "x" * 201}, "note"),
        (Decimal("5"), {"refund": True}, "amount"),
    ],
)
def test_record_payment_refuses_at_the_field(house, order, amount, more, field):
    accept(house, order)

    with pytest.raises((BadAmount, MoreThanDue, Refusal)) as refused:
        pay(house, order, amount, **more)

    assert refused.value.field == field
    assert Payment.objects.count() == 0


def test_record_payment_of_a_refund_gives_back_at_most_what_was_paid(house, order):
    deposit = accept(house, order).deposit
    pay(house, order, deposit)

    pay(house, order, Decimal("10.00"), refund=True)

    assert queries.balance(order).paid == deposit - 10
    assert LogEntry.objects.latest("pk").summary == "Gave back EUR\u00a010.00"


def test_money_is_the_owner_s_and_stays_in_the_workshop(house, order):
    accept(house, order)
    invoice = order.invoices.get()
    other = open_house("Other").owner

    for service in (
        lambda by: services.issue_invoice(order=order, kind="final", by=by, now=NOW),
        lambda by: services.credit_invoice(invoice=invoice, reason="x", by=by, now=NOW),
        lambda by: pay(house, order, Decimal(1), by=by),
    ):
        with pytest.raises(Refusal, match=r"^Only the owner can "):
            service(house.apprentice)
        with pytest.raises(Refusal, match=r"^There is no such staff in this workshop\.$"):
            service(other)


def test_credit_invoice_takes_it_back_once_and_lets_it_be_issued_anew(house, order):
    price = accept(house, order).payable
    deposit = order.invoices.get()

    note = services.credit_invoice(invoice=deposit, reason=" wrong name ", by=house.owner, now=NOW)

    assert (note.payable, note.reason) == (deposit.payable, "wrong name")
    assert Job.objects.filter(kind="paper", key=f"credit-note-{note.pk}").count() == 1
    assert LogEntry.objects.latest("pk").summary == (
        f"Credited EUR\u00a0{deposit.payable:.2f} of invoice 2026-0001: wrong name"
    )
    assert queries.balance(order).invoiced == 0
    assert issue(house, order).payable == price
    with pytest.raises(NothingToInvoice, match=r"^This invoice was credited already\.$"):
        services.credit_invoice(invoice=deposit, reason="again", by=house.owner, now=NOW)


def test_credit_invoice_needs_a_reason(house, order):
    accept(house, order)

    with pytest.raises(Refusal, match=r"^Enter why it is credited\.$"):
        services.credit_invoice(invoice=order.invoices.get(), reason=" ", by=house.owner, now=NOW)
