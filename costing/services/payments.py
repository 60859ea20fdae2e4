"""Payments, refunds and their receipts."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from django.db import transaction

from costing.errors import BadAmount, CostingError
from costing.models import CreditNote, NumberSeries, Payment, Receipt
from costing.parties import Party
from costing.queries import Balance, balance_of, given_back, paper_number
from costing.rules.money import ZERO, format_money, refuse_amount
from costing.services.numbering import next_number
from costing.speech import ENGLISH

LONG_AGO = timedelta(days=3653)
"""Ten years: a payment that is noted so late is a slip in the year."""


class MoreThanDue(CostingError):
    """More money than the order still owes, or more back than was paid."""


@transaction.atomic
def record_payment(
    *,
    workshop: Any,
    order: Any,
    currency: str,
    amount: Decimal,
    method: str,
    received_on: date,
    today: date,
    now: datetime,
    note: str = "",
    refund: bool = False,
    credit_note: CreditNote | None = None,
) -> Payment:
    """Note money that came in, or went back, then for a credit note where one is named.

    Raises:
        BadAmount: not above zero, finer than the currency's smallest coin, or dated in the future or years
            ago; or a credit note of another order, or one for money that came in.
        MoreThanDue: more than is still to pay, or more back than was paid or credited; or nothing is agreed
            yet.
    """
    type(order).objects.select_for_update().get(pk=order.pk)  # two tills wait for each other here
    refuse_amount(amount, currency, field="amount")
    if method not in Payment.Method.values:
        raise BadAmount("Choose cash, bank transfer or card.", field="method")
    if received_on > today:
        raise BadAmount("Money cannot have come in the future; check the day.", field="received_on")
    if today - received_on > LONG_AGO:
        raise BadAmount("That day is many years ago; check the year.", field="received_on")
    if credit_note is not None:
        _refuse_credit_note(credit_note, order, refund)
    most, what = _most(balance_of(order), refund, credit_note)
    if amount > most:
        raise MoreThanDue(f"Only {format_money(max(most, ZERO), currency)} {what}.", field="amount")
    return Payment.objects.create(
        workshop=workshop,
        order=order,
        refund=refund,
        credit_note=credit_note,
        method=method,
        amount=amount,
        received_on=received_on,
        note=note.strip()[:200],
        created_at=now,
    )


def _refuse_credit_note(credit_note: CreditNote, order: Any, refund: bool) -> None:
    if credit_note.invoice.order_id != order.pk:
        raise BadAmount("That credit note is another order's.", field="credit_note")
    if not refund:
        raise BadAmount("Only money given back is for a credit note.", field="credit_note")


def _most(balance: Balance, refund: bool, credit_note: CreditNote | None) -> tuple[Decimal, str]:
    """The most that may come in or go back, and the words for it. Raises: MoreThanDue."""
    if not refund:
        if not (balance.price or balance.invoiced):
            raise MoreThanDue(
                "No quote of this order is accepted yet; there is nothing to pay.", field="amount"
            )
        return balance.due, "is still to pay"
    if credit_note is not None:
        left = credit_note.payable - given_back(credit_note)
        if left < balance.paid:
            return left, "of this credit note is not given back yet"
    return balance.paid, "was paid"


@transaction.atomic
def issue_receipt(
    *,
    payment: Payment,
    currency: str,
    seller: Party,
    buyer: Party,
    order_words: str,
    today: date,
    now: datetime,
    language: str = ENGLISH,
) -> Receipt:
    """Return the receipt of a payment; issue it, with the next number, where there is none."""
    payment = Payment.objects.select_for_update().get(pk=payment.pk)
    known = Receipt.objects.filter(payment=payment).first()
    if known is not None:
        return known
    number = next_number(workshop=payment.workshop, kind=NumberSeries.Kind.RECEIPT, year=today.year)
    return Receipt.objects.create(
        workshop_id=payment.workshop_id,
        payment=payment,
        year=today.year,
        number=number,
        issued_on=today,
        content={
            "language": language,
            "seller": seller.to_json(),
            "buyer": buyer.to_json(),
            "order": order_words,
            "currency": currency,
            "amount": str(payment.amount),
            "refund": payment.refund,
            "credit_note": paper_number(payment.credit_note) if payment.credit_note else "",
            "method": payment.get_method_display(),
            "received_on": payment.received_on.isoformat(),
            "still_due": str(balance_of(payment.order).due),
        },
        created_at=now,
    )
