"""The public holidays of the workshop's country: listed for a year, and ticked where the workshop closes."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from workshop.desk.editing import edits_on
from workshop.desk.forms.holidays import HolidaysForm, PlaceForm
from workshop.orders.services import ask_for_plan
from workshop.pages import StaffRequest, owner_page, refusals_on
from workshop.people import queries, services
from workshop.people.queries import OfferedHoliday

YEARS_AHEAD = 3


@owner_page
def show_holidays(request: StaffRequest) -> HttpResponse:
    year, offered = _asked(request)
    form = HolidaysForm(request.POST or None, offered=offered)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            changed = services.choose_public_holidays(
                workshop=request.workshop,
                year=year,
                closed_on=[date.fromisoformat(day) for day in form.cleaned_data["closed"]],
                by=request.staff,
                now=timezone.now(),
            )
            if changed:
                ask_for_plan(request.workshop)
            messages.success(request, "Kept. No fitting and no work is planned on the ticked days.")
            return redirect(f"{reverse('desk:holidays')}?year={year}")
    return render(request, "desk/holidays.html", _context(request, year, offered, form=form))


@owner_page
@require_POST
def set_place(request: StaffRequest) -> HttpResponse:
    """Where the workshop is. Days that were ticked before stay closed until they are taken back."""
    form = PlaceForm.opened_on(request.workshop, request.POST)
    if form.is_valid():
        with edits_on(form):
            services.edit_workshop(
                workshop=request.workshop, by=request.staff, now=timezone.now(), **form.cleaned_data
            )
            messages.success(request, "Kept. Tick the days on which you close; nothing closes by itself.")
            return redirect("desk:holidays")
    year, offered = _asked(request)
    return render(request, "desk/holidays.html", _context(request, year, offered, place_form=form))


def _asked(request: StaffRequest) -> tuple[int, list[OfferedHoliday]]:
    """The year that was asked for, this one where it cannot be read, and its holidays."""
    today = request.workshop.day_of(timezone.now())
    text = request.GET.get("year", "")
    year = int(text) if text.isdecimal() and len(text) == 4 else today.year
    if not today.year <= year <= today.year + YEARS_AHEAD:
        year = today.year
    return year, queries.offered_holidays(request.workshop, year, today)


def _context(request: StaffRequest, year: int, offered: list[OfferedHoliday], **forms: Any) -> dict[str, Any]:
    today = request.workshop.day_of(timezone.now())
    return {
        "area": "settings",
        "year": year,
        "years": range(today.year, today.year + YEARS_AHEAD + 1),
        "offered": offered,
        "past": [row for row in offered if row.past],
        "form": HolidaysForm(offered=offered),
        "place_form": PlaceForm.opened_on(request.workshop),
        **forms,
    }
