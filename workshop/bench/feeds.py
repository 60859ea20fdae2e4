"""Each one's own calendar: the address to which a calendar program subscribes."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from workshop.pages import StaffRequest, refusals_told, staff_page
from workshop.planning import queries, services


@staff_page
def show_calendar(request: StaffRequest) -> HttpResponse:
    feeds = list(queries.open_feeds(request.workshop))
    own = next((feed for feed in feeds if feed.staff_id == request.staff.pk), None)
    context = {
        "area": "calendar",
        "feed": own,
        "address": "" if own is None else queries.feed_address(own),
        "others": [feed for feed in feeds if feed != own] if request.staff.is_owner else [],
    }
    return render(request, "bench/calendar.html", context)


@staff_page
@require_POST
def open_feed(request: StaffRequest) -> HttpResponse:
    services.open_feed(staff=request.staff, now=timezone.now())
    messages.success(request, "Your calendar has an address now. Give it to your calendar program.")
    return redirect("bench:calendar")


@staff_page
@require_POST
def withdraw_feed(request: StaffRequest, pk: int) -> HttpResponse:
    feed = get_object_or_404(queries.open_feeds(request.workshop), pk=pk)
    with refusals_told(request):
        services.withdraw_feed(feed=feed, by=request.staff, now=timezone.now())
        messages.success(request, "The address is withdrawn: it shows nothing any more.")
    return redirect("bench:calendar")
