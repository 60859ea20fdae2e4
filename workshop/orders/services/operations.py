"""The owner changes the operation list of a garment; price and plan follow."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from costing.rules.labour import total_minutes
from costing.rules.revising import Revision, difference, revised
from workshop.errors import EditedMeanwhile, Refusal
from workshop.orders.models import Garment, OperationsRevision, Stage
from workshop.orders.queries.garments import current_draft, pattern_of
from workshop.orders.queries.operations import reckoned_operations, revisions_of
from workshop.orders.services.asking import ask_for_plan
from workshop.orders.services.estimating import estimate_anew
from workshop.people.models import Staff
from workshop.people.services import write_log
from workshop.people.services.checking import clean_text, require_owner, require_same_workshop


@transaction.atomic
def revise_operations(
    *,
    garment: Garment,
    draft_id: int,
    expected_version: int,
    revision: Revision,
    reason: str,
    by: Staff | None,
    now: datetime,
) -> OperationsRevision:
    """Put a new version of the owner's revision in the place of the one that holds.

    The estimate is reckoned anew and the plan asked for; tasks that were begun stay as they are.

    Args:
        draft_id: of the draft whose list she looked at.
        expected_version: of the revision that she changed; 0 where there was none.

    Raises:
        EditedMeanwhile: the garment was drafted anew, or its list changed, since she opened it.
        Refusal: there is no draft, no reason, no change, or the garment is delivered; BadAmount.
    """
    require_owner(by, "change how a garment is made")
    require_same_workshop(garment.workshop, by)
    # Two who change the list of one garment wait for each other here.
    garment = Garment.objects.select_for_update(of=("self",)).select_related("workshop").get(pk=garment.pk)
    if garment.stage == Stage.DELIVERED:
        raise Refusal("This garment is delivered; its operations stay as they were.")
    draft = current_draft(garment)
    if draft is None:
        raise Refusal(f"Draft {garment.title} first; its operations are read from its pattern.")
    newest = revisions_of(garment).first()
    version = 0 if newest is None else newest.version
    if draft.pk != draft_id or version != expected_version:
        raise EditedMeanwhile("The list changed since you opened it.")
    reason = clean_text(reason, field="reason", longest=300, what="why the list is changed", required=True)
    listed = reckoned_operations(garment, pattern_of(draft))
    held = Revision() if newest is None else Revision.read(newest.content)
    before, after = revised(listed, held).operations, revised(listed, revision).operations
    if not after:
        raise Refusal("Leave at least one operation: a garment is not made by none.")
    summary = difference(before, after)
    if not summary:
        raise Refusal("Nothing of the list was changed.")
    made = OperationsRevision.objects.create(
        garment=garment,
        version=version + 1,
        content=revision.to_json(),
        reason=reason,
        summary=summary,
        by=by,
        created_at=now,
    )
    write_log(
        workshop=garment.workshop,
        by=by,
        action="revise operations",
        row=garment,
        order_id=garment.order_id,
        summary=f"Changed the operations of {garment.title}: {reason}",
        now=now,
        before={"version": version, "minutes": round(total_minutes(before), 1)},
        after={"version": made.version, "minutes": round(total_minutes(after), 1), "how": summary},
    )
    estimate_anew([garment], now)
    ask_for_plan(garment.workshop)
    return made


def restore_operations(
    *,
    garment: Garment,
    draft_id: int,
    expected_version: int,
    version: int,
    by: Staff | None,
    now: datetime,
) -> OperationsRevision:
    """Let an earlier version hold again, as a new version; 0 is the list as it is reckoned.

    Raises: as ``revise_operations``; Refusal where there is no such version.
    """
    wanted = revisions_of(garment).filter(version=version).first()
    if wanted is None and version != 0:
        raise Refusal("There is no such version of the list.")
    return revise_operations(
        garment=garment,
        draft_id=draft_id,
        expected_version=expected_version,
        revision=Revision() if wanted is None else Revision.read(wanted.content),
        reason="as reckoned" if wanted is None else f"as version {version}",
        by=by,
        now=now,
    )
