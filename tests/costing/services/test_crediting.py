"""Credit notes over all or part of an invoice, what they do to the price, and money given back for them."""

from __future__ import annotations

import contextlib
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from costing.errors import BadAmount
from costing.models import CreditNote, Invoice, Payment
from costing.queries import balance_of, credited, given_back, open_invoices
from costing.rules.crediting import MoreThanLeft
from costing.rules.money import minor_unit
from costing.rules.tax import tax_on
from costing.services import (
    credit_invoice,
    issue_deposit_invoice,
    issue_final_invoice,
    issue_receipt,
    lines_left,
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
    make_workshop,
    paying,
    receipting,
)

PRICE = Decimal("660.00")
WHY = {"reason": "The short dress has a fault.", "today": TODAY, "now": NOW}


@pytest.fixture
def invoiced(order):
    """Deposit and final invoice over 330.00 each, and the quote."""
    quote = make_accepted_quote(order, price=PRICE)
    return (
        issue_deposit_invoice(quote=quote, **issuing()),
        issue_final_invoice(quote=quote, **issuing()),
        quote,
    )


def test_credit_invoice_of_a_line_names_it_and_leaves_the_rest(order, invoiced):
    _, final, _ = invoiced

    note = credit_invoice(invoice=final, parts={1: Decimal("240.00")}, **WHY)

    assert [(row["words"], row["net"], row["of"]) for row in note.content["lines"]] == [
        ("Dress 2", "206.90", 1)
    ]
    assert (note.net, note.tax, note.rounding, note.payable) == (
        Decimal("206.90"),
        Decimal("33.10"),
        Decimal(0),
        Decimal("240.00"),
    )
    assert note.content["left"] == "90.00"
    assert [line.net for line in lines_left(final)] == [Decimal("362.07"), 0, Decimal("-284.48")]
    assert balance_of(order).invoiced == Decimal("420.00")


def test_credit_invoice_in_parts_and_then_the_rest_comes_to_the_invoice(invoiced):
    _, final, _ = invoiced
    parts = credit_invoice(invoice=final, parts={0: Decimal("100.00"), 1: Decimal("50.50")}, **WHY)

    rest = credit_invoice(invoice=final, **WHY)

    assert (parts.payable, rest.payable) == (Decimal("150.50"), Decimal("179.50"))
    assert parts.net + rest.net == final.net
    assert [line.net for line in lines_left(final)] == [0, 0, 0]
    with pytest.raises(NothingToInvoice, match="credited already"):
        credit_invoice(invoice=final, parts={0: Decimal(1)}, **WHY)


def test_credit_invoice_never_takes_more_than_is_left(invoiced):
    _, final, _ = invoiced
    credit_invoice(invoice=final, parts={1: Decimal("240.00")}, **WHY)

    with pytest.raises(MoreThanLeft, match=r"Only EUR\u00a00\.00 of this line is left"):
        credit_invoice(invoice=final, parts={1: Decimal("0.01")}, **WHY)
    with pytest.raises(MoreThanLeft, match=r"Only EUR\u00a090\.00 of this invoice is left"):
        credit_invoice(invoice=final, parts={0: Decimal("90.01")}, **WHY)
    assert CreditNote.objects.count() == 1


def test_no_deposit_is_asked_for_once_the_whole_price_was(order):
    quote = make_accepted_quote(order, price=PRICE)
    final = issue_final_invoice(quote=quote, **issuing())

    with pytest.raises(NothingToInvoice, match="whole price"):
        issue_deposit_invoice(quote=quote, **issuing())
    credit_invoice(invoice=final, parts={0: Decimal("20.00")}, **WHY)

    assert issue_deposit_invoice(quote=quote, **issuing()).payable == Decimal("20.00")


def test_a_part_that_is_asked_for_again_leaves_the_price(order, invoiced):
    _, final, quote = invoiced
    credit_invoice(invoice=final, parts={1: Decimal("240.00")}, **WHY)

    again = issue_final_invoice(quote=quote, **issuing())

    assert again.payable == Decimal("240.00")
    balance = balance_of(order)
    assert (balance.price, balance.taken_off, balance.invoiced, balance.due) == (PRICE, 0, PRICE, PRICE)


