"""Photographs of fittings: of one fitting, one of them, and those that may be kept no longer."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.core.files.storage import Storage
from django.db.models import Exists, OuterRef, Q, QuerySet

from workshop.people.models import Staff, Workshop
from workshop.planning.models import Fitting, FittingPhoto, Task
from workshop.planning.rules.photographs import PHOTOS_FOLDER, workshop_of


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


def workshops_with_photos(now: datetime) -> QuerySet[Workshop]:
    """Return the workshops that have files of photographs, or in which, wherever on earth, a photograph may
    be past its day."""
    tomorrow = (now + timedelta(days=1)).date()
    due = Exists(due_photos(tomorrow).filter(workshop=OuterRef("pk")))
    return Workshop.objects.filter(due | Q(pk__in=_with_files())).order_by("pk")


def photo_storage() -> Storage:
    """Return where the files of photographs are kept."""
    storage: Storage = FittingPhoto._meta.get_field("file").storage
    return storage


def _with_files() -> list[int]:
    try:
        folders, _ = photo_storage().listdir(PHOTOS_FOLDER)
    except FileNotFoundError:
        return []
    keys = (workshop_of(folder) for folder in folders)
    return [key for key in keys if key is not None]
