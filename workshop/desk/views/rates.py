"""What an hour costs, what a price must earn, and what timed work taught of the minutes."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from costing import queries as costing_queries
from costing import services as costing_services
from costing.models import Rates
from costing.services.pricelist import RATES_FIELDS
from drafting.units import Unit
from workshop.desk.editing import edits_on
from workshop.desk.forms.prices import plain_amount
from workshop.desk.forms.rates import MARGIN, MARKUP, RatesForm
from workshop.pages import StaffRequest, owner_page
from workshop.planning import queries as planning_queries

FIRST = {
    "expected_version": 0,
    "profit_percent": 15,
    "profit_as": MARGIN,
    "rush_percent": 25,
    "work_allowance": 15,
    "thread_waste": 15,
    "repeat_percent": 95,
    "rent_per_month": "0",
    "power_per_month": "0",
    "fuel_per_month": "0",
    "wear_per_month": "0",
    "other_per_month": "0",
    "minimum_price": "0",
}
"""What the form is opened with where no rates were said yet."""


@owner_page
def edit_rates(request: StaffRequest) -> HttpResponse:
    workshop = request.workshop
    rates = costing_queries.rates_of(workshop)
    form = RatesForm(
        request.POST or None,
        unit=Unit(workshop.length_unit),
        currency=workshop.currency,
        initial=_initial(rates, workshop.currency),
    )
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            costing_services.set_rates(
                workshop=workshop,
                expected_version=form.cleaned_data["expected_version"] or 0,
                **form.wanted(),
            )
            messages.success(request, "Kept. Estimates from now on follow it; quotes that are out do not.")
            return redirect("desk:prices")
    context = {
        "area": "prices",
        "form": form,
        "edited_meanwhile": form.meanwhile,
        "currency": workshop.currency,
        "month": planning_queries.month_of(workshop, rates, timezone.now()),
    }
    return render(request, "desk/rates.html", context)


def _initial(rates: Rates | None, currency: str) -> dict[str, Any]:
    if rates is None:
        return FIRST
    held = {name: getattr(rates, name) for name in RATES_FIELDS}
    amounts = {name: plain_amount(held[name], currency) for name in RatesForm.amounts}
    profit_as = MARKUP if rates.profit_is_markup else MARGIN
    return {**held, **amounts, "profit_as": profit_as, "expected_version": rates.version}


@owner_page
def show_learnt(request: StaffRequest) -> HttpResponse:
    """What timed work makes of the standard minutes, by operation and by worker."""
    context = {
        "area": "prices",
        "book": planning_queries.pace_book(request.workshop),
        "rates": costing_queries.rates_of(request.workshop),
    }
    return render(request, "desk/learnt.html", context)
