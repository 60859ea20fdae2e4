"""What a fitting taught about a wearer, in figures: kept with them, and drawn into each later draft."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction

from drafting.body.fit import checked_fit
from drafting.errors import BadMeasurement
from workshop.errors import Refusal
from workshop.people.models import Staff, Wearer
from workshop.people.services.checking import refuse_edited, require_same_workshop
from workshop.people.services.log import write_log
from workshop.people.services.wearers import refuse_erased


@transaction.atomic
def note_fit(
    *, wearer: Wearer, expected_version: int, fit: Mapping[str, float], by: Staff | None, now: datetime
) -> Wearer:
    """Put these fit notes (mm and degrees, by their names in ``FIT_NOTES``) in the place of the wearer's.

    Drafts that were made stay as they are; the next one is drawn with the new notes.

    Raises: EditedMeanwhile; Refusal with ``field``: no such note, outside its limits, or an erased wearer.
    """
    require_same_workshop(wearer.workshop, by)
    wearer = Wearer.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=wearer.pk)
    refuse_erased(wearer)
    refuse_edited(wearer, expected_version)
    try:
        accepted = dict(checked_fit(fit))
    except BadMeasurement as refusal:
        raise Refusal(f"{refusal}.", field=refusal.field) from None
    before, wearer.fit = wearer.fit, accepted
    wearer.version += 1
    wearer.save(update_fields=["fit", "version"])
    write_log(
        workshop=wearer.workshop,
        by=by,
        action="note fit",
        row=wearer,
        summary="Noted how a wearer is to be fitted",
        now=now,
        before={"notes": sorted(before)},
        after={"notes": sorted(accepted)},
    )
    return wearer
