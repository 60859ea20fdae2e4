"""The operation list of a garment, to be looked through and changed by the owner."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from costing.rules.labour import total_minutes
from costing.rules.revising import revised
from workshop.desk.editing import CONFLICTS, edits_on
from workshop.desk.forms.operations import OperationsForm
from workshop.desk.views.garments import find_garment
from workshop.orders import queries, services
from workshop.orders.models import Draft, Garment, Stage
from workshop.pages import StaffRequest, owner_page, refusals_told


@owner_page
def show_operations(request: StaffRequest, pk: int) -> HttpResponse:
    """What is done, in what order and in how many minutes; POST keeps the owner's changes."""
    garment = find_garment(request, pk)
    draft = queries.current_draft(garment)
    if draft is None:
        messages.error(request, f"Draft {garment.title} first; its operations are read from its pattern.")
        return redirect("desk:garment", garment.pk)
    form, context = _form(request, garment, draft)
    if request.method == "POST" and form.is_valid():
        with edits_on(form):
            services.revise_operations(
                garment=garment,
                draft_id=form.cleaned_data["draft"],
                expected_version=form.cleaned_data["expected_version"],
                revision=form.revision(),
                reason=form.cleaned_data["reason"],
                by=request.staff,
                now=timezone.now(),
            )
            messages.success(request, "Kept. The price is reckoned anew, and the plan follows.")
            return redirect("desk:operations", garment.pk)
    return render(request, "desk/operations.html", {**context, "form": form})


def _form(request: StaffRequest, garment: Garment, draft: Draft) -> tuple[OperationsForm, dict[str, Any]]:
    reckoned = queries.reckoned_operations(garment, queries.pattern_of(draft))
    held = queries.held_revision(garment)
    made = revised(reckoned, held)
    versions = list(queries.revisions_of(garment))
    version = versions[0].version if versions else 0
    form = OperationsForm(
        request.POST or None,
        reckoned=reckoned,
        listed=made.operations,
        held=held,
        initial={"expected_version": version, "draft": draft.pk},
    )
    context = {
        "area": "orders",
        "garment": garment,
        "draft": draft,
        "version": version,
        "versions": versions,
        "missed": made.missed,
        "count": len(made.operations),
        "minutes": total_minutes(made.operations),
        "reckoned_minutes": total_minutes(reckoned),
        "may_change": garment.stage != Stage.DELIVERED,
        "edited_meanwhile": form.meanwhile,
    }
    return form, context


@owner_page
@require_POST
def restore_operations(request: StaffRequest, pk: int) -> HttpResponse:
    """Let an earlier version of the list hold again."""
    garment = find_garment(request, pk)
    try:
        draft, held, wanted = (int(request.POST.get(name, "")) for name in ("draft", "held", "version"))
    except ValueError:
        messages.error(request, "The page was damaged on its way here; choose the version once more.")
        return redirect("desk:operations", garment.pk)
    try:
        with refusals_told(request):
            services.restore_operations(
                garment=garment,
                draft_id=draft,
                expected_version=held,
                version=wanted,
                by=request.staff,
                now=timezone.now(),
            )
            messages.success(request, "That version holds again. The price is reckoned anew.")
    except CONFLICTS as refusal:
        messages.error(request, f"{refusal} Look through it, then choose once more.")
    return redirect("desk:operations", garment.pk)
