"""Invoices, credit notes, payments and receipts of an order, with their files."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from decimal import Decimal

from django.db import transaction
from django.utils.translation import gettext as _

from costing import queries as costing_queries
from costing import services as costing_services
from costing.models import CreditNote, Invoice, Payment, Quote, QuoteState
from costing.rules.money import format_money
from costing.services.invoices import NothingToInvoice
from costing.speech import speaking
from workshop.errors import Refusal
from workshop.orders.models import Order, OrderDocument
from workshop.orders.services.quoting import buyer_of, request_paper, seller_of
from workshop.people.models import Staff
from workshop.people.services import write_log
from workshop.people.services.checking import clean_text, require_owner, require_same_workshop

DAYS_TO_PAY = 14


@transaction.atomic
def issue_invoice(*, order: Order, kind: str, by: Staff | None, now: datetime) -> Invoice:
    """Issue the deposit or the final invoice of an order's accepted quote, with its PDF.

    Raises: NothingToInvoice where no quote is accepted or all was invoiced already; Refusal.
    """
    require_owner(by, "issue an invoice")
    require_same_workshop(order.workshop, by)
    if kind not in Invoice.Kind.values:
        raise Refusal("Choose the deposit or the final invoice.", field="kind")
    order = _locked(order)
    if order.cancelled_at is not None:
        raise Refusal("This order was cancelled; credit what was invoiced, nothing new is asked for.")
    quote = Quote.objects.filter(order=order, state=QuoteState.ACCEPTED).first()
    if quote is None:
        raise NothingToInvoice(
            "The quote that is out is not answered yet; what is invoiced follows from the answer."
            if order.quotes.filter(state=QuoteState.SENT).exists()
            else "No quote of this order is accepted; there is no price to invoice."
        )
    today = order.workshop.day_of(now)
    issue = (
        costing_services.issue_deposit_invoice
        if kind == Invoice.Kind.DEPOSIT
        else costing_services.issue_final_invoice
    )
    with speaking(order.workshop.language):
        invoice = issue(
            quote=quote,
            seller=seller_of(order.workshop),
            buyer=buyer_of(order),
            tax_label=order.workshop.tax_label,
            electronic=order.workshop.e_invoices,
            language=order.workshop.language,
            today=today,
            due_on=today + timedelta(days=DAYS_TO_PAY),
            now=now,
        )
    request_paper(order=order, kind=OrderDocument.Kind.INVOICE, source_id=invoice.pk)
    write_log(
        workshop=order.workshop,
        by=by,
        action="issue invoice",
        row=invoice,
        order_id=order.pk,
        summary=f"Issued {invoice.get_kind_display()} invoice {costing_queries.paper_number(invoice)}",
        now=now,
        after={"payable": str(invoice.payable)},
    )
    return invoice


@transaction.atomic
def credit_invoice(
    *,
    invoice: Invoice,
    reason: str,
    by: Staff | None,
    now: datetime,
    parts: Mapping[int, Decimal] | None = None,
    lowers_price: bool = False,
) -> CreditNote:
    """Credit what is left of an invoice, or ``parts`` of its lines, with a paper of its own.

    ``lowers_price``: the customer pays so much less; else the amount is asked for again.

    Raises: BadAmount, MoreThanLeft, NothingToInvoice.
    """
    require_owner(by, "credit an invoice")
    order = _locked(Order.objects.get(pk=invoice.order_id))
    require_same_workshop(order.workshop, by)
    reason = clean_text(reason, field="reason", longest=300, what="why it is credited", required=True)
    note = costing_services.credit_invoice(
        invoice=invoice,
        reason=reason,
        today=order.workshop.day_of(now),
        now=now,
        parts=parts,
        lowers_price=lowers_price,
    )
    sum_words = format_money(note.payable, invoice.currency)
    request_paper(order=order, kind=OrderDocument.Kind.CREDIT_NOTE, source_id=note.pk)
    write_log(
        workshop=order.workshop,
        by=by,
        action="credit invoice",
        row=note,
        order_id=order.pk,
        summary=f"Credited {sum_words} of invoice {costing_queries.paper_number(invoice)}: {note.reason}",
        now=now,
        after={"payable": str(note.payable), "lowers_price": lowers_price},
    )
    return note


@transaction.atomic
def record_payment(
    *,
    order: Order,
    amount: Decimal,
    method: str,
    received_on: date,
    by: Staff | None,
    now: datetime,
    note: str = "",
    refund: bool = False,
    credit_note: CreditNote | None = None,
) -> Payment:
    """Note a payment or a refund, then for a credit note where one is named, with its receipt.

    Raises: BadAmount, MoreThanDue with ``field``.
    """
    require_owner(by, "take money")
    require_same_workshop(order.workshop, by)
    order = _locked(order)
    note = clean_text(note, field="note", longest=200, what="the note")
    today = order.workshop.day_of(now)
    payment = costing_services.record_payment(
        workshop=order.workshop,
        order=order,
        currency=order.workshop.currency,
        amount=amount,
        method=method,
        received_on=received_on,
        today=today,
        now=now,
        note=note,
        refund=refund,
        credit_note=credit_note,
    )
    with speaking(order.workshop.language):
        order_words = _("Order %(number)s") % {"number": order.number}
    receipt = costing_services.issue_receipt(
        payment=payment,
        currency=order.workshop.currency,
        seller=seller_of(order.workshop),
        buyer=buyer_of(order),
        order_words=order_words,
        language=order.workshop.language,
        today=today,
        now=now,
    )
    request_paper(order=order, kind=OrderDocument.Kind.RECEIPT, source_id=receipt.pk)
    write_log(
        workshop=order.workshop,
        by=by,
        action="refund" if refund else "record payment",
        row=payment,
        order_id=order.pk,
        summary=f"{'Gave back' if refund else 'Received'} {format_money(amount, order.workshop.currency)}",
        now=now,
    )
    return payment


def _locked(order: Order) -> Order:
    return Order.objects.select_for_update(of=("self",)).select_related("workshop", "client").get(pk=order.pk)
