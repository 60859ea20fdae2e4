"""The apprentice's pages: what to do now and next, what to cut, how it is sewn."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from drafting.layplan.picture import lay_screen_svg
from drafting.output.garment import garment_svg
from drafting.units import Unit
from workshop.orders import queries, services
from workshop.orders.models import CuttingLine, Garment, GarmentCloth, LayPlan, Stage
from workshop.pages import StaffRequest, press_once, refusals_told, staff_page
from workshop.planning import queries as planning_queries
from workshop.planning import services as planning_services
from workshop.planning.models import Task, TaskGroup
from workshop.planning.rules.joining import turn
from workshop.planning.services.timing import FIRST_STAGE

SHEARS = "Shears and rotary cutters are sharp: cut away from your hand and close the blade."
NEEDLE = "Keep fingers clear of the needle; switch the machine off before you thread it."
IRON = "The iron burns long after it is switched off: stand it on its heel, mind the steam."
CAUTIONS = {
    TaskGroup.CUT: (SHEARS,),
    TaskGroup.PREPARE: (IRON,),  # interfacing is fused
    TaskGroup.SEW: (NEEDLE, IRON),  # one presses as one sews
    TaskGroup.PRESS: (IRON,),
    TaskGroup.FINISH: (NEEDLE, IRON),
    TaskGroup.ALTER: (NEEDLE, IRON),
}
"""What the tools of a kind of work can do. Common practice, no source; local rules come first."""
LOCAL_RULES = "Your workshop's own safety rules come first; ask when you are not sure."

_STAGES = list(Stage)


@dataclass(frozen=True)
class TaskRow:
    """A task as the bench lists it."""

    pk: int
    title: str
    garment_id: int
    garment_title: str
    minutes_planned: int
    planned_start_at: datetime | None
    can_start: bool
    waits_for: str


@staff_page
def show_now(request: StaffRequest) -> HttpResponse:
    now = timezone.now()
    running = planning_queries.running_task(request.staff)
    context = {
        "area": "now",
        "greeting": _greeting(now.astimezone(request.workshop.zone).hour),
        "running": None if running is None else _running(running, now),
        "today": [_row(task) for task in planning_queries.today_tasks(request.staff, now)],
        "next": [_row(task) for task in planning_queries.next_tasks(request.staff, now)],
        "to_cut": _to_cut(request, planning_queries.own_cuts(request.staff, now)),
    }
    return render(request, "bench/now.html", context)


def _greeting(hour: int) -> str:
    return "morning" if hour < 12 else "afternoon" if hour < 18 else "evening"


def _row(task: Task) -> TaskRow:
    return TaskRow(
        pk=task.pk,
        title=task.title,
        garment_id=task.garment_id,
        garment_title=task.garment.title,
        minutes_planned=task.minutes_planned,
        planned_start_at=task.planned_start_at,
        can_start=_may_begin(task),
        waits_for=f"still at {task.garment.stage}",
    )


def _may_begin(task: Task) -> bool:
    """Whether the garment has come so far; the service has the last word."""
    first = FIRST_STAGE.get(TaskGroup(task.group), Stage.SEW)
    return _STAGES.index(Stage(task.garment.stage)) >= _STAGES.index(first)


def _running(task: Task, now: datetime) -> dict[str, Any]:
    entries = list(task.time_entries.all())
    spent = [entry.ended_at - entry.started_at for entry in entries if entry.ended_at is not None]
    current = next((entry for entry in entries if entry.ended_at is None), None)
    return {
        "pk": task.pk,
        "title": task.title,
        "garment_id": task.garment_id,
        "garment_title": task.garment.title,
        "due_on": task.garment.order.due_on,
        "since": current.started_at if current else now,
        "minutes_planned": task.minutes_planned,
        "minutes_spent": sum(span.total_seconds() for span in spent) / 60,
        "cautions": (*CAUTIONS[TaskGroup(task.group)], LOCAL_RULES),
    }


def _to_cut(request: StaffRequest, only: Collection[int] | None = None) -> list[dict[str, Any]]:
    """What is to cut in the workshop, or of that what is among the garments ``only``."""
    return [
        {
            "garment_id": garment.pk,
            "title": garment.title,
            "wearer": garment.wearer.initials,
            "due_on": garment.order.due_on,
            "lines": garment.lines,
            "lines_done": garment.lines_done,
        }
        for garment in queries.to_cut(request.workshop)
        if only is None or garment.pk in only
    ]


@staff_page
def show_cutting(request: StaffRequest) -> HttpResponse:
    """What is to cut: the owner sees all of it, an apprentice what is theirs today and next."""
    only = None if request.staff.is_owner else planning_queries.own_cuts(request.staff, timezone.now())
    return render(request, "bench/cutting.html", {"area": "cutting", "to_cut": _to_cut(request, only)})


@staff_page
def show_cut(request: StaffRequest, pk: int) -> HttpResponse:
    """The cutting list of a garment, with its lays and pattern files."""
    garment = _garment(request, pk)
    draft = queries.current_draft(garment)
    if draft is None:
        messages.error(request, f"{garment.title} is not drafted yet; ask the owner what to cut.")
        return redirect("bench:garment", garment.pk)
    unit = Unit(request.workshop.length_unit)
    lines = list(queries.cutting_lines(draft))
    context = {
        "area": "cutting",
        "garment": garment,
        "tool_cautions": (SHEARS, LOCAL_RULES),
        "draft": draft,
        "unit": str(unit),
        "groups": _groups(garment, lines),
        "may_cut": garment.stage == Stage.CUT,
        "why_not": queries.next_need(garment) if garment.stage in {Stage.MEASURE, Stage.DRAFT} else "",
        "all_cut": all(line.cut_at is not None for line in lines),
        "may_sew": garment.stage == Stage.CUT,
        "files": queries.files_of(draft),
        "lays": [
            {
                "row": row,
                "takes": queries.takes_of_lay(row),
                "picture": lay_screen_svg(queries.lay_value(row), unit=unit),
                **_cut_with(row),
            }
            for row in queries.current_lays(draft)
        ],
    }
    return render(request, "bench/cut.html", context)


def _cut_with(row: LayPlan) -> dict[str, list[str]]:
    """The garments that are laid together with one, and those of them that may not be cut yet."""
    if row.joint is None:
        return {"others": [], "waiting": []}
    held = [part.draft.garment for part in queries.parts_of(row.joint) if part.pk != row.pk]
    early = {Stage.MEASURE, Stage.DRAFT}
    return {
        "others": [other.title for other in held],
        "waiting": [other.title for other in held if other.stage in early],
    }


def _groups(garment: Garment, lines: list[CuttingLine]) -> list[dict[str, Any]]:
    """The lines of each cloth together, under the cloth's own name."""
    names = {row.role: row.cloth.name for row in garment.cloths.select_related("cloth")}
    titles = {
        role: f"{label.capitalize()}: {names.get(role, 'not chosen')}"
        for role, label in GarmentCloth.Role.choices
    }
    found: dict[str, list[CuttingLine]] = {}
    for line in lines:
        found.setdefault(line.cloth, []).append(line)
    return [{"cloth_title": titles[role], "lines": rows} for role, rows in found.items()]


