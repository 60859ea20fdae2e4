"""Garments of one cloth laid together: what may be, what is, and what it saves."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.views.decorators.http import require_POST

from costing.models import Cloth
from drafting.layplan.picture import lay_screen_svg
from drafting.units import Unit
from workshop.desk.views.prices import find_cloth, selling_unit
from workshop.jobs.models import Job
from workshop.orders import queries, services
from workshop.orders.models import JointLay
from workshop.orders.queries import Together
from workshop.pages import StaffRequest, owner_page, press_once, refusals_told


@owner_page
def show_lays(request: StaffRequest) -> HttpResponse:
    """The cloths on which several garments may be laid together; of one order with ``?order``."""
    order = None
    if request.GET.get("order", "").isdecimal():
        order = queries.order_of(request.workshop, int(request.GET["order"]))
        if order is None:
            raise Http404
    groups = queries.lay_groups(request.workshop, order=order)
    jobs = queries.joint_jobs(request.workshop, [group.cloth for group in groups])
    context = {
        "area": "orders",
        "order": order,
        "groups": [_group(group, job) for group, job in zip(groups, jobs, strict=True)],
        "unit": request.workshop.length_unit,
        "selling_unit": str(selling_unit(request)),
        "currency": request.workshop.currency,
    }
    return render(request, "desk/lays.html", context)


def _group(group: Together, job: Job | None) -> dict[str, Any]:
    joints = {lay.joint.pk: lay.joint for lay in group.lays if lay.joint is not None}
    return {
        "cloth": group.cloth,
        "lays": group.lays,
        "joints": [{"row": joint, "saving": queries.saving_of(joint)} for joint in joints.values()],
        "job": job,
    }


@owner_page
@require_POST
def lay_together(request: StaffRequest, pk: int) -> HttpResponse:
    """Ask for a joint lay of the garments that are ticked."""
    cloth = find_cloth(request, pk)
    return press_once(request, request.workshop, partial(_ask, request, cloth), "desk:lays")


def _ask(request: StaffRequest, cloth: Cloth) -> str:
    keys = [int(key) for key in request.POST.getlist("garment") if key.isdecimal() and len(key) < 19]
    services.request_joint_lay(
        workshop=request.workshop,
        cloth=cloth,
        garments=queries.garments_of(request.workshop, keys),
        by=request.staff,
        now=timezone.now(),
    )
    messages.info(request, f"Laying on {cloth.name}; this page shows how far it is.")
    return resolve_url("desk:lays")


@owner_page
def show_joint(request: StaffRequest, pk: int) -> HttpResponse:
    """One joint lay: its picture, the garments by their numbers, what it saves, their cutting lists."""
    joint = _find(request, pk)
    unit = Unit(request.workshop.length_unit)
    parts = list(queries.parts_of(joint))
    if not parts:  # all of its garments' drafts are gone
        raise Http404
    plan = queries.lay_value(parts[0])
    context = {
        "area": "orders",
        "joint": joint,
        "saving": queries.saving_of(joint),
        "parts": [
            {
                "row": part,
                "lines": [line for line in queries.cutting_lines(part.draft) if line.cloth == joint.role],
            }
            for part in parts
        ],
        "picture": lay_screen_svg(plan, unit=unit),
        "plan": plan,
        "unit": str(unit),
        "selling_unit": str(selling_unit(request)),
        "currency": request.workshop.currency,
    }
    return render(request, "desk/joint_lay.html", context)


@owner_page
@require_POST
def lay_apart(request: StaffRequest, pk: int) -> HttpResponse:
    joint = _find(request, pk)
    with refusals_told(request):
        services.lay_apart(joint=joint, by=request.staff, now=timezone.now())
        messages.success(request, "Each is laid by itself again; stock and estimates follow.")
    return redirect("desk:lays")


def _find(request: StaffRequest, pk: int) -> JointLay:
    joint = queries.joint_lay_of(request.workshop, pk)
    if joint is None:
        raise Http404
    return joint
