"""Machines that are scarce: one overlocker, one steam table."""

from __future__ import annotations

from functools import partial

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from workshop.desk.editing import edits_on
from workshop.desk.forms.machines import MachineDetailsForm, MachineForm
from workshop.orders.services import ask_for_plan
from workshop.pages import StaffRequest, once, owner_page, refusals_on, refusals_told
from workshop.planning import services
from workshop.planning.models import Machine


@owner_page
def show_machines(request: StaffRequest) -> HttpResponse:
    """List the machines, and note another."""
    form = MachineDetailsForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            return once(request, request.workshop, partial(_add, request, form))
    machines = Machine.objects.filter(workshop=request.workshop).order_by("name", "pk")
    context = {"area": "settings", "machines": machines, "form": form}
    return render(request, "desk/machines.html", context)


def _add(request: StaffRequest, form: MachineDetailsForm) -> str:
    services.add_machine(workshop=request.workshop, by=request.staff, now=timezone.now(), **form.cleaned_data)
    ask_for_plan(request.workshop)
    messages.success(request, "Noted. Plans reckon with it from now on.")
    return resolve_url("desk:machines")


@owner_page
def edit_machine(request: StaffRequest, pk: int) -> HttpResponse:
    machine = get_object_or_404(Machine, workshop=request.workshop, pk=pk)
    form = MachineForm.opened_on(machine, request.POST)
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            services.edit_machine(machine=machine, by=request.staff, now=timezone.now(), **form.cleaned_data)
            ask_for_plan(request.workshop)
            messages.success(request, "Saved. The work is planned anew.")
            return redirect("desk:machines")
    context = {"area": "settings", "machine": machine, "form": form, "edited_meanwhile": form.meanwhile}
    return render(request, "desk/machine.html", context)


@owner_page
@require_POST
def drop_machine(request: StaffRequest, pk: int) -> HttpResponse:
    machine = get_object_or_404(Machine, workshop=request.workshop, pk=pk)
    with refusals_told(request):
        services.drop_machine(machine=machine, by=request.staff, now=timezone.now())
        ask_for_plan(request.workshop)
        messages.success(request, "Taken off the list.")
    return redirect("desk:machines")