@staff_page
@require_POST
def tick_line(request: StaffRequest, pk: int) -> HttpResponse:
    line = queries.line_of(request.workshop, pk)
    if line is None:
        raise Http404
    change = services.untick_cutting_line if "undo" in request.POST else services.tick_cutting_line
    with refusals_told(request):
        change(line=line, by=request.staff, now=timezone.now())
    return redirect("bench:cut", line.draft.garment_id)


@staff_page
@require_POST
def cut_done(request: StaffRequest, pk: int) -> HttpResponse:
    """All is cut: the garment moves on to sewing."""
    garment, moved = _garment(request, pk), False
    with refusals_told(request):
        services.move_garment(garment=garment, to=Stage.SEW, by=request.staff, now=timezone.now())
        messages.success(request, f"{garment.title} goes on to sewing.")
        moved = True
    return redirect("bench:garment" if moved else "bench:cut", garment.pk)


@staff_page
def show_garment(request: StaffRequest, pk: int) -> HttpResponse:
    """How a garment is sewn: its tasks with their operations, numbered through."""
    garment = _garment(request, pk)
    draft = queries.current_draft(garment)
    pattern = None if draft is None else queries.pattern_of(draft)
    tasks: list[dict[str, Any]] = []
    number = 1
    for task in sorted(garment.tasks.all(), key=lambda task: turn(task.position)):
        tasks.append({"task": task, "first_number": number})
        number += len(task.operations)
    context = {
        "area": "now",
        "garment": garment,
        "tool_cautions": (NEEDLE, IRON, LOCAL_RULES),
        "picture": "" if pattern is None else garment_svg(pattern),
        "cautions": () if pattern is None else pattern.cautions,
        "notes": () if pattern is None else pattern.notes,
        "tasks": tasks,
    }
    return render(request, "bench/garment.html", context)


def _garment(request: StaffRequest, pk: int) -> Garment:
    garment = queries.garment_of(request.workshop, pk)
    if garment is None:
        raise Http404
    return garment


def _task(request: StaffRequest, pk: int) -> Task:
    task = Task.objects.select_related("garment__order").filter(workshop=request.workshop, pk=pk).first()
    if task is None:
        raise Http404
    return task


@staff_page
@require_POST
def start_task(request: StaffRequest, pk: int) -> HttpResponse:
    task = _task(request, pk)
    return press_once(request, request.workshop, partial(_start, request, task), "bench:now")


def _start(request: StaffRequest, task: Task) -> str:
    planning_services.start_task(task=task, staff=request.staff, now=timezone.now())
    return resolve_url("bench:now")


@staff_page
@require_POST
def stop_task(request: StaffRequest, pk: int) -> HttpResponse:
    task = _task(request, pk)
    return press_once(request, request.workshop, partial(_stop, request, task, done=False), "bench:now")


@staff_page
@require_POST
def finish_task(request: StaffRequest, pk: int) -> HttpResponse:
    task = _task(request, pk)
    return press_once(request, request.workshop, partial(_stop, request, task, done=True), "bench:now")


def _stop(request: StaffRequest, task: Task, *, done: bool) -> str:
    planning_services.stop_task(task=task, staff=request.staff, now=timezone.now(), done=done)
    if done:
        messages.success(request, f"{task.title} is done.")
    return resolve_url("bench:now")
