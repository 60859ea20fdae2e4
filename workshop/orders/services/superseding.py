"""When measurements, style or cloth change, what was computed before is superseded, and says so."""

from __future__ import annotations

from datetime import datetime

from costing import services as costing_services
from workshop import jobs
from workshop.orders.models import Draft, Garment, LayPlan, Stage
from workshop.orders.queries.garments import current_draft, held_lays
from workshop.orders.services.shelf import release_for
from workshop.orders.services.unjoining import dissolve_joint_lays

OLD_FILES_JOB = "superseded_files"


def supersede_draft(*, garment: Garment, reason: str, now: datetime) -> Draft | None:
    """Mark the draft that holds, with its lays, estimate and files, as superseded; set-aside cloth is freed.

    Returns the draft, or None where there was none. Inside the caller's transaction.
    """
    costing_services.supersede_estimate(garment_id=garment.pk, now=now)
    draft = current_draft(garment)
    if draft is None:
        return None
    dissolve_joint_lays(garment_id=garment.pk, reason=f"{garment.title} changed: {reason}", now=now)
    draft.superseded_at, draft.superseded_reason = now, reason[:300]
    draft.save(update_fields=["superseded_at", "superseded_reason"])
    LayPlan.objects.filter(draft=draft, superseded_at=None).update(superseded_at=now)
    release_for([garment.pk], now)
    # Files that are being drawn this moment see it themselves: see filing.
    if draft.documents.exists():
        jobs.request(
            kind=OLD_FILES_JOB,
            key=f"draft-{draft.pk}",
            workshop=garment.workshop,
            params={"draft": draft.pk},
        )
    return draft


def supersede_lays(*, garment: Garment, reason: str, now: datetime) -> None:
    """Mark the lays of the draft that holds as superseded; the draft stays, set-aside cloth is freed.

    Inside the caller's transaction.
    """
    dissolve_joint_lays(garment_id=garment.pk, reason=f"{garment.title} changed: {reason}", now=now)
    held_lays(draft__garment=garment).update(superseded_at=now)
    release_for([garment.pk], now)


def send_back_to(garment: Garment, stage: str, now: datetime) -> None:
    """Put the garment back to an earlier stage; one that has not come so far stays where it is."""
    order = [str(value) for value in Stage.values]
    if order.index(garment.stage) > order.index(stage):
        garment.stage, garment.stage_since_at = stage, now
