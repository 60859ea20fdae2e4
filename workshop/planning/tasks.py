"""Background work of planning."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Exists, OuterRef
from django.utils import timezone

from workshop import jobs
from workshop.jobs.registry import JobContext, handler
from workshop.orders.services.letters import REMINDERS_JOB
from workshop.people.models import Workshop
from workshop.planning.models import Task
from workshop.planning.queries.calendar_files import site_host
from workshop.planning.queries.photographs import workshops_with_photos
from workshop.planning.queries.reminders import workshops_that_remind
from workshop.planning.queries.week import open_garments
from workshop.planning.services.fittings import release_fittings
from workshop.planning.services.garment_tasks import sync_tasks
from workshop.planning.services.pace import keep_pace
from workshop.planning.services.photo_files import sweep_photo_files
from workshop.planning.services.photographs import erase_due_photos
from workshop.planning.services.reminding import send_reminders
from workshop.planning.services.replanning import replan
from workshop.planning.services.risking import reckon_late_risks


@handler("refresh_plan")
def refresh_plan(job: JobContext) -> None:
    """Give fittings of what is gone back, list the tasks of open garments from their drafts, plan anew."""
    now = timezone.now()
    release_fittings(workshop=job.workshop, now=now)
    garments = list(open_garments(job.workshop).select_related("workshop").order_by("pk"))
    for number, garment in enumerate(garments):
        job.progress(30 * number / len(garments), f"Listing the tasks of {garment.title}")
        sync_tasks(garment=garment, now=now)
    job.progress(30, "Planning who does what when")
    made = replan(workshop=job.workshop, now=now, cancelled=job.is_cancelled)
    job.check()
    reckon_late_risks(workshop=job.workshop, now=now)
    job.result.update(
        planned=made.planned,
        moved=[move.words for move in made.moved],
        late_garment_ids=list(made.late_garment_ids),
        conflicts=list(made.conflicts),
    )


@handler("learn_minutes")
def learn_minutes(job: JobContext) -> None:
    """Learn anew from all timed work what the standard minutes are off: prices may rest on it."""
    job.result["tasks"] = keep_pace(workshop=job.workshop, now=timezone.now()).tasks


@handler("late_risks")
def late_risks(job: JobContext) -> None:
    """Reckon anew how likely each open garment is to be late: a day has passed."""
    turned = reckon_late_risks(workshop=job.workshop, now=timezone.now())
    job.result["turned"] = [garment.pk for garment in turned]


def workshops_with_open_work(now: datetime) -> Iterable[Workshop]:
    """Return the workshops that have something left to do."""
    left = Task.objects.filter(workshop=OuterRef("pk"), done_at=None)
    return Workshop.objects.filter(Exists(left)).order_by("pk")


@handler(REMINDERS_JOB)
def fitting_reminders(job: JobContext) -> None:
    """Remind clients of their fittings of the coming days."""
    made = send_reminders(workshop=job.workshop, now=timezone.now(), host=site_host())
    job.result.update(sent=made.sent, refused=list(made.refused))


@handler("erase_photographs")
def erase_photographs(job: JobContext) -> None:
    """Erase the photographs of fittings whose day is past, and files that lost their row."""
    now = timezone.now()
    job.result["erased"] = erase_due_photos(workshop=job.workshop, now=now)
    job.result["swept"] = sweep_photo_files(workshop=job.workshop, now=now)


jobs.daily("late_risks", workshops_with_open_work)
jobs.daily(REMINDERS_JOB, workshops_that_remind)
jobs.daily("erase_photographs", workshops_with_photos)
