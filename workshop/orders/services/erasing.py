"""What orders keep of a body goes with it."""

from __future__ import annotations

from datetime import datetime

from workshop.errors import Refusal
from workshop.orders.models import Draft, Garment, Stage
from workshop.orders.services.filing import drop_document
from workshop.orders.services.unjoining import erase_joint_lays
from workshop.people.models import Wearer
from workshop.people.services import also_erases


@also_erases
def erase_drafts_of(wearer: Wearer, now: datetime) -> None:
    """Delete the drafts of a wearer, with their lays, lists and files: they hold the measurements.

    Raises: Refusal while a garment for the wearer is still in work.
    """
    garments = Garment.objects.filter(wearer=wearer)
    at_work = garments.exclude(stage=Stage.DELIVERED).filter(order__cancelled_at=None).first()
    if at_work is not None:
        raise Refusal(f"{at_work.title} is still in work; deliver it or cancel its order first.")
    erase_joint_lays(garment_ids=list(garments.values_list("pk", flat=True)), now=now)
    for draft in Draft.objects.filter(garment__in=garments).prefetch_related("documents__document"):
        for paper in draft.documents.all():
            drop_document(paper.document)
        draft.delete()
    garments.update(measurements=None)
