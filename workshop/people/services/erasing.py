"""Erasing a wearer's data on request, or when the day until which they may be kept has passed.

Papers (quotes, invoices, receipts) stay, as bookkeeping rules ask. Names and measurements go, and whatever
other rooms computed from them: those rooms register what they erase.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from django.db import transaction

from workshop.errors import Refusal
from workshop.people.models import MeasurementSet, Staff, Wearer, Workshop
from workshop.people.services.checking import clean_text, require_owner, require_same_workshop
from workshop.people.services.log import write_log

ERASED_NAME = "erased"

Eraser = Callable[[Wearer, datetime], None]
_erasers: list[Eraser] = []


def also_erases(eraser: Eraser) -> Eraser:
    """Register what a room above erases with a wearer. It may raise Refusal, which stops the erasure."""
    if eraser not in _erasers:
        _erasers.append(eraser)
    return eraser


@transaction.atomic
def erase_wearer(*, wearer: Wearer, reason: str, by: Staff | None, now: datetime) -> Wearer:
    """Erase name, birth, guardian, notes and measurements of a wearer for good.

    Raises: Refusal where a garment for the wearer is still in work, or the data were erased before.
    """
    require_owner(by, "erase a wearer's data")
    require_same_workshop(wearer.workshop, by)
    wearer = Wearer.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=wearer.pk)
    if wearer.erased_at is not None:
        raise Refusal("This wearer's data were erased already.")
    reason = clean_text(reason, field="reason", longest=200, what="who asked, or why", required=True)
    for eraser in _erasers:
        eraser(wearer, now)
    MeasurementSet.objects.filter(wearer=wearer).update(values={}, typed={}, confirmed=[])
    wearer.name = ERASED_NAME
    wearer.born_on = wearer.consent_on = wearer.photo_consent_on = wearer.keep_until_on = None
    wearer.consent_by = wearer.photo_consent_by = wearer.fit_notes = ""
    wearer.fit = {}
    wearer.guardian = ERASED_NAME if wearer.is_minor else ""
    wearer.erased_at = now
    wearer.save()
    write_log(
        workshop=wearer.workshop,
        by=by,
        action="erase wearer",
        row=wearer,
        summary="Erased a wearer's name and measurements",
        now=now,
        after={"reason": reason},
    )
    return wearer


def erase_expired_wearers(*, workshop: Workshop, now: datetime) -> tuple[list[Wearer], list[str]]:
    """Erase everyone whose measurements may be kept no longer.

    Returns: who was erased, and why others were not (a garment still in work), for the owner to see.
    """
    erased: list[Wearer] = []
    refused: list[str] = []
    due = Wearer.objects.filter(
        workshop=workshop, keep_until_on__lt=workshop.day_of(now), erased_at__isnull=True
    )
    for wearer in due.order_by("pk"):
        try:
            erased.append(erase_wearer(wearer=wearer, reason="kept until its day", by=None, now=now))
        except Refusal as refusal:
            refused.append(f"{wearer.name}: {refusal}")
    return erased, refused
