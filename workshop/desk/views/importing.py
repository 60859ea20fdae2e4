"""Prices and stock as files: given out, looked through without storing anything, taken in."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from costing import services as costing_services
from costing.services import RowRead
from workshop.desk.forms.importing import LookForm, TakeForm
from workshop.desk.price_files import PRICE_FILES
from workshop.errors import Refusal
from workshop.orders.services import ask_for_plan
from workshop.pages import DAMAGED, StaffRequest, owner_page, press_once, refusals_on


@owner_page
def export_prices(request: StaffRequest, name: str) -> HttpResponse:
    """A table as a file, named with the day on which it was true."""
    workshop = request.workshop
    today = workshop.day_of(timezone.now())
    response = HttpResponse(
        PRICE_FILES[name].file(workshop, today), content_type="text/csv; charset=utf-8; header=present"
    )
    response["Content-Disposition"] = f'attachment; filename="{name}-{today.isoformat()}.csv"'
    return response


@owner_page
def look_through(request: StaffRequest) -> HttpResponse:
    """Show what each row of a file would do; nothing is stored."""
    sent = request.method == "POST"
    form = LookForm(request.POST, request.FILES) if sent else LookForm()
    rows: list[RowRead] = []
    if sent and form.is_valid():
        with refusals_on(form):
            rows = costing_services.try_import(
                kind=form.cleaned_data["kind"],
                workshop=request.workshop,
                text=form.cleaned_data["file"],
                now=timezone.now(),
            )
    context = {
        "area": "prices",
        "form": form,
        "files": [(name, export.header) for name, export in PRICE_FILES.items()],
        "rows": rows,
        "faults": sum(1 for row in rows if row.fault),
        "text": form.cleaned_data["file"] if rows else "",
        "kind": form.cleaned_data["kind"] if rows else "",
    }
    return render(request, "desk/import.html", context)


@owner_page
@require_POST
def take_in(request: StaffRequest) -> HttpResponse:
    """Take in a file that was looked through: all of its rows or none."""

    def deed() -> str:
        form = TakeForm(request.POST)
        if not form.is_valid():
            raise Refusal(DAMAGED)
        rows = costing_services.import_table(
            workshop=request.workshop, now=timezone.now(), **form.cleaned_data
        )
        ask_for_plan(request.workshop)  # of the days that cloths take to come
        done = sum(1 for row in rows if row.does != "as it is")
        messages.success(request, f"Taken in: {done} of {len(rows)} rows changed something.")
        return resolve_url("desk:prices")

    return press_once(request, request.workshop, deed, "desk:import-prices")
