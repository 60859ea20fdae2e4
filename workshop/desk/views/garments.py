"""A garment's own page: its stage, draft, lays, files; and what is done to it there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render, resolve_url
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.views.decorators.http import require_POST

from drafting.body import CATALOGUE, SIZES
from drafting.layplan.picture import lay_screen_svg
from drafting.output.contract import read_contract
from drafting.output.cutting import piece_cutting
from drafting.output.garment import garment_svg
from drafting.output.svg import piece_svg
from drafting.pattern import Draft as Pattern
from drafting.styles import STYLES, choice_words
from drafting.units import Unit
from workshop.desk.views.prices import selling_unit
from workshop.orders import queries, services
from workshop.orders.models import Draft, Garment
from workshop.pages import StaffRequest, owner_page, refusals_told
from workshop.planning import queries as planning_queries


def find_garment(request: StaffRequest, pk: int) -> Garment:
    garment = queries.garment_of(request.workshop, pk)
    if garment is None:
        raise Http404
    return garment


def find_draft(request: StaffRequest, pk: int) -> Draft:
    draft = queries.draft_of(request.workshop, pk)
    if draft is None:
        raise Http404
    return draft


@dataclass(frozen=True)
class FinishedRow:
    name: str
    garment: float
    body: float | None
    ease: float | None


@owner_page
def show_garment(request: StaffRequest, pk: int) -> HttpResponse:
    garment = find_garment(request, pk)
    unit = Unit(request.workshop.length_unit)
    draft = queries.current_draft(garment)
    style = STYLES[garment.style]
    context: dict[str, Any] = {
        "area": "orders",
        "garment": garment,
        "order": garment.order,
        "unit": str(unit),
        "currency": request.workshop.currency,
        "selling_unit": str(selling_unit(request)),
        "style": style,
        "choices": choice_words(garment.style, garment.choices, unit),
        "cloths": garment.cloths.select_related("cloth").order_by("pk"),
        "need": queries.next_need(garment),
        "moves": queries.moves(garment),
        "estimate": queries.current_estimate(garment),
        "fittings": planning_queries.fittings_of(garment),
        "sizes": SIZES.values(),
        "standing_in": SIZES.get(garment.size),
        "draft": draft,
        "may_draft": garment.stage in services.DRAFTED_AT,
        "drafts_before": garment.drafts.exclude(superseded_at=None).count(),
    }
    if draft is not None:
        context |= _draft_context(draft, unit)
    return render(request, "desk/garment.html", context)


@owner_page
def draw_draft(request: StaffRequest, pk: int) -> HttpResponse:
    """A draft's finished garment as an image. A draft never changes, so a browser asks for it once a day."""
    picture = garment_svg(queries.pattern_of(find_draft(request, pk)))
    answer = HttpResponse(picture, content_type="image/svg+xml")
    patch_cache_control(answer, private=True, max_age=24 * 60 * 60)
    return answer


def _draft_context(draft: Draft, unit: Unit) -> dict[str, Any]:
    pattern = read_contract(draft.output)
    return {
        "pattern": pattern,
        "garment_picture": garment_svg(pattern),
        "pieces": [
            {
                "name": piece.name,
                "picture": piece_svg(piece, unit=unit),
                "cutting": "; ".join(
                    f"{line.count} of {line.cloth}, {line.how}" for line in piece_cutting(piece)
                ),
            }
            for piece in pattern.pieces
        ],
        "finished": finished_rows(pattern),
        "body": [_body_row(pattern, name) for name in CATALOGUE],
        "files": queries.files_of(draft),
        "files_job": queries.files_job(draft),
        "superseded_files": draft.version > 1,
        "fit_changed": queries.fit_changed(draft),
        "lays": lay_pictures(draft, unit),
        "lays_job": queries.lays_job(draft),
    }


def lay_pictures(draft: Draft, unit: Unit) -> list[dict[str, Any]]:
    """Each lay plan that holds, with its picture, and the job that lays it on other lengths."""
    # The jobs first: one that ends between the two is shown at work, and the page then asks again.
    jobs = queries.lengths_jobs(draft)
    return [
        {
            "shown": shown,
            "row": shown.row,
            "picture": lay_screen_svg(shown.plan, unit=unit),
            "job": jobs.get(shown.row.role),
        }
        for shown in queries.lays_shown(draft)
    ]


