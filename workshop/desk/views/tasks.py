"""A task moved by choosing; no dragging is needed."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from workshop.desk.forms.tasks import MoveTaskForm
from workshop.pages import StaffRequest, owner_page, refusals_on, refusals_told
from workshop.planning import services
from workshop.planning.models import Task


@owner_page
def move_task(request: StaffRequest, pk: int) -> HttpResponse:
    task = _task(request, pk)
    initial = {"staff": task.staff_id, "starts_at": task.planned_start_at}
    form = MoveTaskForm(request.POST or None, task=task, initial=initial)
    if request.method == "POST" and form.is_valid():
        with refusals_on(form):
            services.pin_task(task=task, by=request.staff, now=timezone.now(), **form.cleaned_data)
            messages.success(request, "Put there. The rest is being planned around it.")
            return redirect("desk:week")
    return render(request, "desk/move_task.html", {"area": "week", "task": task, "form": form})


@owner_page
@require_POST
def release_task(request: StaffRequest, pk: int) -> HttpResponse:
    task = _task(request, pk)
    with refusals_told(request):
        services.unpin_task(task=task, by=request.staff, now=timezone.now())
        messages.success(request, "Left to the plan again.")
    return redirect("desk:week")


def _task(request: StaffRequest, pk: int) -> Task:
    rows = Task.objects.select_related("workshop", "garment", "staff")
    return get_object_or_404(rows, workshop=request.workshop, pk=pk)
