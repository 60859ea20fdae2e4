"""Invoices, payments, and what is still to come in."""

from __future__ import annotations

from functools import partial

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from costing import queries as costing_queries
from costing.models import Invoice
from costing.queries import credit_notes_of, given_back
from costing.services import lines_left
from workshop.desk.exports import EXPORTS
from workshop.desk.forms.money import CreditForm, PaymentForm, RefundForm
from workshop.desk.views.orders import find_order
from workshop.orders import queries, services
from workshop.orders.models import Order
from workshop.pages import StaffRequest, once, owner_page, press_once, refusals_on
from workshop.planning import queries as planning_queries


@owner_page
def show_money(request: StaffRequest) -> HttpResponse:
    """What is unpaid, what is held, what was sold and what it earned."""
    workshop = request.workshop
    context = {
        "area": "money",
        "currency": workshop.currency,
        "tax_label": workshop.tax_label,
        "open_invoices": costing_queries.open_invoices(workshop, workshop.day_of(timezone.now())),
        "deposits": costing_queries.deposits_held(workshop),
        "months": costing_queries.sales_by_month(workshop),
        "styles": planning_queries.profit_by_style(workshop),
    }
    return render(request, "desk/money.html", context)


@owner_page
def export_statement(request: StaffRequest, name: str) -> HttpResponse:
    """A statement as a file, named with the day on which it was true."""
    workshop = request.workshop
    today = workshop.day_of(timezone.now())
    response = HttpResponse(
        EXPORTS[name].file(workshop, today), content_type="text/csv; charset=utf-8; header=present"
    )
    response["Content-Disposition"] = f'attachment; filename="{name}-{today.isoformat()}.csv"'
    return response


@owner_page
@require_POST
def issue_invoice(request: StaffRequest, number: int) -> HttpResponse:
    order = find_order(request, number)
    return press_once(
        request, request.workshop, partial(_issue_invoice, request, order), "desk:order", order.number
    )


def _issue_invoice(request: StaffRequest, order: Order) -> str:
    invoice = services.issue_invoice(
        order=order, kind=request.POST.get("kind", ""), by=request.staff, now=timezone.now()
    )
    messages.success(request, f"Issued {invoice}. Its PDF is being written.")
    return resolve_url("desk:order", order.number)


@owner_page
def take_payment(request: StaffRequest, number: int) -> HttpResponse:
    order = find_order(request, number)
    workshop = request.workshop
    form = PaymentForm(request.POST or None, currency=workshop.currency, initial=_today(request))
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return once(request, workshop, partial(_record_payment, request, order, form, refund=False))
    return render(request, "desk/payment.html", _payment_page(request, order, form))


@owner_page
def give_back(request: StaffRequest, number: int) -> HttpResponse:
    """Money given back, for a credit note where there is one."""
    order = find_order(request, number)
    workshop = request.workshop
    notes = [note for note in credit_notes_of(order) if given_back(note) < note.payable]
    chosen = request.GET.get("credit_note", "")
    form = RefundForm(
        request.POST or None,
        currency=workshop.currency,
        notes=notes,
        initial={**_today(request), "credit_note": chosen or (notes[0].pk if notes else "")},
    )
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return once(request, workshop, partial(_record_payment, request, order, form, refund=True))
    return render(request, "desk/payment.html", {**_payment_page(request, order, form), "refund": True})


def _today(request: StaffRequest) -> dict[str, object]:
    return {"received_on": request.workshop.day_of(timezone.now())}


def _payment_page(request: StaffRequest, order: Order, form: PaymentForm) -> dict[str, object]:
    return {
        "area": "orders",
        "order": order,
        "form": form,
        "balance": queries.balance(order),
        "currency": request.workshop.currency,
    }


def _record_payment(request: StaffRequest, order: Order, form: PaymentForm, *, refund: bool) -> str:
    services.record_payment(
        order=order, refund=refund, by=request.staff, now=timezone.now(), **form.cleaned_data
    )
    messages.success(request, "Noted. The receipt is being written.")
    return resolve_url("desk:order", order.number)


@owner_page
def credit_invoice(request: StaffRequest, pk: int) -> HttpResponse:
    invoice = costing_queries.invoice_of(request.workshop, pk)
    if invoice is None:
        raise Http404
    words = costing_queries.line_words(invoice.content)
    left = invoice.payable - costing_queries.credited(invoice)
    form = CreditForm(
        request.POST or None,
        currency=invoice.currency,
        left=left,
        lines=list(zip(words, lines_left(invoice), strict=True)),
    )
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return once(request, request.workshop, partial(_credit_invoice, request, invoice, form))
    context = {
        "area": "orders",
        "invoice": invoice,
        "left": left,
        "order": invoice.order,
        "form": form,
    }
    return render(request, "desk/credit.html", context)


def _credit_invoice(request: StaffRequest, invoice: Invoice, form: CreditForm) -> str:
    note = services.credit_invoice(invoice=invoice, by=request.staff, now=timezone.now(), **form.wanted())
    messages.success(request, f"Credited, with a paper of its own: {note}.")
    return resolve_url("desk:order", invoice.order.number)
