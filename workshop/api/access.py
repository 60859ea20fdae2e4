"""Who may do what through the API: staff of a workshop read, its owner decides."""

from __future__ import annotations

from rest_framework.permissions import SAFE_METHODS, BasePermission
from rest_framework.request import Request
from rest_framework.views import APIView

from workshop.people.models import Staff


class StaffReadsOwnerDecides(BasePermission):
    """Staff of a workshop may read; only an owner may change."""

    message = "Only the owner can do this."

    def has_permission(self, request: Request, view: APIView) -> bool:
        staff = staff_of(request)
        return staff is not None and (request.method in SAFE_METHODS or staff.is_owner)


class OwnerOnly(BasePermission):
    """What is about money is the owner's to read too, as on the pages."""

    message = "Only the owner can see this."

    def has_permission(self, request: Request, view: APIView) -> bool:
        staff = staff_of(request)
        return staff is not None and staff.is_owner


def staff_of(request: Request) -> Staff | None:
    """The staff member that the token or the session belongs to; None for anybody else."""
    if not hasattr(request, "known_staff"):
        request.known_staff = _find_staff(request)  # type: ignore[attr-defined]  # kept with the request
    found: Staff | None = request.known_staff  # type: ignore[attr-defined]  # set above
    return found


def _find_staff(request: Request) -> Staff | None:
    if not request.user.is_authenticated:
        return None
    return Staff.objects.select_related("workshop").filter(user=request.user, active=True).first()
