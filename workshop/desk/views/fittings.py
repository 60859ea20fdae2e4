"""Fittings: booked, moved, held, with their photographs."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from drafting.units import Unit
from workshop.desk.forms.fittings import CHANGES_OPEN, BookForm, HoldForm, PhotoForm
from workshop.desk.views.garments import find_garment
from workshop.orders.models import Garment
from workshop.pages import StaffRequest, once, owner_page, refusals_on, refusals_told
from workshop.people import services as people
from workshop.planning import queries, services
from workshop.planning.models import Fitting
from workshop.planning.rules.photographs import MOST_BYTES


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
    slots = queries.free_fitting_slots(fitting.garment, now, moved=fitting)
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
    unit = Unit(request.workshop.length_unit)
    form = HoldForm(request.POST or None, unit=unit, initial={"signed_by": request.staff.name})
    if request.method == "POST" and form.is_valid():
        with refusals_on(form), _faults_at_fields(form):
            return once(request, request.workshop, partial(_hold, request, fitting, form))
    return render(request, "desk/fitting.html", _fitting_context(fitting, form=form))


def _fitting_context(fitting: Fitting, **forms: Any) -> dict[str, Any]:
    wearer = fitting.garment.wearer
    return {
        "area": "orders",
        "fitting": fitting,
        "garment": fitting.garment,
        "wearer": wearer,
        "who_consents": wearer.guardian if wearer.is_minor else wearer.name,
        "order": fitting.garment.order,
        "changes": fitting.changes.select_related("task").order_by("position"),
        "photos": queries.photos_of(fitting),
        "photo_form": PhotoForm(),
        "is_open": fitting.held_at is None and fitting.cancelled_at is None,
        "changes_open": CHANGES_OPEN,
        **forms,
    }


def _hold(request: StaffRequest, fitting: Fitting, form: HoldForm) -> str:
    services.hold_fitting(
        fitting=fitting,
        outcome=form.cleaned_data["outcome"],
        notes=form.cleaned_data["notes"],
        changes=form.changes(),
        alterations=form.alterations(),
        measures=form.measures(),
        confirmed=form.confirmed(),
        signed_by=form.cleaned_data["signed_by"],
        by=request.staff,
        now=timezone.now(),
    )
    messages.success(request, "Noted.")
    return resolve_url("desk:garment", fitting.garment_id)


@contextmanager
def _faults_at_fields(form: HoldForm) -> Iterator[None]:
    """Each fault goes to its own row."""
    try:
        yield
    except services.BadFinding as refusal:
        form.blame_change(refusal)
    except people.MeasurementsRefused as refusal:
        form.blame_measures(refusal.errors)
    except people.UnansweredQuestions as refusal:
        form.blame_measures({question.field: question.message for question in refusal.questions})


@owner_page
@require_POST
def add_photo(request: StaffRequest, pk: int) -> HttpResponse:
    fitting = find_fitting(request, pk)
    form = PhotoForm(request.POST, request.FILES)
    if form.is_valid():
        with refusals_on(form):
            services.add_photo(
                fitting=fitting,
                sent=form.cleaned_data["photo"].read(MOST_BYTES + 1),
                by=request.staff,
                now=timezone.now(),
            )
            messages.success(request, "The photograph is kept.")
            return redirect("desk:fitting", fitting.pk)
    fresh = HoldForm(unit=Unit(request.workshop.length_unit), initial={"signed_by": request.staff.name})
    return render(request, "desk/fitting.html", _fitting_context(fitting, form=fresh, photo_form=form))


@owner_page
@require_POST
def delete_photo(request: StaffRequest, pk: int) -> HttpResponse:
    photo = queries.photo_for(request.staff, pk, timezone.now())
    if photo is None:
        raise Http404
    services.delete_photo(photo=photo, by=request.staff, now=timezone.now())
    messages.success(request, "The photograph is deleted.")
    return redirect("desk:fitting", photo.fitting_id)


@owner_page
@require_POST
def photo_consent(request: StaffRequest, pk: int) -> HttpResponse:
    """Note that who may consent to photographs did, or took it back; then the photographs go."""
    fitting = find_fitting(request, pk)
    wearer, now = fitting.garment.wearer, timezone.now()
    with refusals_told(request):
        if "withdraw" in request.POST:
            gone = services.withdraw_photo_consent(wearer=wearer, by=request.staff, now=now)
            messages.success(request, f"Noted. Photographs erased: {gone}.")
        else:
            people.note_photo_consent(wearer=wearer, by=request.staff, now=now)
            messages.success(request, "The consent is noted.")
    return redirect("desk:fitting", fitting.pk)
