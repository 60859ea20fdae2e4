"""Photographs of fittings: of one fitting, one of them, and those that may be kept no longer."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.db.models import Exists, OuterRef, Q, QuerySet

from workshop.people.models import Staff, Workshop
from workshop.planning.models import Fitting, FittingPhoto, Task


def photos_of(fitting: Fitting) -> QuerySet[FittingPhoto]:
    """Return the photographs of a fitting, as they were taken."""
    return fitting.photos.order_by("created_at", "pk")


def photo_for(staff: Staff, pk: int, now: datetime) -> FittingPhoto | None:
    """Return a photograph that this person may see, or None.

    Owners see all of their workshop, the fitter those of their own fittings, and others those of a garment
    on which they have work to do. Nobody sees one whose day is past.
    """
    rows = FittingPhoto.objects.filter(workshop=staff.workshop, pk=pk)
    if not staff.is_owner:
        works = Task.objects.filter(garment=OuterRef("fitting__garment"), staff=staff, done_at=None)
        rows = rows.filter(Q(fitting__fitter=staff) | Exists(works))
    rows = rows.exclude(pk__in=due_photos(staff.workshop.day_of(now)).values("pk"))
    return rows.select_related("workshop", "fitting__garment").first()


def due_photos(today: date) -> QuerySet[FittingPhoto]:
    """Return the photographs whose own day, or whose wearer's, is past on that day."""
    return FittingPhoto.objects.filter(
        Q(keep_until_on__lt=today) | Q(fitting__garment__wearer__keep_until_on__lt=today)
    )


def workshops_with_due_photos(now: datetime) -> QuerySet[Workshop]:
    """Return the workshops in which, wherever on earth, a photograph may be past its day."""
    tomorrow = (now + timedelta(days=1)).date()
    return Workshop.objects.filter(Exists(due_photos(tomorrow).filter(workshop=OuterRef("pk")))).order_by(
        "pk"
    )
