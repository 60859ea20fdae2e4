"""Consent to photographs of a wearer: asked apart from the measurements, and taken back at any time."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from workshop.errors import Refusal
from workshop.people.models import Staff, Wearer
from workshop.people.services.checking import require_owner, require_same_workshop
from workshop.people.services.log import write_log
from workshop.people.services.wearers import refuse_erased


@transaction.atomic
def note_photo_consent(*, wearer: Wearer, by: Staff | None, now: datetime) -> Wearer:
    """Note that the wearer, or a minor's guardian, agreed today to photographs of fittings. Twice is once.

    Raises: Refusal for a minor whose guardian is not written down, or an erased wearer.
    """
    wearer = _held(wearer, by)
    refuse_erased(wearer)
    if wearer.photo_consent_on is not None:
        return wearer
    if wearer.is_minor and not wearer.guardian:
        raise Refusal("Write the guardian on the wearer's page first: a guardian consents for a minor.")
    wearer.photo_consent_by = wearer.guardian if wearer.is_minor else wearer.name
    wearer.photo_consent_on = wearer.workshop.day_of(now)
    _save(wearer, by, now, "note photo consent", "Noted the consent to photographs of fittings")
    return wearer


@transaction.atomic
def end_photo_consent(*, wearer: Wearer, by: Staff | None, now: datetime) -> Wearer:
    """Note that the consent was taken back. Who keeps photographs erases them with it."""
    wearer = _held(wearer, by)
    if wearer.photo_consent_on is not None:
        wearer.photo_consent_by, wearer.photo_consent_on = "", None
        _save(wearer, by, now, "end photo consent", "Noted that the consent to photographs was taken back")
    return wearer


def _held(wearer: Wearer, by: Staff | None) -> Wearer:
    require_owner(by, "note a consent")
    require_same_workshop(wearer.workshop, by)
    return Wearer.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=wearer.pk)


def _save(wearer: Wearer, by: Staff | None, now: datetime, action: str, summary: str) -> None:
    wearer.version += 1
    wearer.save(update_fields=["photo_consent_by", "photo_consent_on", "version"])
    write_log(
        workshop=wearer.workshop,
        by=by,
        action=action,
        row=wearer,
        summary=summary,
        now=now,
        after={"photo_consent_on": wearer.photo_consent_on, "minor": wearer.is_minor},
    )
