"""The buying list: what to buy by when, by supplier; one tap marks a line bought."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from django import forms
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from workshop.desk.views.prices import find_cloth, find_notion, selling_unit
from workshop.errors import Refusal
from workshop.orders import queries
from workshop.orders import services as order_services
from workshop.orders.models import Garment, Parcel
from workshop.pages import DAMAGED, StaffRequest, owner_page, press_once
from workshop.planning import queries as planning_queries

LOOKED_BACK, LOOKED_AHEAD = timedelta(days=120), timedelta(days=730)
"""So far closed days are known of: the list names none of them as a day to order on."""


class ShownForm(forms.Form):
    """The amount that the line showed: mm of cloth, pieces of a notion."""

    shown = forms.FloatField(min_value=0)


class ExpectedForm(forms.Form):
    """The day on which it is expected; empty: after its usual days."""

    expected_on = forms.DateField(required=False)


@owner_page
def show_buying(request: StaffRequest) -> HttpResponse:
    workshop = request.workshop
    today = workshop.day_of(timezone.now())
    hours = planning_queries.hours_of(workshop, today - LOOKED_BACK, today + LOOKED_AHEAD)
    first_days = planning_queries.first_days(workshop)
    context = {
        "area": "prices",
        "list": queries.buying_list(workshop, first_days, hours.open_on_or_before),
        "today": today,
        "unit": workshop.length_unit,
        "selling_unit": str(selling_unit(request)),
    }
    return render(request, "desk/buying.html", context)


@owner_page
@require_POST
def buy_cloth(request: StaffRequest, pk: int) -> HttpResponse:
    cloth = find_cloth(request, pk)

    def deed() -> str:
        served = order_services.buy_listed_cloth(
            workshop=request.workshop,
            cloth=cloth,
            shown_mm=_shown(request),
            by=request.staff,
            now=timezone.now(),
        )
        return _told(request, f"{cloth.name} is bought", served)

    return _press(request, deed)


@owner_page
@require_POST
def order_cloth(request: StaffRequest, pk: int) -> HttpResponse:
    """Note that the length which the line shows is ordered and on its way."""
    cloth = find_cloth(request, pk)

    def deed() -> str:
        parcel = order_services.order_listed_cloth(
            workshop=request.workshop,
            cloth=cloth,
            shown_mm=_shown(request),
            expected_on=_expected(request),
            by=request.staff,
            now=timezone.now(),
        )
        return _told(request, f"{cloth.name} is expected {day_words(parcel.expected_on)}", ())

    return _press(request, deed)


@owner_page
@require_POST
def receive_parcel(request: StaffRequest, pk: int) -> HttpResponse:
    parcel = _find_parcel(request, pk)

    def deed() -> str:
        served = order_services.receive_parcel(parcel=parcel, by=request.staff, now=timezone.now())
        return _told(request, f"{parcel.cloth.name} is in the stock", served)

    return _press(request, deed)


@owner_page
@require_POST
def expect_parcel(request: StaffRequest, pk: int) -> HttpResponse:
    parcel = _find_parcel(request, pk)

    def deed() -> str:
        day = _expected(request)
        if day is None:
            raise Refusal("Say the day on which it is expected now.")
        order_services.expect_parcel(parcel=parcel, expected_on=day, by=request.staff, now=timezone.now())
        return _told(request, f"{parcel.cloth.name} is expected {day_words(day)}", ())

    return _press(request, deed)


@owner_page
@require_POST
def give_up_parcel(request: StaffRequest, pk: int) -> HttpResponse:
    parcel = _find_parcel(request, pk)

    def deed() -> str:
        order_services.give_up_parcel(parcel=parcel, by=request.staff, now=timezone.now())
        return _told(request, f"{parcel.cloth.name} is not coming: what it was for is to buy again", ())

    return _press(request, deed)


@owner_page
@require_POST
def set_cloth_aside(request: StaffRequest, pk: int) -> HttpResponse:
    cloth = find_cloth(request, pk)

    def deed() -> str:
        served = order_services.reserve_waiting(workshop=request.workshop, cloth=cloth, now=timezone.now())
        return _told(request, f"{cloth.name} lies ready", served)

    return _press(request, deed)


@owner_page
@require_POST
def buy_notion(request: StaffRequest, pk: int) -> HttpResponse:
    notion = find_notion(request, pk)

    def deed() -> str:
        order_services.buy_listed_notion(
            workshop=request.workshop,
            notion=notion,
            shown=_shown(request),
            by=request.staff,
            now=timezone.now(),
        )
        return _told(request, f"{notion.name} is bought", ())

    return _press(request, deed)


@owner_page
@require_POST
def take_over_notion(request: StaffRequest, pk: int) -> HttpResponse:
    """Give what a cancelled or changed garment has over to those that lack it."""
    notion = find_notion(request, pk)

    def deed() -> str:
        served = order_services.take_over_notion(
            workshop=request.workshop,
            notion=notion,
            shown=_shown(request),
            by=request.staff,
            now=timezone.now(),
        )
        return _told(request, f"{notion.name} is taken over", served)

    return _press(request, deed)


def _press(request: StaffRequest, deed: Callable[[], str]) -> HttpResponse:
    return press_once(request, request.workshop, deed, "desk:buying")


def _shown(request: StaffRequest) -> float:
    form = ShownForm(request.POST)
    if not form.is_valid():
        raise Refusal(DAMAGED)
    return float(form.cleaned_data["shown"])


def _expected(request: StaffRequest) -> date | None:
    form = ExpectedForm(request.POST)
    if not form.is_valid():
        raise Refusal("Write the day on which it is expected as a date.")
    day: date | None = form.cleaned_data["expected_on"]
    return day


def _find_parcel(request: StaffRequest, pk: int) -> Parcel:
    parcel = queries.parcel_of(request.workshop, pk)
    if parcel is None:
        raise Http404
    return parcel


def day_words(day: date) -> str:
    """Return a day as pages name it: Tue 1 Dec."""
    return f"{day:%a} {day.day} {day:%b}"


def _told(request: StaffRequest, words: str, served: Sequence[Garment]) -> str:
    titles = ", ".join(garment.title for garment in served)
    messages.success(request, f"{words}, and set aside for {titles}." if titles else f"{words}.")
    return resolve_url("desk:buying")
