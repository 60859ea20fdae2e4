"""Fittings: booked, moved, held."""

from __future__ import annotations

from functools import partial

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from workshop.desk.forms.fittings import BookForm, HoldForm
from workshop.desk.views.garments import find_garment
from workshop.orders.models import Garment
from workshop.pages import StaffRequest, once, owner_page, refusals_on, refusals_told
from workshop.planning import queries, services
from workshop.planning.models import Fitting


def find_fitting(request: StaffRequest, pk: int) -> Fitting:
    fitting = queries.fitting_of(request.workshop, pk)
    if fitting is None:
        raise Http404
    return fitting


@owner_page
def book_fitting(request: StaffRequest, pk: int) -> HttpResponse:
    garment = find_garment(request, pk)
    now = timezone.now()
    slots = queries.free_fitting_slots(garment, now)
    form = BookForm(request.POST or None, workshop=request.workshop, slots=slots)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return once(request, request.workshop, partial(_book, request, garment, form))
    context = {
        "area": "orders",
        "garment": garment,
        "form": form,
        "heading": f"Book a fitting: {garment.title}",
        "deed": "Book it",
    }
    return render(request, "desk/book_fitting.html", context)


def _book(request: StaffRequest, garment: Garment, form: BookForm) -> str:
    services.book_fitting(garment=garment, starts_at=form.starts_at(), now=timezone.now(), by=request.staff)
    messages.success(request, "Booked.")
    return resolve_url("desk:garment", garment.pk)


@owner_page
def move_fitting(request: StaffRequest, pk: int) -> HttpResponse:
    fitting = find_fitting(request, pk)
    now = timezone.now()
    slots = queries.free_fitting_slots(fitting.garment, now)
    form = BookForm(request.POST or None, workshop=request.workshop, slots=slots)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.move_fitting(fitting=fitting, starts_at=form.starts_at(), now=now, by=request.staff)
        if not form.errors:
            messages.success(request, "Moved.")
            return redirect("desk:garment", fitting.garment_id)
    context = {
        "area": "orders",
        "garment": fitting.garment,
        "form": form,
        "heading": f"Move the fitting: {fitting.garment.title}",
        "deed": "Move it",
    }
    return render(request, "desk/book_fitting.html", context)


@owner_page
@require_POST
def cancel_fitting(request: StaffRequest, pk: int) -> HttpResponse:
    fitting = find_fitting(request, pk)
    with refusals_told(request):
        services.cancel_fitting(fitting=fitting, now=timezone.now(), by=request.staff)
        messages.success(request, "Cancelled; the time is free again. Tell the customer.")
    return redirect("desk:garment", fitting.garment_id)


@owner_page
def show_fitting(request: StaffRequest, pk: int) -> HttpResponse:
    """A fitting; saying how it went makes the tasks that follow from it."""
    fitting = find_fitting(request, pk)
    form = HoldForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return once(request, request.workshop, partial(_hold, request, fitting, form))
    context = {
        "area": "orders",
        "fitting": fitting,
        "garment": fitting.garment,
        "order": fitting.garment.order,
        "form": form,
        "is_open": fitting.held_at is None and fitting.cancelled_at is None,
    }
    return render(request, "desk/fitting.html", context)


def _hold(request: StaffRequest, fitting: Fitting, form: HoldForm) -> str:
    services.hold_fitting(
        fitting=fitting,
        outcome=form.cleaned_data["outcome"],
        notes=form.cleaned_data["notes"],
        alterations=form.alterations(),
        by=request.staff,
        now=timezone.now(),
    )
    messages.success(request, "Noted.")
    return resolve_url("desk:garment", fitting.garment_id)
