"""The doors: signing in, where each person begins, a job's progress, files and photographs, error pages."""

from __future__ import annotations

from io import BytesIO

from django.http import FileResponse, Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.cache import patch_cache_control
from django.utils.translation import get_language_from_request

from costing import queries as costing_queries
from costing.speech import speaking
from drafting.units import Unit
from workshop.jobs import queries as job_queries
from workshop.jobs.models import Document, Job
from workshop.lay_files import LAY_FILES
from workshop.orders import queries as order_queries
from workshop.orders.queries import is_about_money
from workshop.pages import StaffRequest, staff_page
from workshop.planning import queries as planning_queries
from workshop.planning.rules.ics import MEDIA_TYPE as CALENDAR_TYPE
from workshop.planning.rules.photographs import MEDIA_TYPE


@staff_page
def home(request: StaffRequest) -> HttpResponse:
    """The owner begins at the rail, an apprentice at the bench."""
    return redirect("desk:rail" if request.staff.is_owner else "bench:now")


@staff_page
def job(request: StaffRequest, pk: int) -> HttpResponse:
    """How far a job is, for the progress bar."""
    try:
        progress = job_queries.progress(request.workshop, pk)
    except Job.DoesNotExist:
        raise Http404 from None
    return JsonResponse({"open": progress.is_open, "progress": progress.percent, "message": progress.words})


@staff_page
def document(request: StaffRequest, pk: int) -> FileResponse:
    """A file that a job made, to look at or to save (``?save``)."""
    row = Document.objects.filter(workshop=request.workshop, pk=pk).first()
    if row is None or (not request.staff.is_owner and is_about_money(row)):
        raise Http404
    return send_file(row, save="save" in request.GET)


@staff_page
def swatch(request: StaffRequest, pk: int) -> FileResponse:
    """The picture of a cloth, as the service wrote it."""
    cloth = costing_queries.cloth_of(request.workshop, pk)
    if cloth is None or not cloth.swatch:
        raise Http404
    try:
        content = cloth.swatch.open("rb")
    except FileNotFoundError:
        raise Http404 from None
    answer = FileResponse(content, content_type="image/jpeg")
    patch_cache_control(answer, private=True, max_age=60 * 60)
    return answer


@staff_page
def photograph(request: StaffRequest, pk: int) -> FileResponse:
    """A photograph of a fitting, for those who work on it. Nothing on the way keeps it."""
    row = planning_queries.photo_for(request.staff, pk, timezone.now())
    if row is None:
        raise Http404
    try:
        content = row.file.open("rb")
    except FileNotFoundError:
        raise Http404 from None
    answer = FileResponse(content, content_type=MEDIA_TYPE)
    answer["Cache-Control"] = "private, no-store"
    return answer


@staff_page
def lay_file(request: StaffRequest, pk: int, kind: str) -> FileResponse:
    """A lay plan that holds as a file; of a part of a joint lay the whole lay."""
    row = order_queries.lay_of(request.workshop, pk)
    if row is None or kind not in LAY_FILES:
        raise Http404
    file = LAY_FILES[kind]
    content = file.made(order_queries.lay_value(row), Unit(request.workshop.length_unit))
    garment = row.draft.garment
    name = f"order {garment.order.number}, {row.role}, lay {row.joint_id or row.pk}.{kind}"
    return FileResponse(
        BytesIO(content), as_attachment=kind != "pdf", filename=name, content_type=file.content_type
    )


def work_calendar(request: HttpRequest, secret: str) -> HttpResponse:
    """Somebody's work for their calendar program (RFC 5545). The secret is all that opens it."""
    feed = planning_queries.feed_of(secret)
    if feed is None:
        raise Http404
    content = planning_queries.work_feed(feed.staff, now=timezone.now(), host=planning_queries.site_host())
    answer = HttpResponse(content, content_type=CALENDAR_TYPE)
    answer["Cache-Control"] = "private, no-store"
    answer["X-Robots-Tag"] = "noindex, nofollow"
    return answer


def send_file(row: Document, *, save: bool) -> FileResponse:
    """Send a document under its own name. Drawings are never opened in the page's own origin.

    Raises: Http404 where the file itself is gone.
    """
    try:
        content = row.file.open("rb")
    except FileNotFoundError:
        raise Http404 from None
    return FileResponse(
        content,
        as_attachment=save or row.content_type != "application/pdf",
        filename=row.name,
        content_type=row.content_type,
    )


def refused(request: HttpRequest, exception: Exception) -> HttpResponse:
    return render(request, "refused.html", {"reason": str(exception)}, status=403)


def not_sent_from_here(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form without its mark: cookies are off, the page was open too long, or it came from elsewhere.

    A customer is told so in the language that the browser asks for.
    """
    if request.resolver_match and request.resolver_match.app_name == "counter":
        with speaking(get_language_from_request(request)):
            return render(request, "counter/not_sent.html", status=403)
    words = "This page was open too long, or cookies are off. Go back, load it again and send it once more."
    return render(request, "refused.html", {"reason": words}, status=403)


def not_understood(request: HttpRequest, exception: Exception) -> HttpResponse:
    return render(request, "not_understood.html", status=400)


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    return render(request, "not_found.html", status=404)


def broken(request: HttpRequest) -> HttpResponse:
    return render(request, "broken.html", status=500)
