"""The book of clients and wearers."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from drafting.body import FIT_NOTES
from drafting.units import Unit
from workshop.desk.editing import edits_on
from workshop.desk.forms.fit import FitForm
from workshop.desk.forms.people import ClientForm, EraseForm, WearerDetailsForm
from workshop.orders import queries as order_queries
from workshop.pages import StaffRequest, owner_page, refusals_told, searched
from workshop.people import queries, services
from workshop.people.models import Client, Wearer


def find_client(request: StaffRequest, pk: int) -> Client:
    client = queries.client_of(request.workshop, pk)
    if client is None:
        raise Http404
    return client


def find_wearer(request: StaffRequest, pk: int) -> Wearer:
    wearer = queries.wearer_of(request.workshop, pk)
    if wearer is None:
        raise Http404
    return wearer


@owner_page
def show_clients(request: StaffRequest) -> HttpResponse:
    search = searched(request)
    found = queries.clients(request.workshop, search)
    return render(request, "desk/clients.html", {"area": "clients", "clients": found, "search": search})


@owner_page
def show_client(request: StaffRequest, pk: int) -> HttpResponse:
    """A client with wearers and orders; saving changes the contact."""
    client = find_client(request, pk)
    form = ClientForm.opened_on(client, request.POST)
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            services.edit_client(client=client, by=request.staff, now=timezone.now(), **form.cleaned_data)
            messages.success(request, "Saved. Papers that were sent keep what they said.")
            return redirect("desk:client", client.pk)
    context = {
        "area": "clients",
        "client": client,
        "form": form,
        "edited_meanwhile": form.meanwhile,
        "wearers": queries.wearers(request.workshop, client),
        "orders": order_queries.orders(request.workshop, client=client),
    }
    return render(request, "desk/client.html", context)


def _fit_words(wearer: Wearer, unit: Unit) -> list[tuple[str, str]]:
    """The wearer's fit notes as (title, amount)."""
    form = FitForm(unit=unit, fit=wearer.fit)
    ends = {"length": str(unit), "degrees": "degrees"}
    return [
        (note.title, f"{form.written(note, wearer.fit[note.name])} {ends[note.kind]}")
        for note in FIT_NOTES.values()
        if note.name in wearer.fit
    ]


@owner_page
def show_wearer(request: StaffRequest, pk: int) -> HttpResponse:
    wearer = find_wearer(request, pk)
    form = WearerDetailsForm.opened_on(wearer, request.POST)
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            services.edit_wearer(wearer=wearer, by=request.staff, now=timezone.now(), **form.cleaned_data)
            messages.success(request, "Saved.")
            return redirect("desk:wearer", wearer.pk)
    context: dict[str, Any] = {
        "area": "clients",
        "wearer": wearer,
        "form": form,
        "edited_meanwhile": form.meanwhile,
        "erase_form": EraseForm(),
        "measurement_sets": queries.measurement_sets(wearer),
        "fit": _fit_words(wearer, Unit(request.workshop.length_unit)),
    }
    return render(request, "desk/wearer.html", context)


@owner_page
def note_fit(request: StaffRequest, pk: int) -> HttpResponse:
    """The wearer's fit notes in figures: what is drawn differently from the tape in each later draft."""
    wearer = find_wearer(request, pk)
    form = FitForm(
        request.POST or None,
        unit=Unit(request.workshop.length_unit),
        fit=wearer.fit,
        initial={"expected_version": wearer.version},
    )
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            services.note_fit(wearer=wearer, by=request.staff, now=timezone.now(), **form.cleaned_data)
            messages.success(request, "Noted. The next draft for this wearer is drawn with it.")
            return redirect("desk:wearer", wearer.pk)
    context = {"area": "clients", "wearer": wearer, "form": form, "edited_meanwhile": form.meanwhile}
    return render(request, "desk/fit.html", context)


@owner_page
@require_POST
def erase_wearer(request: StaffRequest, pk: int) -> HttpResponse:
    """Erase name and measurements on request; papers that were issued stay."""
    wearer = find_wearer(request, pk)
    form = EraseForm(request.POST)
    if not form.is_valid():
        messages.error(request, "Write why the data are erased.")
        return redirect("desk:wearer", wearer.pk)
    with refusals_told(request):
        services.erase_wearer(
            wearer=wearer, reason=form.cleaned_data["reason"], by=request.staff, now=timezone.now()
        )
        messages.success(
            request, "Erased. Issued papers stay, as the law asks of papers; check your local rules."
        )
    return redirect("desk:wearer", wearer.pk)
