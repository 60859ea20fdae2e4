"""The week by people and days, drawn to scale, with its fittings; the plan can be made anew here."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from workshop import jobs
from workshop.desk.week_picture import week_picture
from workshop.jobs import queries as job_queries
from workshop.orders.services import ask_for_plan
from workshop.orders.services.asking import PLAN_JOB, PLAN_KEY
from workshop.pages import StaffRequest, owner_page, refusals_told
from workshop.planning import queries


@owner_page
def show_week(request: StaffRequest) -> HttpResponse:
    workshop = request.workshop
    now = timezone.now()
    monday = _monday(request.GET.get("from"), workshop.day_of(now))
    tasks = queries.planned_week(workshop, monday)
    fittings = [
        fitting
        for fitting in queries.fittings_ahead(workshop, now, days=90)
        if monday <= workshop.day_of(fitting.starts_at) < monday + timedelta(days=7)
    ]
    hours = queries.hours_of(workshop, monday, monday + timedelta(days=6))
    tentative = queries.tentative_garments(workshop, now)
    machines = queries.machine_use(workshop, tasks)
    context: dict[str, Any] = {
        "area": "week",
        "monday": monday,
        "before": monday - timedelta(days=7),
        "after": monday + timedelta(days=7),
        "picture": week_picture(
            monday, workshop.zone, hours, tasks, fittings, machines=machines, tentative=tentative
        ),
        "machines": machines,
        "tentative": tentative,
        "plans": queries.last_moves(workshop, now),
        "tasks": tasks,
        "fittings": fittings,
        "closures": hours.closures,
        "blocked": queries.blocked(workshop, now),
        "weeks": queries.hours_booked(workshop, now, tentative=tentative),
        "plan_job": job_queries.latest(workshop, PLAN_JOB, PLAN_KEY),
    }
    return render(request, "desk/week.html", context)


def _monday(text: str | None, today: date) -> date:
    """The Monday of the day that was asked for; of today where it cannot be read."""
    try:
        day = date.fromisoformat(text or "")
    except ValueError:
        day = today
    if abs((day - today).days) > 800:
        day = today
    return day - timedelta(days=day.weekday())


@owner_page
@require_POST
def replan(request: StaffRequest) -> HttpResponse:
    ask_for_plan(request.workshop)
    messages.success(request, "The plan is being made anew.")
    return redirect("desk:week")


@owner_page
@require_POST
def cancel_plan(request: StaffRequest) -> HttpResponse:
    """Stop the search for a better plan: what it has found by then stands."""
    job = job_queries.latest(request.workshop, PLAN_JOB, PLAN_KEY)
    if job is None or not job.is_open:
        messages.info(request, "No plan is being made now.")
    else:
        with refusals_told(request):
            jobs.cancel(job=job)
            messages.success(request, "The search is being stopped; the best plan found so far stands.")
    return redirect("desk:week")
