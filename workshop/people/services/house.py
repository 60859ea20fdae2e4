"""House rules: the workshop's own drafting figures, a new version for each change."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction

from drafting.house import HOUSE_RULES, house_rules
from workshop.errors import EditedMeanwhile
from workshop.people.models import HouseRules, Staff, Workshop
from workshop.people.services.checking import require_owner, require_same_workshop
from workshop.people.services.log import write_log


@transaction.atomic
def change_house_rules(
    *,
    workshop: Workshop,
    values: Mapping[str, float],
    expected_version: int,
    by: Staff | None,
    now: datetime,
) -> HouseRules:
    """Store the rules that differ from their defaults as a new version; version 0 = none was stored yet.

    ``values`` are in mm (or the rule's own kind). Drafts made before keep the rules that they were made with.

    Raises:
        BadChoice: a rule that does not exist or is outside its limits; ``field`` names it.
        EditedMeanwhile: somebody stored another version after ``expected_version``.
        Refusal: not the owner.
    """
    require_owner(by, "change the house rules")
    require_same_workshop(workshop, by)
    Workshop.objects.select_for_update().get(pk=workshop.pk)  # the row that two owners' changes share
    latest = HouseRules.objects.filter(workshop=workshop).order_by("-version").first()
    held = latest.version if latest else 0
    if held != expected_version:
        raise EditedMeanwhile(
            "Somebody changed the house rules meanwhile; look at theirs, then send yours again."
        )
    full = house_rules(values)
    kept = {
        name: value for name, value in full.items() if value != house_rules({})[name] and name in HOUSE_RULES
    }
    rules = HouseRules.objects.create(
        workshop=workshop, version=held + 1, values=kept, created_by=by, created_at=now
    )
    write_log(
        workshop=workshop,
        by=by,
        action="change house rules",
        row=rules,
        summary=f"Changed the house rules, version {rules.version}",
        now=now,
        before=latest.values if latest else {},
        after=kept,
    )
    return rules
