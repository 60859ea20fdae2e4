"""Measuring a garment's wearer."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone

from drafting.body import Body
from drafting.errors import DraftingError
from drafting.units import Unit
from workshop.desk.forms.measure import MeasureForm
from workshop.desk.views.garments import find_garment
from workshop.orders import services as order_services
from workshop.orders.models import Garment
from workshop.pages import StaffRequest, once, owner_page, refusals_on
from workshop.people import services
from workshop.people.rules.ages import age_years
from workshop.people.rules.measuring import read_measurements


@owner_page
def measure(request: StaffRequest, pk: int) -> HttpResponse:
    """Take measurements: read, questioned, kept; the garment then stands on them."""
    garment = find_garment(request, pk)
    workshop = request.workshop
    unit = Unit(workshop.length_unit)
    held = garment.measurements
    form = MeasureForm(
        request.POST or None,
        unit=unit,
        today=workshop.day_of(timezone.now()),
        typed=held.typed if held is not None and held.unit == unit else None,
    )
    if request.method == "POST" and form.is_valid() and "look" not in request.POST:
        with refusals_on(form), _faults_at_fields(form):
            return once(request, workshop, partial(_record, request, garment, form, unit))
    context: dict[str, Any] = {
        "area": "orders",
        "garment": garment,
        "wearer": garment.wearer,
        "form": form,
        "rows": form.rows(_estimated(garment, form, unit)),
        "unit": str(unit),
        "unit_words": workshop.get_length_unit_display(),
        "confirmed": form.confirmed(),
    }
    return render(request, "desk/measure.html", context)


def _record(request: StaffRequest, garment: Garment, form: MeasureForm, unit: Unit) -> str:
    now = timezone.now()
    measured = services.record_measurements(
        wearer=garment.wearer,
        unit=unit,
        typed=form.typed(),
        taken_by=request.staff,
        taken_on=form.cleaned_data["taken_on"],
        confirmed=form.confirmed(),
        now=now,
    )
    order_services.set_measurements(garment=garment, measurements=measured, by=request.staff, now=now)
    messages.success(request, "The measurements are kept.")
    return resolve_url("desk:garment", garment.pk)


@contextmanager
def _faults_at_fields(form: MeasureForm) -> Iterator[None]:
    """Each fault goes to its own field; questions are put on the page instead of refusing."""
    try:
        yield
    except services.MeasurementsRefused as refusal:
        for name, fault in refusal.errors.items():
            form.add_error(name if name in form.fields else None, fault)
    except services.UnansweredQuestions as refusal:
        form.ask(refusal.questions)


def _estimated(garment: Garment, form: MeasureForm, unit: Unit) -> Body | None:
    """The body as far as it is known, for the column of estimates; None until the essentials can be read."""
    typed = form.typed() if form.is_bound else (form.initial or {})
    reading = read_measurements(
        {name: str(text) for name, text in typed.items() if name in form.fields}, unit
    )
    born_on = garment.wearer.born_on
    age = None if born_on is None else age_years(born_on, form.today)
    try:
        return Body.of(reading.values, age_years=age)
    except DraftingError:
        return None
