"""The workshop's settings: the house itself, its hours, its people, its closed days."""

from __future__ import annotations

from decimal import Decimal
from functools import partial
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from costing.rules.money import rounded
from workshop.desk.editing import edits_on
from workshop.desk.forms.settings import (
    ClosureForm,
    HoursForm,
    NewStaffForm,
    StaffForm,
    TaxRateForm,
    WorkshopForm,
)
from workshop.orders.services import ask_for_plan
from workshop.pages import StaffRequest, once, owner_page, refusals_on, refusals_told
from workshop.people import queries, services
from workshop.people.models import Staff
from workshop.people.rules.working_week import as_week, write_day


@owner_page
def show_settings(request: StaffRequest) -> HttpResponse:
    form = WorkshopForm.opened_on(request.workshop, request.POST)
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            services.edit_workshop(
                workshop=request.workshop, by=request.staff, now=timezone.now(), **form.cleaned_data
            )
            ask_for_plan(request.workshop)  # of its zone, and of the days that things take to come
            messages.success(request, "Saved. Quotes and invoices that are out keep what they said.")
            return redirect("desk:settings")
    return render(request, "desk/settings.html", _context(request, form=form))


@owner_page
@require_POST
def set_hours(request: StaffRequest) -> HttpResponse:
    form = HoursForm(request.POST, initial=_hours_initial(request))
    if form.is_valid():
        with edits_on(form):
            services.set_opening_hours(
                workshop=request.workshop,
                spans=form.spans(),
                expected_version=form.cleaned_data["expected_version"],
                by=request.staff,
                now=timezone.now(),
            )
            ask_for_plan(request.workshop)
            messages.success(request, "The opening hours are kept.")
            return redirect("desk:settings")
    return render(request, "desk/settings.html", _context(request, hours_form=form))


@owner_page
@require_POST
def close_days(request: StaffRequest) -> HttpResponse:
    form = ClosureForm(request.POST, workshop=request.workshop)
    if form.is_valid():
        with refusals_on(form):
            return once(request, request.workshop, partial(_close_days, request, form))
    return render(request, "desk/settings.html", _context(request, closure_form=form))


def _close_days(request: StaffRequest, form: ClosureForm) -> str:
    services.close_days(workshop=request.workshop, by=request.staff, now=timezone.now(), **form.cleaned_data)
    ask_for_plan(request.workshop)
    messages.success(request, "Noted. No fitting and no work is planned on those days.")
    return resolve_url("desk:settings")


@owner_page
@require_POST
def reopen_days(request: StaffRequest, pk: int) -> HttpResponse:
    with refusals_told(request):
        services.reopen_days(workshop=request.workshop, closure_id=pk, by=request.staff, now=timezone.now())
        ask_for_plan(request.workshop)
        messages.success(request, "Open again.")
    return redirect("desk:settings")


@owner_page
@require_POST
def add_tax_rate(request: StaffRequest) -> HttpResponse:
    form = TaxRateForm(request.POST)
    if form.is_valid():
        with refusals_on(form):
            return once(request, request.workshop, partial(_add_tax_rate, request, form))
    return render(request, "desk/settings.html", _context(request, tax_rate_form=form))


def _add_tax_rate(request: StaffRequest, form: TaxRateForm) -> str:
    services.add_tax_rate(
        workshop=request.workshop, by=request.staff, now=timezone.now(), **form.cleaned_data
    )
    messages.success(request, "Added. Choose it on a garment's estimate, under rush, discount or tax.")
    return resolve_url("desk:settings")


@owner_page
@require_POST
def archive_tax_rate(request: StaffRequest, pk: int) -> HttpResponse:
    rate = get_object_or_404(request.workshop.tax_rates.select_related("workshop"), pk=pk)
    with refusals_told(request):
        services.archive_tax_rate(rate=rate, by=request.staff, now=timezone.now())
        messages.success(request, "Taken away. Garments that have it keep it.")
    return redirect("desk:settings")


@owner_page
def add_staff(request: StaffRequest) -> HttpResponse:
    form = NewStaffForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return once(request, request.workshop, partial(_add_staff, request, form))
    context = {"area": "settings", "form": form, "heading": "Add somebody", "adds": True}
    return render(request, "desk/staff.html", context)


def _add_staff(request: StaffRequest, form: NewStaffForm) -> str:
    services.add_staff(
        workshop=request.workshop, by=request.staff, now=timezone.now(), **_staff_values(form.cleaned_data)
    )
    ask_for_plan(request.workshop)
    messages.success(request, f"{form.cleaned_data['name']} can sign in now.")
    return resolve_url("desk:settings")


@owner_page
def edit_staff(request: StaffRequest, pk: int) -> HttpResponse:
    staff = get_object_or_404(request.workshop.staff.select_related("workshop"), pk=pk)
    form = StaffForm(request.POST or None, initial=_staff_initial(staff))
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            services.edit_staff(
                staff=staff, by=request.staff, now=timezone.now(), **_staff_values(form.cleaned_data)
            )
            ask_for_plan(request.workshop)
            messages.success(request, "Saved.")
            return redirect("desk:settings")
    context = {"area": "settings", "form": form, "heading": staff.name, "edited_meanwhile": form.meanwhile}
    return render(request, "desk/staff.html", context)


def _staff_initial(staff: Staff) -> dict[str, Any]:
    names = ("name", "role", "skills", "speed", "active")
    return {
        **{name: getattr(staff, name) for name in names},
        "hourly_wage": rounded(staff.hourly_wage, staff.workshop.currency),
        "weekly_hours": round(Decimal(staff.weekly_minutes) / 60, 2),
        **{f"times-{day}": write_day(spans) for day, spans in as_week(staff.working_week).items()},
        "expected_version": staff.version,
    }


def _staff_values(data: dict[str, Any]) -> dict[str, Any]:
    values = dict(data)
    values["weekly_minutes"] = round(values.pop("weekly_hours") * 60)
    return values


def _context(request: StaffRequest, **forms: Any) -> dict[str, Any]:
    """The whole page, with the form that was sent in the place of a fresh one."""
    return {
        "area": "settings",
        "form": WorkshopForm.opened_on(request.workshop),
        "hours_form": HoursForm(initial=_hours_initial(request)),
        "closure_form": ClosureForm(workshop=request.workshop),
        "tax_rate_form": TaxRateForm(),
        "tax_rates": request.workshop.tax_rates.filter(archived_at=None).order_by("name"),
        "staff": queries.staff(request.workshop, active_only=False),
        "closures": request.workshop.closures.select_related("staff")
        .filter(to_on__gte=request.workshop.day_of(timezone.now()))
        .order_by("from_on", "pk"),
        **forms,
    }


def _hours_initial(request: StaffRequest) -> dict[str, Any]:
    initial: dict[str, Any] = {"expected_version": request.workshop.version}
    seen: dict[int, int] = {}
    for hours in queries.opening_hours(request.workshop):
        span = seen.setdefault(hours.weekday, 0)
        seen[hours.weekday] += 1
        initial[f"opens-{hours.weekday}-{span}"] = hours.opens_at
        initial[f"closes-{hours.weekday}-{span}"] = hours.closes_at
    return initial
