from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from costing.errors import BadAmount
from costing.models import Invoice, NumberSeries
from costing.queries import balance_of, paper_number
from costing.rules.money import minor_unit
from costing.rules.tax import tax_on
from costing.services import (
    credit_invoice,
    issue_deposit_invoice,
    issue_final_invoice,
    record_payment,
)
from costing.services.invoices import NothingToInvoice
from costing.services.payments import MoreThanDue
from tests.costing.papers import (
    NOW,
    TODAY,
    issuing,
    make_accepted_quote,
    make_order,
    make_quote,
    make_workshop,
    paying,
)


def test_deposit_and_final_invoice_sum_to_the_agreed_price(order):
    """568.97 net at 16 % is 660.01; agreed 660.00, half of it first."""
    quote = make_accepted_quote(order, price=Decimal("660.00"))

    deposit = issue_deposit_invoice(quote=quote, **issuing())
    final = issue_final_invoice(quote=quote, **issuing())

    assert (deposit.net, deposit.tax, deposit.rounding, deposit.payable) == (
        Decimal("284.48"),
        Decimal("45.52"),
        Decimal("0.00"),
        Decimal("330.00"),
    )
    assert (final.net, final.tax, final.rounding, final.payable) == (
        Decimal("284.49"),
        Decimal("45.52"),
        Decimal("-0.01"),
        Decimal("330.00"),
    )
    assert [line["words"] for line in final.content["lines"]] == [
        "Dress 1",
        "Dress 2",
        "Less deposit invoice 2026-0001",
    ]


@pytest.mark.parametrize(
    ("paid", "before"),
    [
        (["330.00"], "0"),  # the deposit, which an invoice has asked for
        (["330.00", "100.00"], "100.00"),
        (["430.00", "230.00"], "330.00"),  # all of it
        ([], "0"),
    ],
)
def test_final_invoice_knows_what_was_paid_beyond_earlier_ones(order, paid, before):
    quote = make_accepted_quote(order, price=Decimal("660.00"))
    issue_deposit_invoice(quote=quote, **issuing())
    for amount in paid:
        record_payment(**paying(order, amount))

    final = issue_final_invoice(quote=quote, **issuing())

    assert (final.paid_before, final.payable) == (Decimal(before), Decimal("330.00"))
    assert balance_of(order).due == Decimal("660.00") - sum(map(Decimal, paid), Decimal(0))


def test_deposit_invoice_knows_what_was_paid_before_any(order):
    quote = make_accepted_quote(order, price=Decimal("660.00"))
    record_payment(**paying(order, "50.00"))

    deposit = issue_deposit_invoice(quote=quote, **issuing())
    final = issue_final_invoice(quote=quote, **issuing())

    assert (deposit.paid_before, final.paid_before) == (Decimal("50.00"), Decimal("0"))


@pytest.mark.parametrize(
    ("currency", "net", "rate", "price", "share", "deposit_sums", "final_sums"),
    [
        # 100.00 cannot be reached at 21 %: 82.64 makes 99.99. Its halves can: 41.32 + 8.68.
        ("EUR", "82.64", 21, "100.00", 50, ("41.32", "8.68", "0", "50.00"), ("41.32", "8.68", "0", "50.00")),
        ("EUR", "82.64", 21, "100.00", 30, ("24.79", "5.21", "0", "30.00"), ("57.85", "12.15", "0", "70.00")),
        ("JPY", "100", 21, "121", 33, ("33", "7", "0", "40"), ("67", "14", "0", "81")),
        ("JPY", "10001", 10, "11001", 50, ("5001", "500", "0", "5501"), ("5000", "500", "0", "5500")),
    ],
)
def test_deposit_and_final_invoice_sum_to_the_price_in_every_coin(
    *, order, currency, net, rate, price, share, deposit_sums, final_sums
):
    quote = make_accepted_quote(
        order,
        price=Decimal(price),
        nets=(Decimal(net),),
        rate=Decimal(rate),
        deposit=share,
        currency=currency,
    )

    deposit = issue_deposit_invoice(quote=quote, **issuing())
    final = issue_final_invoice(quote=quote, **issuing())

    for invoice, sums in ((deposit, deposit_sums), (final, final_sums)):
        assert (invoice.net, invoice.tax, invoice.rounding, invoice.payable) == tuple(map(Decimal, sums))
    assert deposit.payable + final.payable == Decimal(price)


def test_issued_invoices_are_numbered_by_workshop_and_year(order):
    elsewhere = make_order(make_workshop())
    quote = make_accepted_quote(order)

    numbers = [
        paper_number(issue_deposit_invoice(quote=quote, **issuing())),
        paper_number(issue_deposit_invoice(quote=make_accepted_quote(elsewhere), **issuing())),
        paper_number(issue_final_invoice(quote=quote, **issuing(today=date(2027, 1, 2)))),
    ]

    assert numbers == ["2026-0001", "2026-0001", "2027-0001"]


def test_an_invoice_that_fails_takes_no_number(order):
    quote = make_accepted_quote(order)
    issue_deposit_invoice(quote=quote, **issuing())

    with pytest.raises(NothingToInvoice, match="asked for already"):
        issue_deposit_invoice(quote=quote, **issuing())
    final = issue_final_invoice(quote=quote, **issuing())

    assert final.number == 2
    assert NumberSeries.objects.get(kind="invoice").last == 2