def finished_rows(pattern: Pattern) -> list[FinishedRow]:
    """What the finished garment measures, beside the body."""
    return [
        FinishedRow(row.name, row.garment, row.body, None if row.body is None else row.garment - row.body)
        for row in pattern.finished
    ]


def _body_row(pattern: Pattern, name: str) -> dict[str, Any]:
    measure = pattern.body.measure(name)
    return {
        "word": CATALOGUE[name].word,
        "value": measure.value,
        "given": measure.given,
        "error": measure.error,
    }


@owner_page
@require_POST
def draft_garment(request: StaffRequest, pk: int) -> HttpResponse:
    """Draft the pattern, then have its files made and its cloth laid."""
    garment = find_garment(request, pk)
    with refusals_told(request):
        draft = services.draft_garment(garment=garment, by=request.staff, now=timezone.now())
        services.request_outputs(draft=draft, by=request.staff, now=timezone.now())
    return redirect("desk:garment", garment.pk)


@owner_page
@require_POST
def stand_in(request: StaffRequest, pk: int) -> HttpResponse:
    """Let a size stand in until the wearer is measured, so that a price can be reckoned."""
    garment = find_garment(request, pk)
    with refusals_told(request):
        services.stand_in(
            garment=garment, size=request.POST.get("size", ""), by=request.staff, now=timezone.now()
        )
    return redirect("desk:garment", garment.pk)


@owner_page
@require_POST
def make_files(request: StaffRequest, pk: int) -> HttpResponse:
    return _ask(request, pk, services.request_files)


@owner_page
@require_POST
def make_lays(request: StaffRequest, pk: int) -> HttpResponse:
    return _ask(request, pk, services.request_lay_plans)


@owner_page
@require_POST
def fix_way(request: StaffRequest, pk: int) -> HttpResponse:
    """Fix in which way a cloth is laid, or let the shortest be taken again; then lay it anew."""
    garment = find_garment(request, pk)
    now = timezone.now()
    with refusals_told(request):
        services.fix_way(
            garment=garment,
            role=request.POST.get("role", ""),
            way=request.POST.get("way", ""),
            by=request.staff,
            now=now,
        )
        draft = queries.current_draft(garment)
        if draft is not None:
            services.request_lay_plans(draft=draft, by=request.staff, now=now)
    return redirect(f"{resolve_url('desk:garment', garment.pk)}#cloth")


@owner_page
@require_POST
def lay_on_lengths(request: StaffRequest, pk: int) -> HttpResponse:
    """Lay a cloth of a draft on the lengths that are ticked, and on the roll; with none on any one again."""
    draft = find_draft(request, pk)
    keys = [int(key) if key.isdecimal() and len(key) < 19 else 0 for key in request.POST.getlist("length")]
    with refusals_told(request):
        services.request_lay_on_lengths(
            draft=draft,
            role=request.POST.get("role", ""),
            lengths=[*keys, *([None] if "roll" in request.POST else [])],
            by=request.staff,
            now=timezone.now(),
        )
    return redirect(f"{resolve_url('desk:garment', draft.garment_id)}#cloth")


@owner_page
@require_POST
def waive_checks(request: StaffRequest, pk: int) -> HttpResponse:
    draft = find_draft(request, pk)
    with refusals_told(request):
        services.waive_checks(
            draft=draft, reason=request.POST.get("reason", ""), by=request.staff, now=timezone.now()
        )
        messages.warning(request, "Waived. The reason stays with the draft.")
    return redirect("desk:garment", draft.garment_id)


def _ask(request: StaffRequest, pk: int, service: Callable[..., object]) -> HttpResponse:
    """What a button of a draft asks for; then its garment's page again."""
    draft = find_draft(request, pk)
    with refusals_told(request):
        service(draft=draft, by=request.staff, now=timezone.now())
    return redirect("desk:garment", draft.garment_id)


@owner_page
@require_POST
def move_garment(request: StaffRequest, pk: int) -> HttpResponse:
    garment = find_garment(request, pk)
    with refusals_told(request):
        services.move_garment(
            garment=garment,
            to=request.POST.get("to", ""),
            reason=request.POST.get("reason", ""),
            owner_word="owner_word" in request.POST,
            by=request.staff,
            now=timezone.now(),
        )
    return redirect("desk:garment", garment.pk)
