"""Background work of planning."""

from __future__ import annotations

from django.utils import timezone

from workshop.jobs.registry import JobContext, handler
from workshop.planning.queries.week import open_garments
from workshop.planning.services.garment_tasks import sync_tasks
from workshop.planning.services.replanning import replan


@handler("refresh_plan")
def refresh_plan(job: JobContext) -> None:
    """List the tasks of every open garment from its draft, and plan the workshop anew."""
    now = timezone.now()
    garments = list(open_garments(job.workshop).select_related("workshop").order_by("pk"))
    for number, garment in enumerate(garments):
        job.progress(30 * number / len(garments), f"Listing the tasks of {garment.title}")
        sync_tasks(garment=garment, now=now)
    job.progress(30, "Planning who does what when")
    made = replan(workshop=job.workshop, now=now, cancelled=job.is_cancelled)
    job.check()
    job.result.update(
        planned=made.planned,
        moved=[move.words for move in made.moved],
        late_garment_ids=list(made.late_garment_ids),
        conflicts=list(made.conflicts),
    )