def test_a_part_that_lowers_the_price_is_never_asked_for_again(order, invoiced):
    _, final, quote = invoiced

    credit_invoice(invoice=final, parts={0: Decimal("60.00")}, lowers_price=True, **WHY)

    balance = balance_of(order)
    assert (balance.price, balance.taken_off, balance.invoiced, balance.due) == (600, 60, 600, 600)
    assert balance.agreed == PRICE
    with pytest.raises(NothingToInvoice, match="whole price"):
        issue_final_invoice(quote=quote, **issuing())
    with pytest.raises(MoreThanDue):
        record_payment(**paying(order, "600.01"))


def test_a_final_invoice_takes_off_what_lowered_the_price_before(order):
    quote = make_accepted_quote(order, price=PRICE)
    deposit = issue_deposit_invoice(quote=quote, **issuing())
    note = credit_invoice(invoice=deposit, parts={0: Decimal("30.00")}, lowers_price=True, **WHY)

    final = issue_final_invoice(quote=quote, **issuing())

    assert [(line["words"], line["net"]) for line in final.content["lines"]] == [
        ("Dress 1", "362.07"),
        ("Dress 2", "206.90"),
        ("Less credit note 2026-0001", str(-note.net)),
        ("Less deposit invoice 2026-0001", str(note.net - deposit.net)),
    ]
    assert final.payable == Decimal("330.00")
    assert (balance_of(order).price, balance_of(order).invoiced) == (630, 630)
    assert balance_of(order).deposit == 300


def test_lowering_a_price_needs_one_that_is_agreed(order, invoiced):
    deposit, _, quote = invoiced
    quote.state = "superseded"
    quote.save()

    with pytest.raises(NothingToInvoice, match="no price to lower"):
        credit_invoice(invoice=deposit, lowers_price=True, **WHY)


def test_a_refund_gives_back_at_most_what_its_credit_note_took_back(order, invoiced):
    _, final, _ = invoiced
    record_payment(**paying(order, "660.00"))
    note = credit_invoice(invoice=final, parts={0: Decimal("60.00")}, lowers_price=True, **WHY)
    owed = balance_of(order)

    refund = record_payment(**paying(order, "50.00", refund=True, credit_note=note))

    assert (owed.due, owed.to_give_back) == (-60, 60)
    assert (refund.credit_note, given_back(note)) == (note, 50)
    with pytest.raises(MoreThanDue, match=r"Only EUR\u00a010\.00 of this credit note is not given back yet"):
        record_payment(**paying(order, "10.01", refund=True, credit_note=note))
    record_payment(**paying(order, "10.00", refund=True, credit_note=note))
    assert (balance_of(order).due, balance_of(order).to_give_back, balance_of(order).settled) == (0, 0, True)


def test_a_refund_gives_back_at_most_what_was_paid(order, invoiced):
    _, final, _ = invoiced
    record_payment(**paying(order, "20.00"))
    note = credit_invoice(invoice=final, parts={0: Decimal("60.00")}, lowers_price=True, **WHY)

    with pytest.raises(MoreThanDue, match=r"Only EUR\u00a020\.00 was paid"):
        record_payment(**paying(order, "20.01", refund=True, credit_note=note))


def test_a_credit_note_pays_for_nothing_else(order, invoiced):
    _, final, _ = invoiced
    record_payment(**paying(order, "660.00"))
    note = credit_invoice(invoice=final, **WHY)
    other = make_order(order.workshop, number=2)
    make_accepted_quote(other, price=PRICE)
    record_payment(**paying(other, "100.00"))

    for wrong in (paying(order, "1.00"), paying(other, "1.00", refund=True)):
        with pytest.raises(BadAmount) as refused:
            record_payment(**{**wrong, "credit_note": note})
        assert refused.value.field == "credit_note"


def test_the_receipt_of_a_refund_names_its_credit_note(order, invoiced):
    _, final, _ = invoiced
    record_payment(**paying(order, "330.00"))
    note = credit_invoice(invoice=final, **WHY)
    refund = record_payment(**paying(order, "5.00", refund=True, credit_note=note))

    receipt = issue_receipt(payment=refund, **receipting())

    assert receipt.content["credit_note"] == "2026-0001"


