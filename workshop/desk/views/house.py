"""The house rules of drafting: one page to change them."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from drafting.units import Unit
from workshop.desk.editing import edits_on
from workshop.desk.forms.house import HouseRulesForm
from workshop.pages import StaffRequest, owner_page
from workshop.people import queries, services


@owner_page
def show_house(request: StaffRequest) -> HttpResponse:
    """Show the rules; saving keeps a new version, which later drafts are made by."""
    workshop = request.workshop
    held = queries.house_values(workshop)
    version = queries.house_version(workshop)
    form = HouseRulesForm(
        request.POST or None,
        unit=Unit(workshop.length_unit),
        values=held,
        initial={"expected_version": version},
    )
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            services.change_house_rules(
                workshop=workshop,
                values=form.values(held),
                expected_version=form.cleaned_data["expected_version"],
                by=request.staff,
                now=timezone.now(),
            )
            messages.success(
                request, "Kept. Drafts made from now on follow these rules; earlier ones keep theirs."
            )
            return redirect("desk:house")
    context = {"area": "house", "form": form, "version": version, "edited_meanwhile": form.meanwhile}
    return render(request, "desk/house.html", context)
