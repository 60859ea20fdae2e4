"""Puts the signed-in staff member and their workshop on the request."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone

from workshop.people.models import Staff


class WorkshopMiddleware:
    """Sets ``request.staff`` (None for a visitor) and shows times in the workshop's zone."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        staff = None
        if request.user.is_authenticated:
            staff = Staff.objects.select_related("workshop").filter(user=request.user, active=True).first()
        request.staff = staff  # type: ignore[attr-defined]  # read by views through workshop.people.access
        if staff is None:
            return self.get_response(request)
        with timezone.override(staff.workshop.zone):
            return self.get_response(request)
