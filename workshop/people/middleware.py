"""Puts the signed-in staff member and their workshop on the request."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from workshop.people.models import Staff


class WorkshopMiddleware:
    """Sets ``request.staff`` and ``request.workshop`` (None for a visitor); times are shown in its zone."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        staff = None
        if request.user.is_authenticated:
            staff = Staff.objects.select_related("workshop").filter(user=request.user, active=True).first()
        # Views of staff read them through workshop.pages.StaffRequest, which has the types.
        request.staff = staff  # type: ignore[attr-defined]
        request.workshop = staff.workshop if staff else None  # type: ignore[attr-defined]
        if staff is None:
            return self.get_response(request)
        with timezone.override(staff.workshop.zone):
            return self.get_response(request)
