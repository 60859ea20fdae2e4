"""Invoices, payments, and what is still to come in."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from costing import queries as costing_queries
from workshop.desk.forms.money import CreditForm, PaymentForm
from workshop.desk.views.orders import find_order
from workshop.orders import queries, services
from workshop.pages import StaffRequest, owner_page, refusals_on, refusals_told


@owner_page
def show_money(request: StaffRequest) -> HttpResponse:
    workshop = request.workshop
    context = {
        "area": "money",
        "currency": workshop.currency,
        "tax_label": workshop.tax_label,
        "open_invoices": costing_queries.open_invoices(workshop, workshop.day_of(timezone.now())),
        "months": costing_queries.sales_by_month(workshop),
    }
    return render(request, "desk/money.html", context)


@owner_page
@require_POST
def issue_invoice(request: StaffRequest, number: int) -> HttpResponse:
    order = find_order(request, number)
    with refusals_told(request):
        invoice = services.issue_invoice(
            order=order, kind=request.POST.get("kind", ""), by=request.staff, now=timezone.now()
        )
        messages.success(request, f"Issued {invoice}. Its PDF is being written.")
    return redirect("desk:order", order.number)


@owner_page
def take_payment(request: StaffRequest, number: int) -> HttpResponse:
    order = find_order(request, number)
    workshop = request.workshop
    balance = queries.balance(order)
    form = PaymentForm(
        request.POST or None,
        currency=workshop.currency,
        initial={"received_on": workshop.day_of(timezone.now())},
    )
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.record_payment(order=order, by=request.staff, now=timezone.now(), **form.cleaned_data)
        if not form.errors:
            messages.success(request, "Noted. The receipt is being written.")
            return redirect("desk:order", order.number)
    context = {
        "area": "orders",
        "order": order,
        "form": form,
        "balance": balance,
        "currency": workshop.currency,
    }
    return render(request, "desk/payment.html", context)


@owner_page
def credit_invoice(request: StaffRequest, pk: int) -> HttpResponse:
    invoice = costing_queries.invoice_of(request.workshop, pk)
    if invoice is None:
        raise Http404
    form = CreditForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.credit_invoice(
                invoice=invoice, by=request.staff, now=timezone.now(), **form.cleaned_data
            )
        if not form.errors:
            messages.success(request, "Credited, with a paper of its own.")
            return redirect("desk:order", invoice.order.number)
    context = {"area": "orders", "invoice": invoice, "order": invoice.order, "form": form}
    return render(request, "desk/credit.html", context)