def test_a_cancelled_order_owes_only_what_was_invoiced(order):
    quote = make_accepted_quote(order, price=PRICE)
    deposit = issue_deposit_invoice(quote=quote, **issuing())
    record_payment(**paying(order, "330.00"))
    order.cancelled_at = NOW
    order.save()
    kept = balance_of(order)

    credit_invoice(invoice=deposit, **WHY)

    assert (kept.price, kept.due) == (0, 0)
    assert balance_of(order).to_give_back == 330


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_papers_payments_refunds_and_balance_always_agree(workshop, data):
    """Whatever is issued, credited in part or whole, paid and given back in any turn."""
    from workshop.orders.models import Order

    currency = data.draw(st.sampled_from(["EUR", "JPY", "KWD"]))
    unit = minor_unit(currency)
    order = make_order(workshop, number=Order.objects.count() + 1)
    quote = make_accepted_quote(
        order,
        nets=[count * unit for count in data.draw(st.lists(st.integers(50, 10**6), min_size=1, max_size=3))],
        rate=Decimal(data.draw(st.sampled_from(["0", "5.5", "16", "21"]))),
        deposit=data.draw(st.integers(1, 99)),
        currency=currency,
    )
    for deed in data.draw(
        st.lists(st.sampled_from(["deposit", "final", "credit", "pay", "refund"]), max_size=9)
    ):
        with contextlib.suppress(NothingToInvoice, MoreThanDue, MoreThanLeft):
            _do(deed, order, quote, unit, data)

        invoices = list(Invoice.objects.filter(order=order))
        notes = list(CreditNote.objects.filter(invoice__order=order))
        payments = Payment.objects.filter(order=order)
        balance = balance_of(order)
        asked = sum(row.payable for row in invoices) - sum(row.payable for row in notes)
        off = sum(row.payable for row in notes if row.lowers_id)
        paid = sum(row.amount * (-1 if row.refund else 1) for row in payments)
        assert (balance.invoiced, balance.taken_off, balance.paid) == (asked, off, paid)
        assert balance.price == quote.payable - off
        assert balance.invoiced <= balance.price
        assert balance.due == balance.price - paid
        assert paid >= 0
        assert all(0 <= credited(row) <= row.payable for row in invoices)
        assert all(given_back(note) <= note.payable for note in notes)
        due = sum(row.due for row in open_invoices(workshop, TODAY) if row.invoice.order_id == order.pk)
        assert due == max(balance.invoiced - paid, 0)
        for paper in (*invoices, *notes):
            paper.refresh_from_db()
            assert paper.gross == paper.net + paper.tax
            for group in paper.content["groups"]:
                assert Decimal(group["tax"]) == tax_on(
                    Decimal(group["net"]), Decimal(group["rate"]), currency
                )


def _do(deed, order, quote, unit, data):
    if deed == "deposit":
        issue_deposit_invoice(quote=quote, **issuing())
    elif deed == "final":
        issue_final_invoice(quote=quote, **issuing())
    elif deed == "credit":
        invoices = list(Invoice.objects.filter(order=order).order_by("pk"))
        if invoices:
            invoice = data.draw(st.sampled_from(invoices))
            part = data.draw(st.none() | st.integers(1, 100))
            amount = None if part is None else (invoice.payable * part / 100).quantize(unit)
            lowers = data.draw(st.booleans())
            parts = {0: amount} if amount else None
            credit_invoice(invoice=invoice, parts=parts, lowers_price=lowers, **WHY)
    else:
        amount = (quote.payable * data.draw(st.integers(1, 100)) / 100).quantize(unit)
        notes = list(CreditNote.objects.filter(invoice__order=order).order_by("pk"))
        note = data.draw(st.none() | st.sampled_from(notes)) if notes and deed == "refund" else None
        if amount:
            paid = paying(order, amount, currency=quote.currency, refund=deed == "refund", credit_note=note)
            record_payment(**paid)


def test_credit_invoice_of_another_workshop_has_numbers_of_its_own(invoiced):
    _, final, _ = invoiced
    credit_invoice(invoice=final, **WHY)
    elsewhere = make_accepted_quote(make_order(make_workshop()))

    note = credit_invoice(invoice=issue_deposit_invoice(quote=elsewhere, **issuing()), **WHY)

    assert (note.year, note.number) == (2026, 1)
