"""Photographs of fittings: kept with consent, no longer than the wearer's data, and seen by staff only."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from datetime import date, datetime

from django.core.files.base import ContentFile
from django.db import transaction
from django.db.models import QuerySet

from workshop.errors import Refusal
from workshop.people.models import Staff, Wearer, Workshop
from workshop.people.rules.ages import default_keep_until
from workshop.people.services import also_erases, end_photo_consent
from workshop.people.services.checking import require_same_workshop
from workshop.people.services.log import write_log
from workshop.people.services.wearers import refuse_erased
from workshop.planning.models import Fitting, FittingPhoto
from workshop.planning.queries.photographs import due_photos
from workshop.planning.rules.photographs import BadPhotograph, Photograph, encode_anew

MOST_PHOTOS = 12
"""Of one fitting: the least that is needed."""


@transaction.atomic
def add_photo(*, fitting: Fitting, sent: bytes, by: Staff, now: datetime) -> FittingPhoto:
    """Keep a photograph of a fitting. The same one sent twice is kept once.

    It is erased after the day until which the wearer's data are kept, or a year from now where there is none.

    Raises: Refusal without a consent that is noted, for an erased wearer, a cancelled fitting, too many, or
    what is no photograph.
    """
    require_same_workshop(fitting.workshop, by)
    # The row that erasing locks, too: nothing slips in behind it.
    rows = Wearer.objects.select_for_update(of=("self",)).select_related("workshop")
    wearer = rows.get(pk=fitting.garment.wearer_id)
    today = wearer.workshop.day_of(now)
    _refuse(fitting, wearer, today)
    try:
        picture = encode_anew(sent)
    except BadPhotograph as problem:
        raise Refusal(str(problem), field="photo") from None
    digest = hashlib.sha256(picture.content).hexdigest()
    known = FittingPhoto.objects.filter(fitting=fitting, sha256=digest).first()
    if known is not None:
        return known
    photo = FittingPhoto(
        workshop=fitting.workshop,
        fitting=fitting,
        width=picture.width,
        height=picture.height,
        size_bytes=len(picture.content),
        sha256=digest,
        keep_until_on=wearer.keep_until_on or default_keep_until(today),
        taken_by=by,
        created_at=now,
    )
    _store(photo, picture)
    _log(photo, "add photograph", f"Kept a photograph of the fitting of {fitting.garment.title}", by, now)
    return photo


def _refuse(fitting: Fitting, wearer: Wearer, today: date) -> None:
    refuse_erased(wearer)
    if fitting.cancelled_at is not None:
        raise Refusal("That fitting was cancelled; there is nothing to photograph.", field="photo")
    if wearer.photo_consent_on is None:
        who = f"{wearer.guardian}, the guardian," if wearer.is_minor else wearer.name
        raise Refusal(f"Ask {who} first and note the consent; then take photographs.", field="photo")
    if wearer.keep_until_on is not None and wearer.keep_until_on < today:
        raise Refusal("The day until which this wearer's data may be kept is past.", field="photo")
    if fitting.photos.count() >= MOST_PHOTOS:
        raise Refusal(f"{MOST_PHOTOS} photographs are enough; delete one first.", field="photo")


def _store(photo: FittingPhoto, picture: Photograph) -> None:
    # The name says nothing of who is on it.
    photo.file.save(f"{photo.sha256[:24]}.jpg", ContentFile(picture.content), save=False)
    try:
        with transaction.atomic():
            photo.save()
    except BaseException:
        # The row is not there, so nothing would ever find the file again.
        photo.file.delete(save=False)
        raise


@transaction.atomic
def delete_photo(*, photo: FittingPhoto, by: Staff, now: datetime) -> None:
    """Delete a photograph for good."""
    require_same_workshop(photo.workshop, by)
    _log(photo, "delete photograph", "Deleted a photograph of a fitting", by, now)
    _erase([photo])


@transaction.atomic
def withdraw_photo_consent(*, wearer: Wearer, by: Staff | None, now: datetime) -> int:
    """Note that the consent was taken back, and erase every photograph of the wearer. Returns how many."""
    wearer = end_photo_consent(wearer=wearer, by=by, now=now)
    return _erase(_of(wearer))


@also_erases
def erase_photos_of(wearer: Wearer, now: datetime) -> None:
    """Erase the photographs of a wearer with the other data."""
    _erase(_of(wearer))


@transaction.atomic
def erase_due_photos(*, workshop: Workshop, now: datetime) -> int:
    """Erase the photographs that may be kept no longer. Returns how many. Twice is once."""
    return _erase(due_photos(workshop.day_of(now)).filter(workshop=workshop))


def _of(wearer: Wearer) -> QuerySet[FittingPhoto]:
    return FittingPhoto.objects.filter(fitting__garment__wearer=wearer)


def _erase(photos: Iterable[FittingPhoto]) -> int:
    """Delete rows now, and their files once that is committed."""
    gone = list(photos)
    FittingPhoto.objects.filter(pk__in=[photo.pk for photo in gone]).delete()
    transaction.on_commit(lambda: _delete_files(gone))
    return len(gone)


def _delete_files(photos: Iterable[FittingPhoto]) -> None:
    for photo in photos:
        photo.file.delete(save=False)


def _log(photo: FittingPhoto, action: str, summary: str, by: Staff, now: datetime) -> None:
    write_log(
        workshop=photo.workshop,
        by=by,
        action=action,
        row=photo,
        order_id=photo.fitting.garment.order_id,
        summary=summary,
        now=now,
    )
