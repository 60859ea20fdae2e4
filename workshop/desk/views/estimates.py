"""The estimate of a garment: line by line, and what the garment took in the end."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from costing import queries as costing_queries
from costing.rules.estimate import COST_KINDS
from workshop.desk.editing import edits_on
from workshop.desk.forms.cut import CutForm
from workshop.desk.forms.terms import TaxForm, TermsForm
from workshop.desk.views.garments import find_garment
from workshop.desk.views.prices import selling_unit
from workshop.desk.views.what_if import what_if_of
from workshop.orders import queries, services
from workshop.orders.models import Garment
from workshop.pages import StaffRequest, faults_in, owner_page, refusals_told
from workshop.planning.queries import After, after_of, minutes_of


@owner_page
def show_estimate(request: StaffRequest, pk: int) -> HttpResponse:
    """What a garment is reckoned to cost, with where each line comes from; POST reckons anew."""
    garment = find_garment(request, pk)
    if request.method == "POST":
        with refusals_told(request):
            services.estimate_garment(garment=garment, now=timezone.now())
            messages.success(request, "Reckoned anew from the price list that holds now.")
        return redirect("desk:estimate", garment.pk)
    estimate = queries.current_estimate(garment)
    context = {
        "area": "orders",
        "garment": garment,
        "order": garment.order,
        "estimate": estimate,
        "cost_kinds": COST_KINDS,  # of the other lines there is one each, at its whole amount
        "minutes": None if estimate is None else minutes_of(garment, estimate),
        "currency": request.workshop.currency,
        "has_tax_rates": request.workshop.tax_rates.filter(archived_at=None).exists(),
        **_after(request, garment),
        **what_if_of(request, garment),
    }
    return render(request, "desk/estimate.html", context)


def _after(request: StaffRequest, garment: Garment) -> dict[str, Any]:
    after = after_of(garment, costing_queries.rates_of(request.workshop))
    is_cut = after is not None and any(cloth.cut is not None for cloth in after.cloths)
    return {
        "after": after,
        "selling_unit": selling_unit(request),
        "cut_form": _cut_form(request, after) if after is not None and is_cut else None,
    }


def _cut_form(request: StaffRequest, after: After) -> CutForm:
    cloths = [(cloth.cloth_id, cloth.name) for cloth in after.cloths if cloth.cut is not None]
    return CutForm(request.POST or None, unit=selling_unit(request), cloths=cloths)


@owner_page
def set_terms(request: StaffRequest, pk: int) -> HttpResponse:
    """A rush and a discount on the order of a garment; its tax stands beside them."""
    garment = find_garment(request, pk)
    form = TermsForm.opened_on(garment.order, request.POST)
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            services.set_rush_and_discount(
                order=garment.order,
                expected_version=form.cleaned_data["expected_version"],
                rush_percent=form.cleaned_data["rush_percent"],
                discount_percent=form.cleaned_data["discount_percent"],
                by=request.staff,
                now=timezone.now(),
            )
            messages.success(request, "Kept; the prices of this order are reckoned anew.")
            return redirect("desk:estimate", garment.pk)
    return render(request, "desk/terms.html", _terms_context(garment, form, TaxForm(garment=garment)))


@owner_page
@require_POST
def choose_tax_rate(request: StaffRequest, pk: int) -> HttpResponse:
    """Tax a garment by another rate of the workshop than the usual one, or by that again."""
    garment = find_garment(request, pk)
    form = TaxForm(request.POST, garment=garment)
    if form.is_valid():
        with edits_on(form):
            services.choose_tax_rate(
                garment=garment,
                expected_version=form.cleaned_data["expected_version"],
                tax_rate=form.wanted(),
                by=request.staff,
                now=timezone.now(),
            )
            messages.success(request, f"Kept; {garment.title} is reckoned anew. What was quoted stays.")
            return redirect("desk:estimate", garment.pk)
    terms = TermsForm.opened_on(garment.order)
    return render(request, "desk/terms.html", _terms_context(garment, terms, form))


def _terms_context(garment: Garment, form: TermsForm, tax_form: TaxForm) -> dict[str, Any]:
    return {
        "area": "orders",
        "garment": garment,
        "order": garment.order,
        "form": form,
        "tax_form": tax_form,
    }


@owner_page
@require_POST
def note_cut(request: StaffRequest, pk: int) -> HttpResponse:
    """Note the length that was really cut of one of the garment's cloths."""
    garment = find_garment(request, pk)
    rows = {row.cloth_id: row.cloth for row in garment.cloths.select_related("cloth")}
    cloths = [(key, cloth.name) for key, cloth in rows.items()]
    form = CutForm(request.POST, unit=selling_unit(request), cloths=cloths)
    if form.is_valid():
        with refusals_told(request):
            services.note_cut_length(
                garment=garment,
                cloth=rows[form.cleaned_data["cloth"]],
                length_mm=form.cleaned_data["length"],
                by=request.staff,
                now=timezone.now(),
            )
            messages.success(request, "Noted; the stock follows.")
            if request.POST.get("back") == "garment":
                return redirect(f"{resolve_url('desk:garment', garment.pk)}#cloth")
    else:
        messages.error(request, faults_in(form))
    return redirect("desk:estimate", garment.pk)