@pytest.mark.parametrize("issue", [issue_deposit_invoice, issue_final_invoice])
def test_no_invoice_is_issued_before_a_quote_is_accepted(order, issue):
    with pytest.raises(NothingToInvoice, match="accepted"):
        issue(quote=make_quote(order), **issuing())

    assert Invoice.objects.count() == 0


def test_deposit_invoice_refuses_a_quote_without_deposit(order):
    with pytest.raises(NothingToInvoice, match="no deposit"):
        issue_deposit_invoice(quote=make_accepted_quote(order, deposit=0), **issuing())


def test_final_invoice_is_issued_once(order):
    quote = make_accepted_quote(order)
    issue_final_invoice(quote=quote, **issuing())

    with pytest.raises(NothingToInvoice, match="whole price"):
        issue_final_invoice(quote=quote, **issuing())


def test_credit_invoice_takes_all_of_it_back_with_a_number_of_its_own(order):
    quote = make_accepted_quote(order, price=Decimal("660.00"))
    deposit = issue_deposit_invoice(quote=quote, **issuing())

    note = credit_invoice(invoice=deposit, reason=" typing error ", today=TODAY, now=NOW)

    assert (paper_number(note), note.payable, note.reason) == ("2026-0001", Decimal("330.00"), "typing error")
    assert note.content["invoice"] == "2026-0001"
    assert balance_of(order).invoiced == 0


def test_a_credited_deposit_can_be_asked_for_again(order):
    quote = make_accepted_quote(order)
    credit_invoice(
        invoice=issue_deposit_invoice(quote=quote, **issuing()), reason="wrong address", today=TODAY, now=NOW
    )

    again = issue_deposit_invoice(quote=quote, **issuing())

    assert (paper_number(again), again.payable) == ("2026-0002", quote.deposit)


def test_credit_invoice_needs_a_reason_and_happens_once(order):
    invoice = issue_deposit_invoice(quote=make_accepted_quote(order), **issuing())

    with pytest.raises(BadAmount) as caught:
        credit_invoice(invoice=invoice, reason=" ", today=TODAY, now=NOW)
    credit_invoice(invoice=invoice, reason="wrong", today=TODAY, now=NOW)
    with pytest.raises(NothingToInvoice, match="credited already"):
        credit_invoice(invoice=invoice, reason="wrong", today=TODAY, now=NOW)

    assert caught.value.field == "reason"


def test_an_issued_invoice_keeps_the_words_of_its_day(order):
    quote = make_accepted_quote(order)
    invoice = issue_deposit_invoice(quote=quote, **issuing())
    before = dict(invoice.content)

    order.client.name = "Another Name"
    order.client.save()
    order.workshop.address = "Moved"
    order.workshop.save()

    invoice.refresh_from_db()
    assert invoice.content == before
    assert invoice.content["buyer"]["name"] == "Adaeze Nwosu"


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    currency=st.sampled_from(["EUR", "XOF", "KWD"]),
    counts=st.lists(st.integers(min_value=1, max_value=10**7), min_size=1, max_size=4),
    rate=st.sampled_from(["0", "5.5", "16", "18", "21"]),
    deposit=st.integers(min_value=1, max_value=99),
    credited=st.booleans(),
    shares=st.lists(st.integers(min_value=1, max_value=60), max_size=4),
)
def test_papers_and_balance_agree(*, workshop, currency, counts, rate, deposit, credited, shares):
    """Whatever is issued, credited, paid and given back, sums of the rows are the balance."""
    from workshop.orders.models import Order

    order = make_order(workshop, number=Order.objects.count() + 1)
    unit = minor_unit(currency)
    quote = make_accepted_quote(
        order, nets=[count * unit for count in counts], rate=Decimal(rate), deposit=deposit, currency=currency
    )

    invoices = []
    if quote.deposit:
        invoices.append(issue_deposit_invoice(quote=quote, **issuing()))
        if credited:
            credit_invoice(invoice=invoices[0], reason="again", today=TODAY, now=NOW)
            invoices.append(issue_deposit_invoice(quote=quote, **issuing()))
    if quote.payable > quote.deposit:
        invoices.append(issue_final_invoice(quote=quote, **issuing()))
    paid = Decimal(0)
    for share in shares:
        amount = (quote.payable * share / 100).quantize(unit)
        if amount and amount <= quote.payable - paid:
            record_payment(**paying(order, amount, currency=currency))
            paid += amount
    if paid:
        record_payment(**paying(order, unit, currency=currency, refund=True))
        paid -= unit

    balance = balance_of(order)
    assert (balance.price, balance.invoiced, balance.paid) == (quote.payable, quote.payable, paid)
    assert balance.due == quote.payable - paid
    with pytest.raises(MoreThanDue):
        record_payment(**paying(order, balance.due + unit, currency=currency))
    for invoice in invoices:
        invoice.refresh_from_db()
        assert invoice.gross == invoice.net + invoice.tax
        assert abs(invoice.rounding) <= 2 * unit
        for group in invoice.content["groups"]:
            assert Decimal(group["tax"]) == tax_on(Decimal(group["net"]), Decimal(group["rate"]), currency)
